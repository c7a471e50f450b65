package ramp_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// date is a day of 2026.
func date(month time.Month, day int) load.Day { return load.Date(2026, month, day) }

// scores is what a morning said; below zero: not said.
type scores struct{ during, after, next, stiffness int }

// ofRun is the morning that answers the run of a day.
func ofRun(day load.Day, s scores) rehab.Morning {
	m := rehab.Morning{Day: day + 1}
	score := func(n int) *rehab.Score {
		if n < 0 {
			return nil
		}
		v := rehab.Score(n)
		return &v
	}
	m.During, m.After, m.Next = score(s.during), score(s.after), score(s.next)
	if s.stiffness >= 0 {
		m.Stiffness = &s.stiffness
	}
	return m
}

var allDays = [7]bool{true, true, true, true, true, true, true}

// runner is the runner of the worked plan (rehab reference 5.7): the middle of the left
// Achilles tendon, two runs of 10 min before the start, no Fridays.
func runner() *ramp.Inputs {
	free := allDays
	free[time.Friday] = false
	return &ramp.Inputs{
		Site: rehab.AchillesMid, Start: date(3, 2), Weeks: 8, Free: free,
		Past: []ramp.Past{{Day: date(2, 23), Run: 10}, {Day: date(2, 26), Run: 10}},
		Base: rehab.Baseline{Pain: 1, Stiffness: 5, HasStiffness: true},
	}
}

var (
	unsettled = scores{3, 2, 2, 8}
	flared    = scores{4, 4, 3, 20}
	missing   = scores{2, 2, -1, -1}
)

func make_(t *testing.T, in *ramp.Inputs) ramp.Plan {
	t.Helper()
	if err := in.Check(); err != nil {
		t.Fatal(err)
	}
	return ramp.Make(in)
}

// on returns a day of a plan.
func on(t *testing.T, p ramp.Plan, d load.Day) ramp.Day {
	t.Helper()
	i := int(d - p.Inputs.Start)
	if i < 0 || i >= len(p.Days) || p.Days[i].Day != d {
		t.Fatalf("the plan has no %v", d)
	}
	return p.Days[i]
}

func near(a, b ramp.Minutes) bool { return math.Abs(float64(a-b)) < 1e-9 }

// TestWorkedPlan is the eight-week plan of the rehab reference 5.7, each run of it with
// its caps, and check values 21 to 23; project default.
func TestWorkedPlan(t *testing.T) {
	in := runner()
	in.Mornings = []rehab.Morning{ofRun(date(3, 14), unsettled), ofRun(date(3, 28), missing), ofRun(date(4, 11), flared)}
	p := make_(t, in)
	want := []struct {
		day                   load.Day
		stage                 int
		run, cap_, sum, weekC ramp.Minutes
		verdict               load.Verdict
		action                ramp.Action
	}{
		{date(3, 2), 1, 10, 13, 20, 30, load.Settled, ramp.Go},
		{date(3, 5), 1, 10, 13, 20, 30, load.Settled, ramp.Go},
		{date(3, 8), 1, 10, 13, 30, 30, load.Settled, ramp.Go},
		{date(3, 11), 1, 10, 13, 30, 40, load.Settled, ramp.GapDown},
		{date(3, 14), 1, 10, 13, 30, 40, load.Unsettled, ramp.Repeat},
		{date(3, 17), 1, 10, 13, 30, 40, load.Settled, ramp.Go},
		{date(3, 19), 1, 10, 13, 30, 40, load.Settled, ramp.Advance},
		{date(3, 21), 2, 12, 13, 32, 40, load.Settled, ramp.Go},
		{date(3, 24), 2, 12, 15, 34, 42, load.Settled, ramp.Advance},
		{date(3, 26), 3, 15, 15, 39, 44.2, load.Settled, ramp.Go},
		{date(3, 28), 3, 15, 18, 42, 50.7, load.Missing, ramp.Go},
		{date(3, 31), 3, 15, 18, 45, 54.6, load.Settled, ramp.Advance},
		{date(4, 2), 4, 18, 18, 48, 58.5, load.Settled, ramp.Go},
		{date(4, 4), 4, 18, 21, 51, 62.4, load.Settled, ramp.Advance},
		{date(4, 7), 5, 21, 21, 57, 66.3, load.Settled, ramp.Go},
		{date(4, 9), 5, 21, 24, 60, 74.1, load.Settled, ramp.Advance},
		{date(4, 11), 6, 24, 24, 66, 78, load.Flared, ramp.Back},
		{date(4, 15), 5, 21, 27, 66, 85.8, load.Settled, ramp.Go},
		{date(4, 19), 5, 21, 27, 42, 85.8, load.Settled, ramp.Advance},
		{date(4, 21), 6, 24, 27, 66, 85.8, load.Settled, ramp.Go},
		{date(4, 23), 6, 24, 27, 69, 85.8, load.Settled, ramp.Advance},
		{date(4, 26), 7, 27, 27, 75, 89.7, load.Settled, ramp.Go},
	}
	next := 0
	for _, d := range p.Days {
		if d.Kind == ramp.Rest {
			continue
		}
		if next == len(want) {
			t.Fatalf("a run on %v beyond the worked plan", d.Day)
		}
		w := want[next]
		next++
		if d.Day != w.day || d.Stage != w.stage || !near(d.Total, w.run) || !near(d.Session, w.cap_) ||
			!near(d.Week, w.sum) || !near(d.WeekCap, w.weekC) || d.Verdict != w.verdict || d.Action != w.action {
			t.Errorf("got %+v\nwant %+v", d, w)
		}
	}
	if next != len(want) || len(p.Days) != 56 {
		t.Errorf("%d runs in %d days, want %d in 56", next, len(p.Days), len(want))
	}
	for _, r := range []struct {
		day    load.Day
		reason string
	}{
		{date(3, 3), "rest: spacing, 0 rest days of 2"},
		{date(3, 13), "rest: Friday is not free"},
		{date(3, 16), "rest: spacing, 1 rest day of 2"},
		{date(3, 23), "rest: weekly cap, 44 min > 42 min"},
		{date(3, 30), "rest: weekly cap, 57 min > 54.6 min"},
		{date(4, 6), "rest: weekly cap, 72 min > 66.3 min"},
		{date(4, 14), "rest: spacing, 2 rest days of 3"},
		{date(4, 25), "rest: weekly cap, 96 min > 89.7 min"},
	} {
		if d := on(t, p, r.day); d.Kind != ramp.Rest || d.Reason != r.reason {
			t.Errorf("%v: %s %q, want %q", r.day, d.Kind, d.Reason, r.reason)
		}
	}
	if d := on(t, p, date(4, 11)); !strings.Contains(d.Reason, "flared (rise 3 >= 3): back to stage 5") {
		t.Errorf("11 April: %q", d.Reason)
	}
}

// TestAllSettled is the course without a mishap (rehab reference 5.6, check value 24,
// project default): 30 min continuous on day 50, 42 min on day 69.
func TestAllSettled(t *testing.T) {
	for _, test := range []struct {
		minutes float64
		want    load.Day
	}{{30, date(4, 20)}, {42, date(5, 9)}} {
		in := runner()
		in.Goal = ramp.Goal{Km: test.minutes / 6, Pace: 6}
		in.Weeks = 12
		p := make_(t, in)
		if !p.Feasible || p.Earliest != test.want {
			t.Errorf("%g min: feasible %v, earliest %v, want %v", test.minutes, p.Feasible, p.Earliest, test.want)
		}
		if d := on(t, p, test.want); !near(d.Run, ramp.Minutes(test.minutes)) || d.Reps != 1 {
			t.Errorf("%v: %+v", test.want, d)
		}
	}
	// The sentence below the worked plan: stage 10 on 25 April.
	if d := on(t, make_(t, runner()), date(4, 25)); d.Stage != 10 || d.Total != 33 {
		t.Errorf("25 April: %+v", d)
	}
}
