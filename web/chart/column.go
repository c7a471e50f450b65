package chart

import "tidemark/load"

// column is what one day brings to a Tideline, in the measure's unit. A tidemark
// of zero is none.
type column struct {
	load, held, plain float64
	over              float64 // of the longest session over its held tidemark, if above zero
	spike, unknown    bool
}

// columnsOf lays the rows of the n days from first on out by day.
func columnsOf(m load.Measure, days []load.DayRow, sessions []load.SessionRow, first load.Day, n int) []column {
	columns := make([]column, n)
	for i := range days {
		at := int(days[i].Date - first)
		if at < 0 || at >= n {
			continue
		}
		c := &columns[at]
		c.load, c.unknown = days[i].Load, days[i].State == load.Unknown
		c.held, _ = days[i].HeldTidemark.Get()
		c.plain, _ = days[i].Tidemark.Get()
	}
	for i := range sessions {
		at := int(sessions[i].Day - first)
		if at < 0 || at >= n {
			continue
		}
		c := &columns[at]
		c.spike = c.spike || sessions[i].Class > load.NoSpike
		if held, ok := sessions[i].HeldTidemark.Get(); ok {
			c.over = max(c.over, m.In(sessions[i].Load)-held)
		}
	}
	return columns
}

// highest returns the largest value in view, or where there is none a usual run,
// so that an empty picture has rules too.
func highest(m load.Measure, columns []column) float64 {
	top := 0.0
	for i := range columns {
		top = max(top, columns[i].load, columns[i].held, columns[i].plain)
	}
	if top == 0 {
		return usualRun(m)
	}
	return top
}

// usualRun returns a round amount in the measure's unit; project defaults.
func usualRun(m load.Measure) float64 {
	switch {
	case m.IsLength():
		return 10
	case m.IsTime():
		return 60
	case m == load.Exertion:
		return 300
	}
	return 10_000
}
