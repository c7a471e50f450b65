package load_test

import (
	"fmt"
	"testing"

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
