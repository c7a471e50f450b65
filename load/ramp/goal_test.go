package ramp_test

import (
	"fmt"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// TestGoalTooEarly: a goal that comes before the rules allow it is answered with the
// earliest date (rehab reference 5.2 C11 and 5.6), and the days stay as they are.
func TestGoalTooEarly(t *testing.T) {
	in := runner()
	in.Goal = ramp.Goal{Km: 5, Pace: 6, IsBy: true, By: date(4, 19)}
	p := make_(t, in)
	if p.Feasible || p.Earliest != date(4, 20) {
		t.Errorf("feasible %v, earliest %v", p.Feasible, p.Earliest)
	}
	if !says(p.Reasons, "goal of 5 km: 30 min in one run at 6:00 per km: 2026-04-20 at the earliest, not by 2026-04-19; what binds: ") ||
		!says(p.Reasons, "C1, rest days between runs (weeks 1-7)") || !says(p.Reasons, "C2, frequency first (weeks 1-2)") {
		t.Errorf("reasons: %q", p.Reasons)
	}
	plain := make_(t, runner())
	for i, d := range p.Days {
		if d != plain.Days[i] {
			t.Fatalf("the goal changes %v: %+v, without %+v", d.Day, d, plain.Days[i])
		}
	}
	in.Goal.By = date(4, 20)
	if p := make_(t, in); !p.Feasible {
		t.Errorf("on the day: %q", p.Reasons)
	}
	// The date is found beyond the days that are shown.
	in.Weeks = 1
	p = make_(t, in)
	if p.Earliest != date(4, 20) || len(p.Days) != 7 || !says(p.Reasons, "2026-04-20 at the earliest, after the 1 weeks of the plan") {
		t.Errorf("earliest %v, %d days, %q", p.Earliest, len(p.Days), p.Reasons)
	}
}

// TestGoalOddSizes: below today's load, and ten times it.
func TestGoalOddSizes(t *testing.T) {
	in := runner()
	in.Past = []ramp.Past{{Day: date(2, 23), Run: 33}}
	in.Goal = ramp.Goal{Km: 5, Pace: 6}
	p := make_(t, in)
	if !p.Feasible || p.Earliest != in.Start || !says(p.Reasons, "the longest run of the 30 days before the start had 33 min already") {
		t.Errorf("below: feasible %v, earliest %v, %q", p.Feasible, p.Earliest, p.Reasons)
	}
	in = runner()
	in.Goal = ramp.Goal{Km: 20, Pace: 5} // 100 min from 10
	p = make_(t, in)
	if !p.Feasible || p.Earliest <= date(5, 9) || !says(p.Reasons, "C4, session cap") {
		t.Errorf("ten times: feasible %v, earliest %v, %q", p.Feasible, p.Earliest, p.Reasons)
	}
	in.Site = rehab.Other
	p = make_(t, in)
	if p.Feasible || p.Earliest != 0 || !says(p.Reasons, "not reached in 104 weeks; what binds: ") || !says(p.Reasons, "no stage up by itself at this site") {
		t.Errorf("no growth: feasible %v, earliest %v, %q", p.Feasible, p.Earliest, p.Reasons)
	}
	in = answered(runner(), ofRun(date(3, 2), flared), ofRun(date(3, 7), flared), ofRun(date(3, 15), flared))
	in.Goal = ramp.Goal{Km: 5, Pace: 6}
	p = make_(t, in)
	if p.Feasible || p.Earliest != 0 || !says(p.Reasons, "the plan has ended") {
		t.Errorf("ended: feasible %v, earliest %v, %q", p.Feasible, p.Earliest, p.Reasons)
	}
}

// TestGrowth holds the weeks after the ladder against model 9. The last stage is done on
// Mon 11 May on the all-settled course, so the first week begins on Tue 12 May: 42 min on
// Wed 13 May, 29.4 min (70 %) in whole minutes on the others; then 46.2, 50.6 and, in the
// fourth week, 75 % of 50.
func TestGrowth(t *testing.T) {
	in := runner()
	in.Weeks = 40
	p := make_(t, in)
	for _, w := range []struct {
		day load.Day
		run ramp.Minutes
	}{
		{date(5, 13), 42},
		{date(5, 16), 29},
		{date(5, 18), 29},
		{date(5, 20), 46},
		{date(5, 23), 32},
		{date(5, 27), 50},
		{date(5, 30), 35},
		{date(6, 3), 37},
		{date(6, 6), 25},
		{date(6, 10), 55},
	} {
		if d := on(t, p, w.day); d.Total != w.run || d.Stage != 0 || d.Reps != 1 {
			t.Errorf("%v: %+v, want %v min", w.day, d, w.run)
		}
	}
	// 13 May: the best week that ended 7 to 34 days before is 114 min on 6 May (33, 36 and
	// 39 min twice less the first of 36): 15 % more is 131.1, below the 160 of C5.
	if d := on(t, p, date(5, 13)); !near(d.WeekCap, 131.1) {
		t.Errorf("13 May: weekly cap %v", d.WeekCap)
	}
	first := date(5, 12)
	longest := map[load.Day]ramp.Minutes{}
	for _, d := range p.Days {
		if d.Day < first || d.Kind == ramp.Rest {
			continue
		}
		week := (d.Day - first) / 7
		if longest[week] == 0 {
			longest[week] = d.Total
			continue
		}
		if d.Total > 0.7*longest[week]+1e-9 {
			t.Errorf("%v: %v min, the long run of the week has %v", d.Day, d.Total, longest[week])
		}
	}
	// An unsettled morning after the long run of 20 May, and another after the next run: the
	// long run is the one of before the last growth.
	in = answered(runner(), ofRun(date(5, 20), unsettled), ofRun(date(5, 23), unsettled))
	in.Weeks = 20
	p = make_(t, in)
	if d := on(t, p, date(5, 23)); d.Action != ramp.Back || !strings.Contains(d.Reason, "back to 42 min") {
		t.Errorf("23 May: %s: %s", d.Action, d.Reason)
	}
	if d := on(t, p, date(5, 26)); d.Total != 42 {
		t.Errorf("26 May: %+v", d)
	}
	// It grows no further than to the goal.
	in = runner()
	in.Weeks, in.Goal = 30, ramp.Goal{Km: 8, Pace: 6}
	p = make_(t, in)
	for _, d := range p.Days {
		if d.Total > 48 {
			t.Errorf("%v: %v min, the goal is 48", d.Day, d.Total)
		}
	}
	if p.Earliest != date(5, 27) {
		t.Errorf("48 min on %v, want 27 May", p.Earliest)
	}
}

// TestUsualScoreAboveTwo: with a baseline above 2 stages are repeated, not advanced
// (model 7).
func TestUsualScoreAboveTwo(t *testing.T) {
	in := runner()
	in.Base.Pain = 3
	p := make_(t, in)
	for _, d := range p.Days {
		if d.Kind == ramp.Run && (d.Stage != 1 || d.Action != ramp.Repeat || d.Verdict != load.Settled) {
			t.Fatalf("%+v", d)
		}
	}
	if !says(p.Reasons, "the usual morning score of 3 is above 2: stages are repeated, none is advanced") {
		t.Errorf("reasons: %q", p.Reasons)
	}
}

// A runner who ran ten minutes twice last week plans the first week.
func ExampleMake() {
	start := load.Date(2026, 3, 2)
	plan := ramp.Make(&ramp.Inputs{
		Site: rehab.AchillesMid, Start: start, Weeks: 1, Free: allDays,
		Past: []ramp.Past{{Day: start - 7, Run: 10}, {Day: start - 4, Run: 10}},
		Base: rehab.Baseline{Pain: 1, Stiffness: 5, HasStiffness: true},
	})
	for _, d := range plan.Days {
		fmt.Println(d.Day, d.Total, d.Reason)
	}
	// Output:
	// 2026-03-02 10 run: stage 1, 10 min <= session cap 13 min, week 20 min <= weekly cap 30 min; settled: 1 of 4 in a row, then a rest day less between runs
	// 2026-03-03 0 rest: spacing, 0 rest days of 2
	// 2026-03-04 0 rest: spacing, 1 rest day of 2
	// 2026-03-05 10 run: stage 1, 10 min <= session cap 13 min, week 20 min <= weekly cap 30 min; settled: 2 of 4 in a row, then a rest day less between runs
	// 2026-03-06 0 rest: spacing, 0 rest days of 2
	// 2026-03-07 0 rest: spacing, 1 rest day of 2
	// 2026-03-08 10 run: stage 1, 10 min <= session cap 13 min, week 30 min <= weekly cap 30 min; settled: 3 of 4 in a row, then a rest day less between runs
}
