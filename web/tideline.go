package web

import (
	"fmt"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/chart"
	"tidemark/web/words"
)

// phoneDays is how many days of a picture a phone shows at once; the rest is
// reached by swiping.
const phoneDays = 60

// tideline is the picture of load by day, what it says in words, and the table
// with the same numbers.
type tideline struct {
	chart.Tideline
	Measure load.Measure
	Unit    string
	Width   string // of the drawing on a phone
	Label   string // what the picture is, for those who do not see it
	Last    string // the latest day, read out
	Rows    []dayLine
	Ahead   int // columns of days to come
	Coming  []dayLine
	Strips  []strip
}

// dayLine is one day of the table. What the picture's read-out says is this row.
type dayLine struct {
	Day            load.Day
	State          string
	Load, Acute    number
	Tidemark, Held number
	Spike          number
	Strips         []stripCell // one for each strip
}

// daysAheadShown is how far ahead what is planned is drawn; project default.
const daysAheadShown = 14

// plannedAhead is what a way back holds on the days after today, in a measure of time; nil
// where nothing is planned.
func plannedAhead(r *assess.Ramp, m load.Measure, today load.Day) (ahead []float64) {
	if _, ok := r.Next(today + 1); !ok || !m.IsTime() {
		return nil
	}
	for day := today + 1; day <= today+daysAheadShown; day++ {
		d, ok := r.On(day)
		if !ok {
			break
		}
		ahead = append(ahead, float64(d.Total))
	}
	return ahead
}

func tidelineOf(p *journal.Picture, q assess.Query, care *assess.Care) tideline {
	var ahead []float64
	if q.To == p.Day {
		ahead = plannedAhead(care.Ramp, p.Measure, q.To)
	}
	days := within(p.Days, q.From, q.To)
	t := tideline{
		Tideline: chart.NewTidelineAhead(p.Measure, days, p.Sessions, q.From, q.To, ahead),
		Measure:  p.Measure, Unit: words.Unit(p.Measure),
	}
	t.Width = fmt.Sprintf("%d%%", max(100, 100*t.Days/phoneDays))
	t.Ahead = len(ahead)
	for i := len(ahead) - 1; i >= 0; i-- {
		line := dayLine{Day: q.To + load.Day(i+1), State: "rest planned"}
		if ahead[i] > 0 {
			line.State = words.Number(p.Measure, ahead[i]) + " " + t.Unit + " planned"
		}
		t.Coming = append(t.Coming, line)
	}
	for i := len(days) - 1; i >= 0; i-- {
		t.Rows = append(t.Rows, dayLineOf(p.Measure, &days[i]))
	}
	t.Label = t.label()
	t.Last = t.last()
	return t
}

// within returns the rows of days from first to last.
func within(rows []load.DayRow, first, last load.Day) []load.DayRow {
	for len(rows) > 0 && rows[0].Date < first {
		rows = rows[1:]
	}
	for len(rows) > 0 && rows[len(rows)-1].Date > last {
		rows = rows[:len(rows)-1]
	}
	return rows
}

func dayLineOf(m load.Measure, row *load.DayRow) dayLine {
	format := func(v float64) string { return words.Number(m, v) }
	line := dayLine{
		Day: row.Date, State: dayStates[row.State],
		Load:     number{"load", exact(row.Load), format(row.Load)},
		Acute:    number{"acute", exact(row.Acute), format(row.Acute)},
		Tidemark: numberOf("tidemark", row.Tidemark, format),
		Held:     numberOf("held_tidemark", row.HeldTidemark, format),
		Spike:    numberOf("spike", row.Spike, func(share float64) string { return spikeWords(share, row) }),
	}
	if row.State == load.Unknown && row.Load == 0 {
		line.Load.Text = "?"
	}
	return line
}

// spikeWords says how far the worst run of a day stood over the most of 30 days, and
// what that is called.
func spikeWords(share float64, row *load.DayRow) string {
	text := words.Over(share)
	if text == words.Over(0) {
		return "the same"
	}
	if row.UpperBound && share > 0 {
		text += " at most"
	}
	if row.Class > load.NoSpike {
		text += ", " + row.Class.String() + " spike"
	}
	return text
}

// dayStates says what is known of a day.
var dayStates = map[load.DayState]string{
	load.Recorded: "recorded",
	load.Reported: "typed",
	load.Rest:     "rest",
	load.Assumed:  "taken as rest",
	load.Unknown:  "not known",
}

// label says in a sentence what the picture shows.
func (t *tideline) label() string {
	if len(t.Rows) == 0 {
		return "Nothing was run in these days."
	}
	out := fmt.Sprintf("Load in %s a day, %s to %s.", t.Unit, words.Day(t.Rows[len(t.Rows)-1].Day), words.Day(t.Rows[0].Day))
	if t.Worst != nil {
		out += fmt.Sprintf(" The most that stood above the water: %s on %s.", t.Worst.Text, words.Day(t.Worst.Day))
	}
	return out
}

// last reads out the latest day, as the picture's read-out does for any.
func (t *tideline) last() string {
	if len(t.Rows) == 0 {
		return ""
	}
	row := t.Rows[0]
	return fmt.Sprintf("%s: %s %s, %s %s in 7 days", words.Weekday(row.Day), row.Load.Text, t.Unit, row.Acute.Text, t.Unit)
}
