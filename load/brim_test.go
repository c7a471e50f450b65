package load_test

import (
	"fmt"
	"testing"

	"tidemark/load"
)

// brim is a runner who always runs as much as the limits allow.
type brim struct {
	start    []float64          // km by day before the brim begins
	off      int                // days without a run in between
	weekdays func(day int) bool // on which days there is a run
	most     float64            // km that the runner has time for
	weeks    int
}

// fill runs it and returns the km of every day from the start on.
func (b brim) fill() []float64 {
	km := append(append([]float64{}, b.start...), repeat(b.off, 0)...)
	in := &load.Input{Sessions: daily(monday, km...)}
	for i := range b.weeks * 7 {
		km = append(km, 0)
		if !b.weekdays(i) {
			continue
		}
		in.Today = monday + load.Day(len(km)-1)
		room := load.NewHistory(in, load.Distance).Headroom(in.Today, late(in.Today), nil)
		if d := min(load.Distance.In(room.Amount), b.most); d >= 0.1 {
			km[len(km)-1] = d
			in.Sessions = append(in.Sessions, run(in.Today, d))
		}
	}
	return km
}

func everyDay(int) bool       { return true }
func threeAWeek(day int) bool { return day%7 == 0 || day%7 == 2 || day%7 == 6 }

// TestBrimNeverCompounds fills the headroom to the brim for three years, at 5, 50
// and 120 km a week, every day and on three days a week, and holds every day
// against bounds computed from the plain distances alone: no run is longer than
// the longest that is at least a week old allows, and no seven days hold more
// than the best seven that ended at least a week ago allow.
func TestBrimNeverCompounds(t *testing.T) {
	for _, week := range []float64{5, 50, 120} {
		for name, weekdays := range map[string]func(int) bool{"daily": everyDay, "three a week": threeAWeek} {
			t.Run(fmt.Sprintf("%v km, %s", week, name), func(t *testing.T) {
				b := brim{repeat(8, week/5, 0, week/5, 0, week/5, 0, 2*week/5), 0, weekdays, 60, 156}
				km := b.fill()
				checkBounds(t, km, len(b.start))
				first, last := sum(km[49:56]), sum(km[len(km)-7:])
				if last <= first {
					t.Errorf("the week went from %.1f to %.1f km in three years: the limits never let it grow", first, last)
				}
			})
		}
	}
}

func checkBounds(t *testing.T, km []float64, from int) {
	t.Helper()
	const rounding = 1e-5 // whole millimetres
	for i := from; i < len(km); i++ {
		long, best := 0.0, 0.0
		for j := max(0, i-30); j <= i-7; j++ {
			long = max(long, km[j])
		}
		if bound := long + max(0.1*long, 0.5); long > 0 && km[i] > bound+rounding {
			t.Fatalf("day %d: %.3f km, with %.3f the longest of the days before the last week", i, km[i], long)
		}
		for j := max(6, i-34); j <= i-7; j++ {
			best = max(best, sum(km[j-6:j+1]))
		}
		if bound := best + max(min(0.3*best, 12), 2); km[i] > 0 && sum(km[i-6:i+1]) > bound+rounding {
			t.Fatalf("day %d: %.3f km in seven days, with %.3f the best week before the last", i, sum(km[i-6:i+1]), best)
		}
	}
}

func sum(km []float64) (total float64) {
	for _, d := range km {
		total += d
	}
	return total
}

// TestBrimAfterABreak returns after 3 to 40 days off, from 50 km a week with a
// long run of 20, and fills the headroom to the brim.
func TestBrimAfterABreak(t *testing.T) {
	start := repeat(10, 10, 0, 10, 0, 10, 0, 20)
	tests := []struct {
		off       int
		first     float64 // km of the first run; worked by hand
		firstWeek float64 // at most, in km
		weeksBack int     // weeks until a week of 50 km is reached, at least
	}{
		{3, 22, 62, 0},       // 20 and 10 %; 50 + 12
		{7, 10, 37.5, 1},     // 8 days since the last run: the median run, 3/4 of the week
		{13, 10, 37.5, 1},    // 14 days
		{14, 5, 25, 2},       // 15 days: half of both
		{27, 5, 25, 2},       // 28 days
		{28, 2.88, 20.16, 4}, // 29 days: 20 easy minutes, on seven days
		{40, 2.88, 20.16, 4},
	}
	for _, tt := range tests {
		for name, weekdays := range map[string]func(int) bool{"daily": everyDay, "three a week": threeAWeek} {
			t.Run(fmt.Sprintf("%d days off, %s", tt.off, name), func(t *testing.T) {
				km := brim{start, tt.off, weekdays, 60, 52}.fill()[len(start)+tt.off:]
				if !near(km[0], tt.first, 1e-6) {
					t.Errorf("first run %.3f km, want %.3f", km[0], tt.first)
				}
				if got := sum(km[:7]); got > tt.firstWeek+1e-5 {
					t.Errorf("first week %.3f km, want at most %.3f", got, tt.firstWeek)
				}
				back := weeksUntil(km, 50)
				if back < tt.weeksBack || back >= 52 {
					t.Errorf("back at 50 km after %d weeks, want %d to 51", back, tt.weeksBack)
				}
			})
		}
	}
}

// weeksUntil returns the first week with so many km, or their number.
func weeksUntil(km []float64, want float64) int {
	for week := range len(km) / 7 {
		if sum(km[7*week:7*week+7]) >= want {
			return week
		}
	}
	return len(km) / 7
}

// TestBeginnerFillsTheBrim starts from nothing: the limits must open, slowly.
func TestBeginnerFillsTheBrim(t *testing.T) {
	km := brim{nil, 0, threeAWeek, 60, 26}.fill()
	if first := km[0]; first != 2.88 {
		t.Errorf("first run %.3f km, want 20 min at 2.4 m/s: 2.88", first)
	}
	checkBounds(t, km, 21)
	if got := sum(km[len(km)-7:]); got < 12 {
		t.Errorf("half a year later %.1f km a week, want 12 or more", got)
	}
}
