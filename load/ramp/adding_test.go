package ramp_test

import (
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// reaching is the runner of the worked plan with 7 km at 6 min as the goal, 42 min, and a
// plan that is long enough for what comes after it.
func reaching() *ramp.Inputs {
	in := runner()
	in.Weeks, in.Goal = 22, ramp.Goal{Km: 7, Pace: 6}
	return in
}

// firsts returns the first run with each addition.
func firsts(p ramp.Plan) map[ramp.Addition]load.Day {
	out := map[ramp.Addition]load.Day{}
	for _, d := range p.Days {
		if _, ok := out[d.Adds]; !ok && d.Adds != "" {
			out[d.Adds] = d.Day
		}
	}
	return out
}

// TestAdditions, by hand: the last stage is done on Mon 11 May (rehab reference 5.6), so the
// long runs of 42 min are on Wed 13 and 20 May. The next run, a rest day later and not on a
// Friday, is on Sat 23 May: a rest day less from then on. Each of the others comes 14 days
// after the one before: 6 and 20 June, 4 July, all Saturdays.
func TestAdditions(t *testing.T) {
	mid := map[ramp.Addition]load.Day{ramp.RunDays: date(5, 23), ramp.Strides: date(6, 6), ramp.Hills: date(6, 20), ramp.Speed: date(7, 4)}
	steep := map[ramp.Addition]load.Day{ramp.RunDays: date(5, 23), ramp.Strides: date(6, 6), ramp.Speed: date(6, 20), ramp.Hills: date(7, 4)}
	for _, test := range []struct {
		name string
		site rehab.Site
		also []rehab.Site
		want map[ramp.Addition]load.Day
	}{
		{"the middle of the tendon", rehab.AchillesMid, nil, mid},
		{"uphill comes last", rehab.AchillesIns, nil, steep},
		{"downhill comes last", rehab.Patellar, nil, steep},
		{"downhill comes last for another site that is followed", rehab.AchillesMid, []rehab.Site{rehab.Shin, rehab.Patellar}, steep},
		{"another site without a bar", rehab.AchillesMid, []rehab.Site{rehab.Plantar}, mid},
	} {
		in := reaching()
		in.Site, in.Also = test.site, test.also
		p := make_(t, in)
		if err := ramp.Verify(&p); err != nil {
			t.Errorf("%s: %v", test.name, err)
		}
		got := firsts(p)
		for a, day := range test.want {
			if got[a] != day {
				t.Errorf("%s: %s from %v on, want %v", test.name, a, got[a], day)
			}
		}
		for _, d := range p.Days {
			if d.Adds != "" && d.Total > 42 {
				t.Errorf("%s: %v min on %v, the long run had 42", test.name, d.Total, d.Day)
			}
		}
	}
	// A day of rest between before, none after: Sun 24 May follows on the 23rd.
	p := make_(t, reaching())
	for day, reason := range map[load.Day]string{
		date(5, 17): "rest: spacing, 0 rest days of 1",
		date(5, 20): "2 of 2 of the wanted length, next more run days",
		date(5, 23): "from now on a rest day less between runs",
		date(5, 24): "with more run days, 29 min",
		date(5, 26): "rest: weekly cap, 171 min > 144.9 min", // 126 min of 13 May and 15 %
		date(6, 6):  "strides begin; settled: 1 of 2 with strides, nothing more before 2026-06-20",
	} {
		if d := on(t, p, day); !says([]string{d.Reason}, reason) {
			t.Errorf("%v: %q, want %q", day, d.Reason, reason)
		}
	}
}

// TestNoAdditions: without a goal in km the growth goes on, and under 30 min without a walk
// nothing is added (rehab reference 5.2 C1); the plan says why.
func TestNoAdditions(t *testing.T) {
	none := reaching()
	none.Goal = ramp.Goal{}
	short := reaching()
	short.Ladder, short.Goal = []ramp.Stage{{Stage: 1, Reps: 10, Run: 1, Walk: 1}, {Stage: 2, Reps: 1, Run: 12}}, ramp.Goal{Km: 4, Pace: 6}
	for _, test := range []struct {
		in   *ramp.Inputs
		want string
	}{
		{none, "no goal in km: the long run goes on growing"},
		{short, "the long run goes up to 24 min, and they want 30 min without a walk"},
	} {
		p := make_(t, test.in)
		if !says(p.Reasons, test.want) || len(firsts(p)) > 0 {
			t.Errorf("%v, %q, want %q", firsts(p), p.Reasons, test.want)
		}
	}
	if p := make_(t, runner()); says(p.Reasons, "no goal") {
		t.Errorf("it is said before the growth: %q", p.Reasons)
	}
}

// TestAdditionMornings: an unsettled morning begins the two settled ones anew, a flared one
// takes the addition out again, two missing ones hold it.
func TestAdditionMornings(t *testing.T) {
	strides := func(p ramp.Plan) load.Day { return firsts(p)[ramp.Strides] }
	// Thu 4 June is the last run before strides. After it two more with run days: Sat 6 and
	// Sun 7 June; strides on Mon 8 June.
	p := make_(t, answered(reaching(), ofRun(date(6, 4), unsettled)))
	if got := strides(p); got != date(6, 8) {
		t.Errorf("after an unsettled morning on %v, want 8 June", got)
	}
	// Wed 3 and Thu 4 June are missing, which freezes until two mornings in a row are on time:
	// those of 6 and 7 June.
	p = make_(t, answered(reaching(), ofRun(date(6, 3), missing), ofRun(date(6, 4), missing)))
	if got := strides(p); got != date(6, 8) {
		t.Errorf("after a freeze on %v, want 8 June", got)
	}
	// Thu 18 June flares with strides on the morning of 19 June. Three rest days to Mon 22
	// June, with run days only; strides again 14 days later, on Mon 6 July.
	p = make_(t, answered(reaching(), ofRun(date(6, 18), flared)))
	if err := ramp.Verify(&p); err != nil {
		t.Error(err)
	}
	if d := on(t, p, date(6, 18)); d.Action != ramp.Back || !says([]string{d.Reason}, "strides out again") {
		t.Errorf("18 June: %s: %s", d.Action, d.Reason)
	}
	if d := on(t, p, date(6, 22)); d.Kind != ramp.Run || d.Adds != ramp.RunDays {
		t.Errorf("22 June: %+v", d)
	}
	again := load.Day(0)
	for _, d := range p.Days {
		if d.Day > date(6, 22) && d.Adds == ramp.Strides && again == 0 {
			again = d.Day
		}
	}
	if again != date(7, 6) {
		t.Errorf("strides again on %v, want 6 July", again)
	}
	// Two unsettled mornings running take out too: Wed 17 June, and the run two days of rest
	// and a Friday later.
	p = make_(t, answered(reaching(), ofRun(date(6, 17), unsettled), ofRun(date(6, 20), unsettled)))
	if d := on(t, p, date(6, 20)); d.Action != ramp.Back || !says([]string{d.Reason}, "strides out again") {
		t.Errorf("20 June: %s: %s", d.Action, d.Reason)
	}
	// A morning after a rest day flares: that of Fri 19 June. No run before the 22nd.
	in := reaching()
	in.Resting = []rehab.Morning{ofRun(date(6, 18), scores{-1, -1, 6, 5}), ofRun(date(6, 19), scores{-1, -1, 1, 5})}
	in.Free[time.Thursday] = false
	p = make_(t, in)
	if d := on(t, p, date(6, 22)); d.Kind != ramp.Run || d.Adds != ramp.RunDays {
		t.Errorf("22 June after a flare at rest: %+v", d)
	}
}

// TestAdditionsWait: in the ladder's count 14 is the growth and 15 the first addition; each
// waits for whoever is in charge, and one that was allowed later begins then.
func TestAdditionsWait(t *testing.T) {
	in := reaching()
	in.Confirm, in.Roof = true, 14
	p := make_(t, in)
	if d := on(t, p, date(5, 20)); d.Waits != 15 || d.Action != ramp.Hold || !says([]string{d.Reason}, "next more run days, once whoever is in charge says so") {
		t.Errorf("20 May: %+v", d)
	}
	if len(firsts(p)) != 0 || !says(p.Reasons, "stages go up to the growth after the ladder; beyond it") {
		t.Errorf("%v, %q", firsts(p), p.Reasons)
	}
	// It was said on Mon 1 June, which is a run as planned: run days from then on, and strides,
	// allowed at once, 14 days later.
	in.Roof, in.Lifts = 16, []ramp.Lift{{Day: in.Start, Roof: 14}, {Day: date(6, 1), Roof: 16}}
	p = make_(t, in)
	got := firsts(p)
	if err := ramp.Verify(&p); err != nil || got[ramp.RunDays] != date(6, 1) || got[ramp.Strides] != date(6, 15) || got[ramp.Hills] != 0 {
		t.Errorf("%v, %v", got, err)
	}
	// Taken back on 10 June what is in stays, and nothing more comes; on the day itself nothing
	// begins.
	back := in.Lifts
	in.Lifts = append(back[:2:2], ramp.Lift{Day: date(6, 10), Roof: 14})
	if p = make_(t, in); len(firsts(p)) != 1 || on(t, p, date(7, 1)).Adds != ramp.RunDays {
		t.Errorf("%v, %+v of a roof that was lowered", firsts(p), on(t, p, date(7, 1)))
	}
	in.Lifts = append(back[:2:2], ramp.Lift{Day: date(6, 1), Roof: 14})
	if p = make_(t, in); len(firsts(p)) != 0 {
		t.Errorf("%v of a roof that was lowered at once", firsts(p))
	}
	in.Lifts = back
	for n, want := range map[int]string{3: "stage 3", 14: "the growth after the ladder", 15: "more run days", 17: "hills", 18: "speed"} {
		if got := ramp.StepWords(in, n); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
	terms := ramp.Terms{Start: in.Start, Weeks: 4, Free: allDays, State: ramp.Running, Confirm: true, Roof: 18}
	if err := terms.Check(rehab.Shin); err != nil {
		t.Error(err)
	}
	if terms.Roof = 19; terms.Check(rehab.Shin) == nil {
		t.Error("a roof above the last addition was taken")
	}
}

// did makes what a plan had up to a day what was run.
func did(in *ramp.Inputs, p ramp.Plan, last load.Day) *ramp.Inputs {
	out := *in
	for _, d := range p.Days {
		if d.Kind == ramp.Run && d.Day <= last {
			out.Past = append(out.Past, ramp.Past{Day: d.Day, Run: d.Total})
		}
	}
	out.Missed = []load.DaySpan{{First: in.Start, Last: last}}
	return &out
}

// TestDoneGrowth: a run that was done is to the growth what the planned one would have been.
// The long runs are those of TestGrowth: 46, 50, in the fourth week 37, and 55 min.
func TestDoneGrowth(t *testing.T) {
	in := reaching()
	in.Goal.Km = 10 // 60 min
	p := make_(t, did(in, make_(t, in), date(6, 7)))
	for day, want := range map[load.Day]ramp.Minutes{date(5, 20): 46, date(5, 27): 50, date(5, 30): 35, date(6, 3): 37, date(6, 6): 25, date(6, 10): 55} {
		if d := on(t, p, day); d.Total != want {
			t.Errorf("%v: %v min, want %v: %s", day, d.Total, want, d.Reason)
		}
	}
	// And to the additions: the days of TestAdditions.
	in = reaching()
	p = make_(t, did(in, make_(t, in), date(6, 25)))
	if err := ramp.Verify(&p); err != nil {
		t.Error(err)
	}
	got := firsts(p)
	if got[ramp.RunDays] != date(5, 23) || got[ramp.Hills] != date(6, 20) || got[ramp.Speed] != date(7, 4) {
		t.Errorf("%v", got)
	}
	// What falls short of nine tenths of 42 min is no long run: 37 min on Wed 20 May. It is
	// still to do on Sat 23 May, and run days come with the run after, on Mon 25 May.
	in = did(reaching(), make_(t, reaching()), date(5, 20))
	in.Past[len(in.Past)-1].Run = 37
	p = make_(t, in)
	if d, got := on(t, p, date(5, 23)), firsts(p)[ramp.RunDays]; d.Total != 42 || got != date(5, 25) {
		t.Errorf("run days on %v, want 25 May, and on 23 May %+v", got, d)
	}
}
