package load_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
)

// gapDay counts days from the first run of these tests.
func gapDay(n int) load.Day { return load.Date(2026, 3, 2) + load.Day(n) }

// kmOn is a recorded run of so many km at 08:00 UTC.
func kmOn(n int, km float64) load.Session {
	start := load.InstantOf(gapDay(n).Noon()) - 4*3600*1000
	s := load.Session{
		ID: fmt.Sprintf("run-%d", n), Day: gapDay(n), Start: start, End: start + 3600*1000, Sport: load.Running,
		DistanceSource: load.DistanceFromDevice, Distance: load.Metres(km * 1000),
	}
	s.Measures.Set(load.Distance, load.Distance.Of(km))
	s.Measures.Set(load.Time, load.Time.Of(6*km))
	return s
}

// withGap is a history of a run of 8 km on day 0 and one of 5 km on day 25, with
// 24 days without a record between.
func withGap(gaps ...load.Gap) *load.Input {
	return &load.Input{Sessions: []load.Session{kmOn(0, 8), kmOn(25, 5)}, Gaps: gaps, Today: gapDay(26)}
}

func span(first, last int) load.DaySpan {
	return load.DaySpan{First: gapDay(first), Last: gapDay(last)}
}

// states lists the first letters of the states of days 0 to 26.
func states(in *load.Input) (out string) {
	for _, row := range load.NewHistory(in, load.Distance).DayRows(gapDay(0), gapDay(26)) {
		out += row.State.String()[:2] + " "
	}
	return out
}

// "About 4 runs, the longest 9 km", in 24 days: every sixth day, the third of them
// the longest; the lengths of the others are not known.
func ExampleGap() {
	in := withGap(load.Gap{DaySpan: span(1, 24), Answer: load.GapRan, Runs: 4, Longest: load.Distance.Of(9)})
	h := load.NewHistory(in, load.Distance)
	for _, run := range h.SessionRows(gapDay(0), gapDay(26)) {
		fmt.Println(run.Day, h.DayRows(run.Day, run.Day)[0].State, load.Distance.In(run.Load))
	}
	// Output:
	// 2026-03-02 recorded 8
	// 2026-03-06 unknown 0
	// 2026-03-12 unknown 0
	// 2026-03-18 reported 9
	// 2026-03-24 unknown 0
	// 2026-03-27 recorded 5
}

// Ten days without a record are assumed rest, project default.
func TestGapStates(t *testing.T) {
	silent := "re " + many("as ", 10) + many("un ", 14) + "re as "
	for _, test := range []struct {
		name string
		gaps []load.Gap
		want string
	}{
		{"not asked", nil, silent},
		{"rested", []load.Gap{{DaySpan: span(1, 24), Answer: load.GapRested}}, "re " + many("re ", 24) + "re as "},
		{"nobody knows", []load.Gap{{DaySpan: span(1, 24), Answer: load.GapUnknown}}, "re " + many("un ", 24) + "re as "},
		{"ran", []load.Gap{{DaySpan: span(1, 24), Answer: load.GapRan, Runs: 1, Longest: 9_000_000}}, "re " + many("as ", 12) + "re " + many("as ", 11) + "re as "},
		{"taken back", []load.Gap{{DaySpan: span(1, 24), Answer: load.GapRested}, {DaySpan: span(1, 24)}}, silent},
		{
			"a part said otherwise",
			[]load.Gap{{DaySpan: span(1, 24), Answer: load.GapUnknown}, {DaySpan: span(1, 4), Answer: load.GapRested}},
			"re " + many("re ", 4) + many("un ", 20) + "re as ",
		},
		{"a record stands over it", []load.Gap{{DaySpan: span(0, 26), Answer: load.GapUnknown}}, "re " + many("un ", 24) + "re un "},
	} {
		t.Run(test.name, func(t *testing.T) {
			if diff := cmp.Diff(test.want, states(withGap(test.gaps...))); diff != "" {
				t.Errorf("states (-want +got):\n%s", diff)
			}
		})
	}
}

func many(what string, n int) (out string) {
	for range n {
		out += what
	}
	return out
}

// The question is asked of the whole gap, once.
func TestGapsToAsk(t *testing.T) {
	gaps := func(in *load.Input) []load.DaySpan { return load.NewHistory(in, load.Distance).Gaps() }
	if diff := cmp.Diff([]load.DaySpan{span(1, 24)}, gaps(withGap())); diff != "" {
		t.Errorf("not asked: %s", diff)
	}
	for _, answer := range []load.GapAnswer{load.GapRested, load.GapUnknown} {
		if got := gaps(withGap(load.Gap{DaySpan: span(1, 24), Answer: answer})); len(got) > 0 {
			t.Errorf("%s, and still asked of %v", answer, got)
		}
	}
	in := withGap()
	in.Today = gapDay(40)
	if diff := cmp.Diff([]load.DaySpan{span(1, 24), span(26, 39)}, gaps(in)); diff != "" {
		t.Errorf("a gap that is not over: %s", diff)
	}
	in.Today = gapDay(35)
	if got := gaps(in); len(got) != 1 {
		t.Errorf("ten days are no gap: %v", got)
	}
	if got := gaps(&load.Input{Today: gapDay(0)}); len(got) > 0 {
		t.Errorf("of nothing: %v", got)
	}
}

// A run that the watch had after all is one of those that were told of.
func TestRecordedRunIsOneOfTheTold(t *testing.T) {
	in := withGap(load.Gap{DaySpan: span(1, 24), Answer: load.GapRan, Runs: 2})
	in.Sessions = append(in.Sessions, kmOn(7, 6))
	if got := load.NewHistory(in, load.Distance).SessionRows(gapDay(1), gapDay(24)); len(got) != 2 {
		t.Errorf("%d runs, want the 2 that were said", len(got))
	}
}

// Runs whose day nobody said make no finding of their own, and end a break: the
// last of the four is 8 days before the run of day 25 at most.
func TestToldRunsWarnOfNothing(t *testing.T) {
	in := withGap(load.Gap{DaySpan: span(1, 24), Answer: load.GapRan, Runs: 4, Longest: load.Distance.Of(20)})
	for _, found := range load.NewHistory(in, load.Distance).Triggers() {
		if found.Rule == load.RuleAfterBreak || found.Rule == load.RuleSessionSpike {
			t.Errorf("%+v", found)
		}
	}
	silent := load.NewHistory(withGap(), load.Distance).Triggers()
	if len(silent) != 1 || silent[0].Rule != load.RuleAfterBreak {
		t.Errorf("with nothing said: %+v", silent)
	}
}

func TestGapCheck(t *testing.T) {
	for _, g := range []load.Gap{
		{DaySpan: span(5, 4), Answer: load.GapRested},
		{DaySpan: span(1, 4), Answer: "flew"},
		{DaySpan: span(1, 4), Answer: load.GapRested, Runs: 1},
		{DaySpan: span(1, 4), Answer: load.GapRan},
		{DaySpan: span(1, 4), Answer: load.GapRan, Runs: 5},
		{DaySpan: span(1, 4), Answer: load.GapRan, Runs: 2, Longest: -1},
		{DaySpan: span(1, 4), Answer: load.GapRan, Runs: 2, Longest: load.Distance.Of(301)},
	} {
		if g.Check() == nil {
			t.Errorf("%+v was taken", g)
		}
	}
	for _, g := range []load.Gap{{DaySpan: span(1, 1)}, {DaySpan: span(1, 4), Answer: load.GapRan, Runs: 4, Longest: 9_000_000}} {
		if err := g.Check(); err != nil {
			t.Errorf("%+v: %v", g, err)
		}
	}
}

// Runs without a length are no part of what is usual: of four Mondays three are known.
func TestToldRunsAreNotUsual(t *testing.T) {
	in := &load.Input{Today: gapDay(35), Gaps: []load.Gap{{DaySpan: span(21, 21), Answer: load.GapRan, Runs: 1}}}
	for _, n := range []int{0, 7, 14, 28} {
		in.Sessions = append(in.Sessions, kmOn(n, 8))
	}
	room := load.NewHistory(in, load.Distance).Headroom(in.Today, load.InstantOf(in.Today.Noon()), nil)
	if usual, ok := room.Usual.Get(); !ok || usual != 8 {
		t.Errorf("usual %v (%v), want 8 km", usual, ok)
	}
	in.Sessions = in.Sessions[2:]
	room = load.NewHistory(in, load.Distance).Headroom(in.Today, load.InstantOf(in.Today.Noon()), nil)
	if usual, ok := room.Usual.Get(); ok {
		t.Errorf("usual %v of two known Mondays", usual)
	}
}
