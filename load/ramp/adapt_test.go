package ramp_test

import (
	"slices"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// answered adds mornings to inputs.
func answered(in *ramp.Inputs, mornings ...rehab.Morning) *ramp.Inputs {
	in.Mornings = append(in.Mornings, mornings...)
	return in
}

// runDays lists the days with a run, the first n.
func runDays(p ramp.Plan, n int) (days []load.Day) {
	for _, d := range p.Days {
		if d.Kind == ramp.Run && len(days) < n {
			days = append(days, d.Day)
		}
	}
	return days
}

func says(list []string, part string) bool {
	return slices.ContainsFunc(list, func(s string) bool { return strings.Contains(s, part) })
}

// TestUnsettledTwice: a second unsettled morning running goes one stage back, one settled
// between begins anew, a missing one is passed over (rehab reference 5.5, project
// default). On 26 and 28 March the all-settled course from 2 March without Fridays has
// stage 4 on 28 and 30 March.
func TestUnsettledTwice(t *testing.T) {
	in := answered(runner(), ofRun(date(3, 28), unsettled), ofRun(date(3, 31), missing), ofRun(date(4, 2), unsettled))
	p := make_(t, in)
	// Two rest days after 28 March, one after the missing one, two after 2 April.
	for _, w := range []struct {
		day    load.Day
		stage  int
		action ramp.Action
	}{
		{date(3, 28), 4, ramp.Repeat},
		{date(3, 31), 4, ramp.Go},
		{date(4, 2), 4, ramp.Back},
		{date(4, 5), 3, ramp.Go},
	} {
		if d := on(t, p, w.day); d.Stage != w.stage || d.Action != w.action {
			t.Errorf("%v: stage %d, %s, want %d, %s: %s", w.day, d.Stage, d.Action, w.stage, w.action, d.Reason)
		}
	}
	in = answered(runner(), ofRun(date(3, 28), unsettled), ofRun(date(4, 2), unsettled))
	if d := on(t, make_(t, in), date(4, 2)); d.Action != ramp.Repeat {
		t.Errorf("with a settled run between: %s: %s", d.Action, d.Reason)
	}
}

// TestPauseAndEnd: two flared mornings in 14 days pause for seven, three in 28 end the
// plan (rehab reference 5.5, project default).
func TestPauseAndEnd(t *testing.T) {
	// Flared on the morning of 3 March, next run after three rest days on Sat 7 March (6
	// is a Friday), flared on the morning of 8 March: no run from 8 to 14, next on 15.
	in := answered(runner(), ofRun(date(3, 2), flared), ofRun(date(3, 7), flared))
	p := make_(t, in)
	if got := runDays(p, 3); !slices.Equal(got, []load.Day{date(3, 2), date(3, 7), date(3, 15)}) {
		t.Errorf("runs on %v", got)
	}
	if d := on(t, p, date(3, 7)); d.Action != ramp.Pause || d.Verdict != load.Flared {
		t.Errorf("7 March: %+v", d)
	}
	if d := on(t, p, date(3, 12)); d.Reason != "rest: no running before 2026-03-15, 2 flared mornings in 14 days; ask for a review" {
		t.Errorf("12 March: %q", d.Reason)
	}
	if !says(p.Reasons, "no running from 2026-03-08 to 2026-03-14") {
		t.Errorf("reasons: %q", p.Reasons)
	}
	p = make_(t, answered(in, ofRun(date(3, 15), flared)))
	if d := on(t, p, date(3, 15)); d.Action != ramp.End {
		t.Errorf("15 March: %+v", d)
	}
	if got := runDays(p, 9); len(got) != 3 {
		t.Errorf("runs on %v after the end", got)
	}
	if !says(p.Reasons, "the plan ends on 2026-03-16: 3 flared mornings in 28 days") {
		t.Errorf("reasons: %q", p.Reasons)
	}
	// 3 and 17 March are not within 14 days.
	p = make_(t, answered(runner(), ofRun(date(3, 2), flared), ofRun(date(3, 16), flared)))
	if d := on(t, p, date(3, 16)); d.Kind == ramp.Run && d.Action != ramp.Back {
		t.Errorf("16 March: %+v", d)
	}
}

// TestFreeze: two missing mornings in seven days freeze the plan until two in a row were
// on time (rehab reference 5.5, issue: read so). On the all-settled course stage 4 is run
// on 28 March, and on 30 March.
func TestFreeze(t *testing.T) {
	in := answered(runner(), ofRun(date(3, 23), missing), ofRun(date(3, 25), missing))
	p := make_(t, in)
	// Stage 3 on 23 and 25 March counts nothing; then 28 March settled 1 and 30 March
	// settled 2: the second on time lifts the freeze.
	for _, w := range []struct {
		day    load.Day
		stage  int
		action ramp.Action
	}{{date(3, 23), 3, ramp.Go}, {date(3, 25), 3, ramp.Hold}, {date(3, 28), 3, ramp.Go}, {date(3, 30), 3, ramp.Advance}} {
		if d := on(t, p, w.day); d.Stage != w.stage || d.Action != w.action {
			t.Errorf("%v: stage %d, %s, want %d, %s: %s", w.day, d.Stage, d.Action, w.stage, w.action, d.Reason)
		}
	}
	// With stage 4 settled once before, the second settled morning comes while it is frozen.
	in = answered(runner(), ofRun(date(3, 30), missing), ofRun(date(4, 1), missing))
	p = make_(t, in)
	for _, w := range []struct {
		day    load.Day
		stage  int
		action ramp.Action
	}{{date(3, 28), 4, ramp.Go}, {date(4, 1), 4, ramp.Hold}, {date(4, 4), 4, ramp.Hold}, {date(4, 6), 4, ramp.Advance}} {
		if d := on(t, p, w.day); d.Stage != w.stage || d.Action != w.action {
			t.Errorf("%v: stage %d, %s, want %d, %s: %s", w.day, d.Stage, d.Action, w.stage, w.action, d.Reason)
		}
	}
}

// quiet is a morning after a day without a run.
func quiet(day load.Day, next, stiffness int) rehab.Morning {
	m := ofRun(day-1, scores{-1, -1, next, stiffness})
	return m
}

// TestMedians: the middle of the last seven mornings a point over that of the seven
// before holds every stage for seven days (rehab reference 5.5). The baseline is 2, the
// mornings up to 26 March say 1, those after it 2: each is settled.
func TestMedians(t *testing.T) {
	in := runner()
	in.Base.Pain = 2
	plain := make_(t, in) // tells which mornings follow a run
	for d := date(3, 3); d < date(4, 20); d++ {
		next := 1
		if d > date(3, 26) {
			next = 2
		}
		if before := on(t, plain, d-1); before.Kind == ramp.Run {
			in.Mornings = append(in.Mornings, ofRun(d-1, scores{1, 1, next, 5}))
		} else {
			in.Resting = append(in.Resting, quiet(d, next, 5))
		}
	}
	p := make_(t, in)
	// On 30 March four of the last seven mornings (27 to 30) say 2 and those of 17 to 23
	// March 1: held from then on, to 5 April.
	d := on(t, p, date(3, 29))
	if d.Action != ramp.Hold || !strings.Contains(d.Reason, "2026-03-30: the middle score of the last 7 mornings is 2, before 1") {
		t.Errorf("29 March: %s %q", d.Action, d.Reason)
	}
	// The second run of stage 4 settles on the morning of 31 March, in the hold.
	if d := on(t, p, date(3, 30)); d.Stage != 4 || d.Action != ramp.Hold {
		t.Errorf("30 March: stage %d, %s: %s", d.Stage, d.Action, d.Reason)
	}
	// 5 April is the last day of the hold; the morning of 7 April moves on.
	var up load.Day
	for _, d := range p.Days {
		if d.Day > date(3, 30) && d.Action == ramp.Advance {
			up = d.Day
			break
		}
	}
	if up != date(4, 6) {
		t.Errorf("next stage after %v, want 6 April", up)
	}
}

// TestMissed is the row of missed runs in the rehab reference 5.5. From 21 March on the
// all-settled course has stage 2 (settled once), then 3 on 23 and 25 March, 4 on 28 and
// 30 March, 5 on 1 April, which is missed here.
func TestMissed(t *testing.T) {
	for _, test := range []struct {
		last  load.Day // missed up to
		next  load.Day
		stage int
		words string
	}{
		{date(4, 1), date(4, 2), 5, "run: stage 5"},                             // a day late
		{date(4, 4), date(4, 5), 4, "due 4 days before, > 3: the stage anew"},   // stage 5 was not run yet
		{date(4, 8), date(4, 9), 3, "due 8 days before, > 7: a stage back"},     // from 4
		{date(4, 15), date(4, 16), 1, "due 15 days before, > 14: three stages"}, // from 4
	} {
		in := runner()
		in.Missed = []load.DaySpan{{First: date(4, 1), Last: test.last}}
		p := make_(t, in)
		if d := on(t, p, date(4, 1)); d.Kind != ramp.Rest || !strings.HasPrefix(d.Reason, "rest: missed, 21 min were due") {
			t.Errorf("1 April: %s %q", d.Kind, d.Reason)
		}
		d := on(t, p, test.next)
		if d.Kind != ramp.Run || d.Stage != test.stage || !strings.Contains(d.Reason, test.words) {
			t.Errorf("missed to %v: %s, stage %d, want %d: %s", test.last, d.Kind, d.Stage, test.stage, d.Reason)
		}
	}
	in := runner()
	in.Weeks = 12
	in.Missed = []load.DaySpan{{First: date(4, 1), Last: date(5, 2)}}
	p := make_(t, in)
	if !says(p.Reasons, "a new test run begins a new plan") {
		t.Errorf("32 days missed: %q", p.Reasons)
	}
	if got := runDays(p, 99); got[len(got)-1] > date(4, 1) {
		t.Errorf("a run on %v", got[len(got)-1])
	}
}

// TestUnplanned: a run over the cap, or on a rest day, is at best unsettled, and three
// rest days follow (rehab reference 5.5).
func TestUnplanned(t *testing.T) {
	for _, test := range []struct {
		name string
		past ramp.Past
		next load.Day
		part string
	}{
		{"over the cap", ramp.Past{Day: date(3, 14), Run: 20}, date(3, 18), "over the session cap of 13 min"},
		{"on a rest day", ramp.Past{Day: date(3, 12), Run: 8}, date(3, 16), "on a rest day of the plan (rest: spacing, 0 rest days of 1)"},
		{"over the week", ramp.Past{Day: date(3, 8), Run: 12}, date(3, 12), "the week at 32 min, over the weekly cap of 30 min"},
	} {
		in := runner()
		in.Past = append(in.Past, test.past)
		p := make_(t, in)
		d := on(t, p, test.past.Day)
		if d.Verdict != load.Unsettled || d.Action != ramp.Repeat || d.Total != test.past.Run || d.Stage != 0 || !strings.Contains(d.Reason, test.part) {
			t.Errorf("%s: %+v", test.name, d)
		}
		for e := test.past.Day + 1; e < test.next; e++ {
			if d := on(t, p, e); d.Kind != ramp.Rest {
				t.Errorf("%s: a run on %v: %s", test.name, e, d.Reason)
			}
		}
		if d := on(t, p, test.next); d.Kind != ramp.Run {
			t.Errorf("%s: no run on %v: %s", test.name, test.next, d.Reason)
		}
	}
}

// TestDone: what was run on the day that was due counts for the stage if it was as long.
func TestDone(t *testing.T) {
	in := runner()
	in.Past = append(in.Past, ramp.Past{Day: date(3, 14), Run: 10}, ramp.Past{Day: date(3, 16), Run: 4})
	p := make_(t, in)
	if d := on(t, p, date(3, 14)); d.Stage != 1 || d.Reps != 10 || d.Verdict != load.Settled || d.Reason != "done: 10 min, session cap 13 min; settled: 1 of 2 of this stage" {
		t.Errorf("14 March: %+v", d)
	}
	if d := on(t, p, date(3, 16)); d.Stage != 0 || d.Total != 4 || d.Action != ramp.Go || !strings.Contains(d.Reason, "short of the 10 min that were due") {
		t.Errorf("16 March: %+v", d)
	}
	// A watch that tells running from walking measures a little less or more: from nine tenths
	// of what was due it counts, and up to a minute over the cap it is not over it.
	for run, want := range map[ramp.Minutes]int{9: 1, 8.9: 0, 14: 1, 14.1: 0} {
		odd := runner()
		odd.Past = append(odd.Past, ramp.Past{Day: date(3, 14), Run: run})
		if d := on(t, make_(t, odd), date(3, 14)); d.Stage != want || (d.Over != "") != (run > 14) {
			t.Errorf("%g min: %+v, want stage %d", float64(run), d, want)
		}
	}
	if d := on(t, p, date(3, 18)); d.Stage != 1 || d.Action != ramp.Advance {
		t.Errorf("18 March: %+v", d)
	}
}

// TestResting: after a flare no run before a morning is back to the baseline (rehab
// reference 5.5), and a morning after a rest day may flare too.
func TestResting(t *testing.T) {
	in := answered(runner(), ofRun(date(3, 2), flared))
	for d := date(3, 4); d <= date(3, 9); d++ {
		in.Resting = append(in.Resting, quiet(d, 2, 5))
	}
	in.Resting = append(in.Resting, quiet(date(3, 10), 1, 5))
	p := make_(t, in)
	if got := runDays(p, 2); !slices.Equal(got, []load.Day{date(3, 2), date(3, 10)}) {
		t.Errorf("runs on %v", got)
	}
	if d := on(t, p, date(3, 9)); d.Reason != "rest: not back to the baseline since the flared morning of 2026-03-03" {
		t.Errorf("9 March: %q", d.Reason)
	}
	in = runner()
	in.Free = allDays
	in.Resting = []rehab.Morning{quiet(date(3, 4), 6, 5)}
	p = make_(t, in)
	if d := on(t, p, date(3, 4)); d.Kind != ramp.Rest || d.Action != ramp.Back || !strings.Contains(d.Reason, "the morning flared (next 6 > 5)") {
		t.Errorf("4 March: %+v", d)
	}
	// The morning of 4 March is that of the first of three rest days.
	if got := runDays(p, 2); !slices.Equal(got, []load.Day{date(3, 2), date(3, 7)}) {
		t.Errorf("runs on %v", got)
	}
}
