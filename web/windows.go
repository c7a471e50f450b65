package web

import (
	"fmt"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// windows are the sums of the last day: four blocks of seven days and what
// follows from them.
type windows struct {
	Day    load.Day
	Blocks []block
	Band   string // of the last seven days, where the measure is an estimate with one
	Change number
	Share  number
	Lines  []windowLine
	Ratios []windowLine
	// Coverage is what the ratios rest on: how many of the 28 days are known.
	Coverage string
	Closer   []windowLine // for those who work with them
}

// block is seven days, with its length against the longest of the four.
type block struct {
	Name string
	Part string
	Sum  number
	Note string // what of it is not known
}

// windowLine is one value and what it is.
type windowLine struct {
	Name  string
	Value number
	Note  string
}

// blockCount is the week and the three before it.
const blockCount = 4

// blockName says which seven days end on a day.
func blockName(i int, last load.Day) string {
	if i == 0 {
		return "last 7 days"
	}
	return words.ShortDay(last-6) + " to " + words.ShortDay(last)
}

func windowsOf(p *journal.Picture) (out windows) {
	n := len(p.Days)
	if n == 0 {
		return out
	}
	m, row := p.Measure, &p.Days[n-1]
	out.Day = row.Date
	out.blocks(m, p.Days)
	out.band(p, row)
	say := func(v float64) string { return words.Value(m, v) }
	plain := func(v float64) string { return fmt.Sprintf("%.2f", v) }
	out.Change = numberOf("week_change", row.WeekChange, func(v float64) string { return words.MoreOrLess(m, v) })
	out.Share = numberOf("week_change_share", row.WeekChangeShare, words.Change)
	most, held, seen := "longest run in 30 days", "of which the limits count", "what the tendon was seen to take"
	if !m.Limited() {
		most, held, seen = "most of one run in 30 days", "of which held", ""
	}
	out.Lines = []windowLine{
		{"mean of the three weeks before", numberOf("chronic_uncoupled", row.ChronicUncoupled, say), "a week; " + known(row.KnownDays28, row, 28)},
		{most, numberOf("tidemark", row.Tidemark, say), known(row.KnownDays30, row, 30)},
		{held, numberOf("held_tidemark", row.HeldTidemark, say), seen},
	}
	out.ratios(m, row)
	deviation := "mean of the 7 days over their spread, n - 1"
	if row.PopulationSD {
		deviation = "mean of the 7 days over their spread, n"
	}
	out.Closer = []windowLine{
		{"monotony", numberOf("monotony", row.Monotony, plain), deviation},
		{"weekly strain (Foster)", numberOf("strain", row.Strain, func(v float64) string { return fmt.Sprintf("%.0f", v) }), "the week's load times monotony"},
	}
	return out
}

// known says how many of the days before the row are known.
func known(days int, row *load.DayRow, of int) string {
	if row.History < of {
		return fmt.Sprintf("the logbook knows fewer than %d days", of)
	}
	return fmt.Sprintf("%d of %d days known", days, of)
}

// ratios are the three forms of the ratio, each with how it is made.
func (out *windows) ratios(m load.Measure, row *load.DayRow) {
	plain := func(v float64) string { return fmt.Sprintf("%.2f", v) }
	weighted := "averages of every day, those of the last 7 or 28 weighing most (Williams et al. 2017)"
	if row.Settling {
		weighted += "; still settling, with fewer than 84 days"
	}
	out.Ratios = []windowLine{
		{"to the mean of the three weeks before", numberOf("ratio_uncoupled", row.RatioUncoupled, plain), "these 7 days are no part of what they are held against"},
		{"to the mean of four weeks", numberOf("ratio_coupled", row.RatioCoupled, plain), "these 7 days are one of the four (Lolli et al. 2019); the same information on another scale"},
		{"of two weighted averages", numberOf("ratio_ewma", row.RatioEWMA, plain), weighted},
	}
	out.Coverage = fmt.Sprintf("%d of 28 days known, %d of them taken as rest.", row.KnownDays28, row.AssumedDays28)
}

// blocks lays the seven days that end on each of four days, seven apart.
func (out *windows) blocks(m load.Measure, days []load.DayRow) {
	longest := 0.0
	for i := range blockCount {
		if at := len(days) - 1 - 7*i; at >= 0 {
			longest = max(longest, days[at].Acute)
		}
	}
	for i := range blockCount {
		at := len(days) - 1 - 7*i
		if at < 0 {
			return
		}
		b := block{Name: blockName(i, days[at].Date), Part: "0%", Sum: number{"acute", exact(days[at].Acute), words.Number(m, days[at].Acute)}}
		if longest > 0 {
			b.Part = fmt.Sprintf("%.1f%%", 100*days[at].Acute/longest)
		}
		b.Note = words.Missing(m, &days[at])
		out.Blocks = append(out.Blocks, b)
	}
}

// band sums the ends of the sessions of the last seven days.
func (out *windows) band(p *journal.Picture, row *load.DayRow) {
	low, high, banded := 0.0, 0.0, false
	for i := range p.Sessions {
		s := &p.Sessions[i]
		if s.Day <= row.Date-7 || s.Day > row.Date {
			continue
		}
		from, ok := s.Low.Get()
		to, _ := s.High.Get()
		if !ok {
			from, to = p.Measure.In(s.Load), p.Measure.In(s.Load)
		}
		low, high, banded = low+from, high+to, banded || ok
	}
	if banded {
		out.Band = fmt.Sprintf("An estimate: the last 7 days lie between %s and %s.", words.Number(p.Measure, low), words.Value(p.Measure, high))
	}
}
