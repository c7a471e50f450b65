package load_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
)

// checkUntil lays a history out up to an earlier day and goes on from there: the same as
// up to the later day from the start.
func checkUntil(t *testing.T, in *load.Input, m load.Measure, days load.Day) {
	t.Helper()
	early, late := *in, *in
	early.Today = max(in.Today-days/2, monday)
	late.Today = early.Today + days
	before := load.NewHistory(&early, m)
	was := laidOut(before, &early, m)
	if diff := cmp.Diff(laidOut(load.NewHistory(&late, m), &late, m), laidOut(before.Until(late.Today), &late, m), undefined); diff != "" {
		t.Fatalf("%v, %d days on (-from the start +until):\n%s", m, days, diff)
	}
	if diff := cmp.Diff(was, laidOut(before, &early, m), undefined); diff != "" {
		t.Fatalf("%v: going on changed the history before:\n%s", m, diff)
	}
}

// TestUntil goes on by a day to six weeks: nobody runs, breaks begin, days become unknown.
func TestUntil(t *testing.T) {
	in := years(2)
	in.Verdicts = map[string]load.Verdict{in.Sessions[len(in.Sessions)-1].ID: load.Unsettled}
	in.Races = []load.PlannedRace{{Day: in.Today + 3, Distance: load.Distance.Of(10)}}
	in.Complaints = []load.DaySpan{{First: in.Today - 3, Last: in.Today + 20}}
	in.Rests = []load.Day{in.Today - 1, in.Today + 2}
	in.Gaps = []load.Gap{{DaySpan: load.DaySpan{First: in.Today - 200, Last: in.Today - 190}, Answer: load.GapUnknown}}
	for _, days := range []load.Day{0, 1, 2, 5, 8, 15, 29, 42} {
		checkUntil(t, in, load.Distance, days)
		checkUntil(t, in, load.RunTime, days)
	}
	checkUntil(t, &load.Input{Today: monday + 9}, load.Distance, 3)
}

// TestUntilPastMidnight goes on from a day whose run went on past midnight, elsewhere.
func TestUntilPastMidnight(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, repeat(10, 8, 0)...), Today: monday + 22}
	s := run(monday+22, 10)
	s.Start = load.InstantOf((monday + 22).Noon().Add(23 * time.Hour))
	s.End = s.Start.Add(time.Hour)
	in.Sessions = append(in.Sessions, s)
	for days := range load.Day(12) {
		checkUntil(t, in, load.Distance, days)
	}
}

// BenchmarkUntil goes on by a day from two years.
func BenchmarkUntil(b *testing.B) {
	in := years(2)
	h := load.NewHistory(in, load.Distance)
	b.Run("until", func(b *testing.B) {
		for b.Loop() {
			h.Until(in.Today + 1)
		}
	})
	b.Run("anew", func(b *testing.B) {
		ahead := *in
		ahead.Today++
		for b.Loop() {
			load.NewHistory(&ahead, load.Distance)
		}
	})
}
