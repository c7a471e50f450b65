package words

import (
	"fmt"
	"strings"

	"tidemark/load"
)

// Sentence is a sentence around one number. Without a number, Before is all of
// it.
type Sentence struct{ Before, Number, After string }

func (s Sentence) String() string { return s.Before + s.Number + s.After }

// Answer says what the limits leave for the day.
func Answer(room *load.Headroom) Sentence {
	switch {
	case room.State == load.HeldBack:
		return Sentence{Before: "No run within your limits today."}
	case room.State == load.LedByClinician:
		return Sentence{Before: "Only with a clinician who leads."}
	case room.State == load.RaceDay:
		return Sentence{Before: raceSentence(room.Race)}
	case room.Amount < leastSaid(room.Measure):
		return Sentence{Before: "Nothing left within your limits today."}
	}
	return Sentence{"Up to ", Amount(room.Measure, room.Amount), " within your limits today."}
}

// leastSaid is the least that Amount does not write as nothing.
func leastSaid(m load.Measure) load.Amount {
	if m.IsLength() {
		return m.Of(0.1)
	}
	return m.Of(1)
}

// Why names the limit that decides, and its reason.
func Why(room *load.Headroom) string {
	if room.State == load.RaceDay {
		return strings.Join(Race(room), " ")
	}
	for _, l := range room.Limits {
		if l.Rule == room.Decides {
			return fmt.Sprintf("The %s limit decides: %s.", Limit(l.Rule), l.Why)
		}
	}
	return ""
}

// Around lists what belongs beside an answer: what was run already, the habit,
// and how far the answer can be relied on.
func Around(room *load.Headroom) (lines []string) {
	for _, l := range room.Limits {
		if l.Rule == load.LimitDay && l.Value > 0 {
			lines = append(lines, fmt.Sprintf("You have run %s today.", Amount(room.Measure, l.Value)))
		}
	}
	if usual, ok := room.Usual.Get(); ok {
		lines = append(lines, fmt.Sprintf("Your usual %s is %s.", room.Day.Weekday(), Value(room.Measure, usual)))
	} else if said, ok := room.Said.Get(); ok {
		lines = append(lines, fmt.Sprintf("A usual run of yours, as you said, is %s.", Value(room.Measure, said)))
	}
	if caveat := reliance(room.State); caveat != "" {
		lines = append(lines, caveat)
	}
	return lines
}

// reliance says how far an answer can be relied on, where that is less than whole.
func reliance(state load.HeadroomState) string {
	switch state {
	case load.Provisional:
		return "Provisional: the logbook knows fewer than 30 days, so it cannot know your longest run of 30 days."
	case load.Uncertain:
		return "Of some of the last seven days, or all, nothing is known. If you ran on them, add those runs first: the numbers take them as rest."
	}
	return ""
}

// Imagined says what one imagined run would do, a sentence a line.
func Imagined(m load.Measure, w *load.WhatIf) (lines []string) {
	switch {
	case w.Headroom.State == load.RaceDay:
		lines = append(lines, "A race is planned for that day: no limit speaks on it.")
	case len(w.Over) == 0:
		lines = append(lines, "It is within every limit.")
	default:
		lines = append(lines, "It is over "+overs(m, w)+".")
	}
	lines = append(lines, compared(m, &w.Session)...)
	if caveat := reliance(w.Headroom.State); caveat != "" {
		return append(lines, caveat)
	}
	if change, ok := w.Row.WeekChange.Get(); ok {
		lines = append(lines, fmt.Sprintf("The last seven days would be %s, %s than the seven before.", Value(m, w.Row.Acute), MoreOrLess(m, change)))
	}
	if ratio, ok := w.Row.RatioUncoupled.Get(); ok {
		lines = append(lines, fmt.Sprintf("Their ratio to the mean of the three weeks before would be %.2f (%d of 28 days known): it describes, and limits nothing.", ratio, w.Row.KnownDays28))
	}
	return lines
}

// Overs says in a few words what limits an imagined run would break, and how far the
// answer can be relied on.
func Overs(w *load.WhatIf) string {
	text := "within every limit"
	switch {
	case w.Headroom.State == load.RaceDay:
		return "a race is planned"
	case len(w.Over) > 0:
		text = "over: " + strings.Join(w.Over, ", ")
	}
	switch w.Headroom.State {
	case load.Provisional:
		text += " (provisional: fewer than 30 days known)"
	case load.Uncertain:
		text += " (not all of the last 7 days are known)"
	}
	return text
}

// overs names the limits that a run would break, each with what it leaves.
func overs(m load.Measure, w *load.WhatIf) string {
	var names []string
	for _, l := range w.Headroom.Limits {
		if w.Amount > l.Room() {
			names = append(names, fmt.Sprintf("the %s limit (%s left)", Limit(l.Rule), Amount(m, l.Room())))
		}
	}
	last := len(names) - 1
	if last == 0 {
		return names[0]
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// compared holds a run against the longest that the limits count and, where that
// is another, against the longest of all.
func compared(m load.Measure, row *load.SessionRow) (lines []string) {
	length := m.In(row.Load)
	tidemark, known := row.Tidemark.Get()
	held, ok := row.HeldTidemark.Get()
	if ok && held > 0 && (!known || held != tidemark) {
		lines = append(lines, fmt.Sprintf("It is %s the longest run that the limits count (%s).", Over(length/held-1), Value(m, held)))
	}
	if spike, ok := row.Spike.Get(); ok {
		text := fmt.Sprintf("It is %s", Against(spike, Value(m, tidemark)))
		if row.UpperBound && spike > 0 {
			text += ", or less: not all of those days are known"
		}
		lines = append(lines, text+".")
	}
	return lines
}

// Against says how a run compares with the longest of 30 days. The spike is the
// share over it.
func Against(spike float64, longest string) string {
	return Over(spike) + " your longest of 30 days (" + longest + ")"
}

// Over says a share over something in the first words of "62 % over the other".
// Close to the 10 % of the rule it takes a decimal.
func Over(share float64) string {
	percent := fmt.Sprintf("%.0f %%", 100*share)
	switch {
	case share > 0.095 && share < 0.11:
		return fmt.Sprintf("%.1f %% over", 100*share)
	case share >= 0.005:
		return percent + " over"
	case share <= -0.005:
		return strings.TrimPrefix(percent, "-") + " under"
	}
	return "as long as"
}

// Change writes a share of change with its sign: +6 %, and 0 % without one.
func Change(share float64) string {
	if share > -0.005 && share < 0.005 {
		return "0 %"
	}
	return fmt.Sprintf("%+.0f %%", 100*share)
}

// MoreOrLess writes a difference: 3.0 km more.
func MoreOrLess(m load.Measure, change float64) string {
	if change < 0 {
		return Value(m, -change) + " less"
	}
	return Value(m, change) + " more"
}

var reasons = map[load.Reason]string{
	load.ReasonHistory:     "too few days since the first run",
	load.ReasonUnknownDays: "too many days of which nothing is known",
	load.ReasonFloor:       "too little running before to divide by",
	load.ReasonNoVariation: "every day was the same",
	load.ReasonZeroWeek:    "nothing in the week before",
	load.ReasonNoTidemark:  "no run in the 30 days before",
	load.ReasonNotRecorded: "nothing recorded",
}

// NotYet says why a value is undefined.
func NotYet(why load.Reason) string {
	switch why {
	case load.ReasonHistory, load.ReasonUnknownDays:
		return "not yet: " + reasons[why]
	}
	return "none: " + reasons[why]
}

// Reason says why a value is undefined, within a sentence.
func Reason(why load.Reason) string { return reasons[why] }

// Limit names a limit for people.
func Limit(rule string) string {
	switch rule {
	case "complaint":
		return "soreness" // nobody says complaint of their own heel
	case "ramp":
		return "way back"
	}
	return rule
}
