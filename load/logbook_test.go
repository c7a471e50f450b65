package load_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
)

// TestWith adds a run to five years, on the last day and in the middle: the same as
// with the run from the start, and only the days around it are laid out anew.
func TestWith(t *testing.T) {
	in := years(5)
	before := load.NewHistory(in, load.Distance)
	for _, back := range []load.Day{0, 1, 9, 400} {
		added := run(in.Today-back, 31)
		added.ID, added.Double = "added", load.DoubleApart
		all := *in
		all.Sessions = append(append([]load.Session{}, in.Sessions...), added)
		if !before.TakesOver(added) {
			t.Errorf("%d days back: everything was laid out anew", back)
		}
		want := laidOut(load.NewHistory(&all, load.Distance), &all, load.Distance)
		if diff := cmp.Diff(want, laidOut(before.With(added), &all, load.Distance), undefined); diff != "" {
			t.Errorf("%d days back (-from the start +added):\n%s", back, diff)
		}
	}
	for name, s := range map[string]load.Session{
		"before the first day": run(monday-1, 5), "a double of a run": in.Sessions[100],
	} {
		if before.TakesOver(s) {
			t.Errorf("%s: the old days were taken over", name)
		}
	}
}

// TestWithPastMidnight adds a run three days after two recordings that went on past
// midnight: they are one bout of the first day, and their kilometres are of both.
func TestWithPastMidnight(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, repeat(10, 8, 0)...), Today: monday + 26}
	for i, km := range []float64{10, 6} {
		s := run(monday+22+load.Day(i), km)
		s.Start = load.InstantOf((monday + 22).Noon().Add(11 * time.Hour))
		if i == 1 {
			s.Start = load.InstantOf((monday + 23).Noon().Add(-11*time.Hour - 55*time.Minute))
		}
		s.End = s.Start.Add(time.Duration(km) * 6 * time.Minute)
		in.Sessions = append(in.Sessions, s)
	}
	added := run(monday+26, 5)
	added.ID, added.Double = "added", load.DoubleApart
	all := *in
	all.Sessions = append(append([]load.Session{}, in.Sessions...), added)
	want := laidOut(load.NewHistory(&all, load.Distance), &all, load.Distance)
	if diff := cmp.Diff(want, laidOut(load.NewHistory(in, load.Distance).With(added), &all, load.Distance), undefined); diff != "" {
		t.Errorf("-from the start +added:\n%s", diff)
	}
}

// TestUnknownIsNoRecord: "nobody knows" is not followed by ten days of assumed rest, and a
// run that is told of before the first known one begins no history.
func TestUnknownIsNoRecord(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, repeat(24, 8, 0)...), Today: monday + 69}
	in.Gaps = []load.Gap{{DaySpan: load.DaySpan{First: monday + 48, Last: monday + 60}, Answer: load.GapUnknown}}
	rows := load.NewHistory(in, load.Distance).DayRows(monday+61, in.Today)
	for _, row := range rows {
		if row.State != load.Unknown {
			t.Errorf("%v is %v after days of which nobody knows, want unknown", row.Date, row.State)
		}
	}
	in = &load.Input{Sessions: daily(monday, 8, 0, 8), Today: monday + 2}
	in.Gaps = []load.Gap{{DaySpan: load.DaySpan{First: monday - 300, Last: monday - 270}, Answer: load.GapRan, Runs: 1, Longest: load.Distance.Of(42)}}
	h := load.NewHistory(in, load.Distance)
	if room := h.Headroom(in.Today, late(in.Today), nil); h.First() != monday || room.State != load.Provisional {
		t.Errorf("history from %v, %v; want from %v, provisional", h.First(), room.State, monday)
	}
	in.Settings = answered(t, monday, map[string]float64{"assumed-rest-days": 0})
	in.Today++
	if gaps := load.NewHistory(in, load.Distance).Gaps(); len(gaps) > 1 || len(gaps) == 1 && gaps[0].Last < gaps[0].First {
		t.Errorf("gaps %v: today is asked about before it is over", gaps)
	}
}
