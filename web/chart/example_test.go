package chart_test

import (
	"fmt"
	"time"

	"tidemark/load"
	"tidemark/web/chart"
)

// Twelve weeks of runs of 8 km, the longest 10 km on Sundays; the last Sunday's is
// 15 km, and the Monday after is the last day in view.
func ExampleNewTideline() {
	first := load.Date(2026, time.March, 2) // a Monday
	last := first + 84
	in := &load.Input{Today: last}
	for day := first; day < last; day++ {
		km := map[time.Weekday]float64{time.Tuesday: 8, time.Thursday: 8, time.Sunday: 10}[day.Weekday()]
		if day == last-1 {
			km = 15
		}
		if km > 0 {
			in.Sessions = append(in.Sessions, runOf(day, km))
		}
	}
	h := load.NewHistory(in, load.Distance)
	view := last - 13 // two weeks

	p := chart.NewTideline(load.Distance, h.DayRows(view, last), h.SessionRows(view, last), view, last)
	for _, b := range p.Bars {
		fmt.Printf("%v: %.1f km, new to the tendon %.1f\n", b.Day, b.Height*p.Top, (b.Height-b.Surface)*p.Top)
	}
	for _, w := range p.Water {
		fmt.Printf("water at %.1f km from %s to %s\n", w.Level*p.Top, chart.Percent(w.From), chart.Percent(w.To))
	}
	fmt.Println(p.Worst.Text)
	fmt.Println(p.OverPath())
	// Output:
	// 2026-05-12: 8.0 km, new to the tendon 0.0
	// 2026-05-14: 8.0 km, new to the tendon 0.0
	// 2026-05-17: 10.0 km, new to the tendon 0.0
	// 2026-05-19: 8.0 km, new to the tendon 0.0
	// 2026-05-21: 8.0 km, new to the tendon 0.0
	// 2026-05-24: 15.0 km, new to the tendon 5.0
	// water at 10.0 km from 0% to 100%
	// 15.0 km, 50 % over
	// M8707 4203V1304L8928 1454L9150 1304V4203Z
}

// runOf returns a run at seven in the morning.
func runOf(day load.Day, km float64) load.Session {
	s := load.Session{
		ID: day.String(), Day: day, Sport: load.Running,
		Start: load.InstantOf(day.Noon().Add(-5 * time.Hour)), Distance: load.Metres(1000 * km),
	}
	s.End = s.Start.Add(time.Duration(6*km) * time.Minute)
	s.Measures.Set(load.Distance, load.Distance.Of(km))
	return s
}
