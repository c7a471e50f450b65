package chart

import (
	"fmt"
	"slices"

	"tidemark/load"
)

// maxDays is the longest span of a Tideline.
const maxDays = 400

// Tideline is the load of a span of days, one column a day, standing in the water
// of the held tidemark.
type Tideline struct {
	Days  int // columns
	First load.Day
	Unit  string  // of Top and the rules: km, min, AU or count
	Top   float64 // the value at the top of the picture

	Rules []Rule
	Ticks []Tick // at the left edges of columns

	Bars    []Bar
	Planned []Bar  // outlines of the days after the last that has a row
	Water   []Step // the held tidemark, with gaps where there is none
	Dashed  []Step // the plain tidemark where it differs from the held one

	Unknown []Span // days of which nothing is known
	Base    []Span // all others: what of the base line is drawn
	Worst   *Callout
}

// Bar is the load of one day. From Surface up to Height it was new to the tendon
// and is drawn in ink.
//
// That part is as much as the longest session of the day exceeds the held tidemark
// of its day, at the top of the bar. With one session a day it begins where the
// water ends. A day of two sessions, each under the water, has none, although
// their sum may stand above it: a tidemark is that of one session. No ink lies
// under the water. Where a session went past midnight, and its load was counted on
// both days, it is no more than what of its first day stands above the water.
type Bar struct {
	Day       load.Day
	At, Width float64 // left edge; all bars are of one width
	Height    float64
	Surface   float64
	Over      bool // a session stood above its held tidemark
	Spike     bool // a session was a spike, of any class: the end is notched
}

// Callout names the worst spike in view above the middle of its bar.
type Callout struct {
	Day        load.Day
	At, Height float64
	Text       string // "15.2 km, 62 % over"
	Anchor     string // what of the text stands at At: start, middle or end
}

// NewTideline draws the days from first to last, at most 400. It panics if there
// are fewer than one or more than 400.
//
// days and sessions are the rows of one History of measure m, in order. Rows
// outside the span are left out; days without a row are empty columns. The callout
// is that of the session with the largest spike of class small or more, the
// earliest of equals; only distances have classes.
func NewTideline(m load.Measure, days []load.DayRow, sessions []load.SessionRow, first, last load.Day) Tideline {
	return NewTidelineAhead(m, days, sessions, first, last, nil)
}

// NewTidelineAhead is NewTideline with a column more for each value of ahead: what is planned
// on the days after last, in the measure's unit; zero is rest.
func NewTidelineAhead(m load.Measure, days []load.DayRow, sessions []load.SessionRow, first, last load.Day, ahead []float64) Tideline {
	known := last
	last += load.Day(len(ahead))
	if first > last || last-first >= maxDays {
		panic(fmt.Sprintf("chart: NewTideline: %v to %v is not 1 to %d days", first, last, maxDays))
	}
	n := int(last-first) + 1
	t := Tideline{Days: n, First: first, Unit: m.Unit(), Ticks: dayTicks(first, n)}
	columns := columnsOf(m, days, sessions, first, n)
	var s scale
	s, t.Rules = fromZero(max(highest(m, columns), slices.Max(append([]float64{0}, ahead...))))
	t.Top = s.high
	t.setBars(columns, s)
	for i, v := range ahead {
		if v > 0 {
			at := int(known-first) + 1 + i
			t.Planned = append(t.Planned, Bar{Day: first + load.Day(at), At: (float64(at) + (1-barShare)/2) / float64(n), Width: barShare / float64(n), Height: s.at(v)})
		}
	}
	t.setWater(columns, s)
	t.setBase(columns)
	t.setWorst(m, columns, sessions, s)
	return t
}

// edge returns the left edge of the i-th column; that of the one after the last is
// the right end.
func (t *Tideline) edge(i int) float64 { return float64(i) / float64(t.Days) }

// Middle returns the middle of a day's column, for marks on the same days. It
// panics on a day outside the span.
func (t Tideline) Middle(day load.Day) float64 {
	i := int(day - t.First)
	if i < 0 || i >= t.Days {
		panic(fmt.Sprintf("chart: Middle: %v is not one of the %d days from %v", day, t.Days, t.First))
	}
	return (float64(i) + 0.5) / float64(t.Days)
}

// barShare is the part of a column's width that its bar takes; project default.
const barShare = 0.62

func (t *Tideline) setBars(columns []column, s scale) {
	for i := range columns {
		c := &columns[i]
		if c.load <= 0 {
			continue
		}
		surface := max(c.load-max(0, c.over), min(c.load, c.held))
		t.Bars = append(t.Bars, Bar{
			Day:    t.First + load.Day(i),
			At:     (float64(i) + (1-barShare)/2) / float64(t.Days),
			Width:  barShare / float64(t.Days),
			Height: s.at(c.load), Surface: s.at(surface),
			Over: c.over > 0, Spike: c.spike,
		})
	}
}

// dashedFrom is the part of the top by which the plain tidemark must differ from
// the held one to be seen apart from it; project default.
const dashedFrom = 0.01

func (t *Tideline) setWater(columns []column, s scale) {
	held, plain := make([]float64, len(columns)), make([]float64, len(columns))
	for i := range columns {
		c := &columns[i]
		held[i] = s.at(c.held)
		if p := s.at(c.plain); max(p-held[i], held[i]-p) > dashedFrom {
			plain[i] = p
		}
	}
	t.Water, t.Dashed = t.steps(held), t.steps(plain)
}

// steps joins columns of one level. A level of zero is none.
func (t *Tideline) steps(levels []float64) (steps []Step) {
	for i, level := range levels {
		switch {
		case level == 0:
		case i > 0 && levels[i-1] == level:
			steps[len(steps)-1].To = t.edge(i + 1)
		default:
			steps = append(steps, Step{t.edge(i), t.edge(i + 1), level})
		}
	}
	return steps
}

// setBase breaks the base line where days are unknown.
func (t *Tideline) setBase(columns []column) {
	for i := range columns {
		spans := &t.Base
		if columns[i].unknown {
			spans = &t.Unknown
		}
		if i > 0 && columns[i-1].unknown == columns[i].unknown {
			(*spans)[len(*spans)-1].To = t.edge(i + 1)
		} else {
			*spans = append(*spans, Span{t.edge(i), t.edge(i + 1)})
		}
	}
}

// anchorEdge is how near an edge a callout may have its middle: on a phone its
// text takes 37 % of the width. Project default.
const anchorEdge = 0.2

func (t *Tideline) setWorst(m load.Measure, columns []column, sessions []load.SessionRow, s scale) {
	worst := t.worst(sessions)
	if worst < 0 {
		return
	}
	top, _ := sessions[worst].Spike.Get()
	day := sessions[worst].Day
	t.Worst = &Callout{
		Day: day, At: t.Middle(day), Height: s.at(columns[day-t.First].load), Anchor: "middle",
		Text: fmt.Sprintf("%.1f %s, %.0f %% over", m.In(sessions[worst].Load), m.Unit(), 100*top),
	}
	switch {
	case t.Worst.At < anchorEdge:
		t.Worst.Anchor = "start"
	case t.Worst.At > 1-anchorEdge:
		t.Worst.Anchor = "end"
	}
}

// worst returns the session with the largest spike in view, -1 for none. Those of
// the first 30 days, against a history that is too short to know, are the worst
// only where there is no other.
func (t *Tideline) worst(sessions []load.SessionRow) int {
	worst, top := -1, 0.0
	for i := range sessions {
		row := &sessions[i]
		spike, ok := row.Spike.Get()
		if !ok || row.Class <= load.NoSpike || !t.holds(row.Day) {
			continue
		}
		firmer := worst >= 0 && sessions[worst].Provisional && !row.Provisional
		softer := worst >= 0 && !sessions[worst].Provisional && row.Provisional
		if firmer || !softer && spike > top {
			worst, top = i, spike
		}
	}
	return worst
}

func (t *Tideline) holds(day load.Day) bool {
	return day >= t.First && int(day-t.First) < t.Days
}
