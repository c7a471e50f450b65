package wire

import (
	"tidemark/load"
	"tidemark/load/assess"
)

// CountedDays is counts of days and of complaints by class, and what they cannot show.
type CountedDays struct {
	Runner        string      `json:"runner"` // empty: of several
	Runners       int         `json:"runners,omitempty"`
	First         *load.Day   `json:"first"`
	Last          *load.Day   `json:"last"`
	PersonDays    int         `json:"person_days"`
	LeftOut       int         `json:"left_out"`
	BySpike       []CountLine `json:"by_spike"`
	ByRatio       []CountLine `json:"by_ratio_uncoupled"`
	OnsetsBySpike []OnsetLine `json:"complaints_by_spike"`
	OnsetsByRatio []OnsetLine `json:"complaints_by_ratio_uncoupled"`
	CannotShow    []string    `json:"cannot_show"`
}

// OnsetLine is how many complaints began on the days of one class, per 1000 person-days.
type OnsetLine struct {
	Class      string  `json:"class"`
	Days       int     `json:"days"`
	Complaints int     `json:"complaints"`
	Rate       float64 `json:"per_1000_days"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
}

// CountLine is one class of days, its rates per 100 person-days with their exact 95 %
// interval.
type CountLine struct {
	Class string  `json:"class"`
	Days  int     `json:"days"`
	Rate  float64 `json:"per_100_days"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// FromPooled translates the counts of so many runners together.
func FromPooled(e *assess.Evidence, runners int) CountedDays {
	out := FromEvidence("", e)
	out.Runners, out.CannotShow = runners, assess.CannotShowPooled()
	return out
}

// FromEvidence translates the counts of a runner with the name.
func FromEvidence(runner string, e *assess.Evidence) CountedDays {
	out := CountedDays{
		Runner: runner, PersonDays: e.PersonDays, LeftOut: e.LeftOut, BySpike: []CountLine{}, ByRatio: []CountLine{},
		OnsetsBySpike: []OnsetLine{}, OnsetsByRatio: []OnsetLine{}, CannotShow: assess.CannotShow,
	}
	if e.BySpike != nil {
		out.First, out.Last = &e.First, &e.Last
	}
	for _, c := range e.BySpike {
		out.BySpike = append(out.BySpike, CountLine(c))
	}
	for _, c := range e.ByRatio {
		out.ByRatio = append(out.ByRatio, CountLine(c))
	}
	for _, o := range e.OnsetsBySpike {
		out.OnsetsBySpike = append(out.OnsetsBySpike, OnsetLine(o))
	}
	for _, o := range e.OnsetsByRatio {
		out.OnsetsByRatio = append(out.OnsetsByRatio, OnsetLine(o))
	}
	return out
}
