package load_test

import (
	"fmt"
	"testing"
	"time"

	"tidemark/load"
)

// years returns the sessions of n years with four runs a week, spikes and
// breaks.
func years(n int) *load.Input {
	var km []float64
	for week := range n * 52 {
		switch {
		case week%26 == 25: // two weeks off a year
			km = append(km, repeat(7, 0)...)
		case week%13 == 12:
			km = append(km, 9, 0, 9, 0, 9, 0, 24)
		default:
			km = append(km, 8, 0, 8, 0, 8, 0, 14)
		}
	}
	return &load.Input{Sessions: daily(monday, km...), Today: monday + load.Day(len(km))}
}

// BenchmarkYears is one whole answer for one runner: the windows of every day,
// the findings of the whole history, the headroom of today.
func BenchmarkYears(b *testing.B) {
	for _, n := range []int{1, 5, 10, 20} {
		in := years(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				h := load.NewHistory(in, load.Distance)
				rows := h.DayRows(monday, in.Today)
				findings := load.Episodes(h.Triggers())
				room := h.Headroom(in.Today, late(in.Today), nil)
				if len(rows) < n*360 || len(findings) == 0 || room.Amount == 0 {
					b.Fatal("nothing was computed")
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "µs/year")
		})
	}
}

// whole gives every session of in all that a recording has.
func whole(in *load.Input) *load.Input {
	sched, err := load.NewSchedule([]load.Change{{Key: "heart-max", Value: 186}, {Key: "heart-rest", Value: 52}})
	if err != nil {
		panic(err)
	}
	in.Settings = sched
	for i := range in.Sessions {
		s := &in.Sessions[i]
		d, _ := s.Measures.Get(load.Distance)
		for _, m := range []load.Measure{load.RunDistance, load.Flat, load.Tendon} {
			s.Measures.Set(m, d)
		}
		for _, m := range []load.Measure{load.Time, load.RunTime} {
			s.Measures.Set(m, d*36/100) // 6 min/km
		}
		s.Measures.Set(load.Exertion, load.Exertion.Of(load.Distance.In(d)*24))
		s.Measures.Set(load.Steps, d/1000)
		for bpm := 110; bpm < 170; bpm++ {
			s.HeartTimes.Add(bpm, int64(30_000+i%7))
		}
		for step := 24; step < 40; step++ {
			s.Speeds.Add(step, int64(120_000+i%5))
		}
		s.Moving, s.HeartCovered = 48*time.Minute, 48*time.Minute
	}
	return in
}

// BenchmarkWhole is everything of one runner of ten years: the windows of every day in
// every measure, the findings, the headroom in every measure that has one.
func BenchmarkWhole(b *testing.B) {
	in := whole(years(10))
	b.ReportAllocs()
	for b.Loop() {
		book := load.NewLogbook(in)
		for _, m := range load.Measures {
			h := book.History(m)
			if rows := h.DayRows(monday, in.Today); len(rows) < 3600 {
				b.Fatal("days are missing")
			}
			if m.Limited() {
				h.Headroom(in.Today, late(in.Today), nil)
			}
			if m == load.Distance && len(load.Episodes(h.Triggers())) == 0 {
				b.Fatal("nothing was found")
			}
		}
	}
}

// BenchmarkWith adds one run to ten years and answers for today and the twelve weeks
// before.
func BenchmarkWith(b *testing.B) {
	in := whole(years(10))
	h := load.NewHistory(in, load.Distance)
	added := run(in.Today, 31)
	b.ReportAllocs()
	for b.Loop() {
		after := h.With(added)
		if rows := after.DayRows(in.Today-83, in.Today); len(rows) != 84 || rows[83].Load == 0 {
			b.Fatal("the run is missing")
		}
		after.Headroom(in.Today, late(in.Today), nil)
	}
}
