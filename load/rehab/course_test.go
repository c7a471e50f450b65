package rehab_test

import (
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/rehab"
)

// follow is a runner who does the combined programme from its second phase on, chosen by
// a person, with a usual morning of 1 and 5 min.
type follow struct {
	plan     rehab.Plan
	c        rehab.Complaint
	mornings []rehab.Morning
	runs     map[load.Day]bool
	grown    []load.Day
}

func newFollow(phase int) *follow {
	pain, stiff := 1.0, 5.0
	return &follow{
		c: rehab.Complaint{
			ID: "c", Site: rehab.AchillesMid, Side: rehab.Left, Steps: []rehab.Step{{Day: monday - 30, Status: rehab.Open}},
			Bases: []rehab.Base{{From: monday - 30, Pain: &pain, Stiffness: &stiff}},
		},
		plan: rehab.Plan{Prescriptions: []rehab.Prescription{{Complaint: "c", Programme: "combined", Started: monday, Phase: phase, State: rehab.Running, From: monday}}},
		runs: make(map[load.Day]bool),
	}
}

// do logs an exercise of phases 1 to 3, all sets, on a day from monday on.
func (f *follow) do(day load.Day, sets int, pain uint8) {
	f.plan.Done = append(f.plan.Done, rehab.Done{Complaint: "c", Day: monday + day, Exercise: "seated_raise_1", Sets: sets, Reps: 15, Pain: &pain})
}

func (f *follow) wake(day load.Day, next uint8, stiffness int) {
	zero := uint8(0)
	f.mornings = append(f.mornings, rehab.Morning{Complaint: "c", Day: monday + day, During: &zero, After: &zero, Next: &next, Stiffness: &stiffness})
}

func (f *follow) course(day load.Day) rehab.Course {
	r := rehab.RecordOf(f.c, f.mornings, func(d load.Day) bool { return f.runs[d-monday] }, monday+day, rehab.DefaultZones)
	c, _ := f.plan.CourseOn(&r, f.grown, monday+day)
	return c
}

func (f *follow) want(t *testing.T, what string, day load.Day, phase int, move rehab.Move, of string) rehab.Course {
	t.Helper()
	c := f.course(day)
	if c.Phase() != phase || c.Advice.Move != move || c.Advice.Of != of {
		t.Errorf("%s: phase %d, %q of %q (%s); want phase %d, %q of %q", what, c.Phase(), c.Advice.Move, c.Advice.Of, c.Advice.Why, phase, move, of)
	}
	return c
}

// TestOn: two settled mornings running with all sets done say on, and wait for a person; a
// standing order lets the programme go on by itself, but not beyond it (rehab reference 3.4,
// project default; model 7).
func TestOn(t *testing.T) {
	f := newFollow(2)
	f.do(0, 3, 2)
	f.wake(1, 1, 5)
	f.want(t, "settled once", 1, 2, rehab.Hold, rehab.OfProgramme)
	f.do(1, 3, 2)
	f.wake(2, 1, 5)
	f.want(t, "settled twice", 2, 2, rehab.On, rehab.OfProgramme)
	for day := load.Day(2); day < 2+rehab.AnswerDays; day++ {
		f.do(day, 3, 2)
		f.wake(day+1, 1, 5)
	}
	if c := f.course(2 + rehab.AnswerDays); c.Waiting != rehab.AnswerDays || c.Phase() != 2 {
		t.Errorf("waited %d days in phase %d; want %d, in 2", c.Waiting, c.Phase(), rehab.AnswerDays)
	}
	f.plan.Orders = []rehab.Order{{Complaint: "c", Phase: 2, Until: monday + 50}}
	f.want(t, "an order up to here", 2, 2, rehab.On, rehab.OfProgramme)
	f.plan.Orders = append(f.plan.Orders, rehab.Order{Complaint: "c", Phase: 3, Until: monday + 1})
	f.want(t, "an order that has ended", 2, 2, rehab.On, rehab.OfProgramme)
	f.plan.Orders = append(f.plan.Orders, rehab.Order{Complaint: "c", Phase: 3, Until: monday + 50})
	c := f.want(t, "an order for the next phase", 2, 3, rehab.Hold, rehab.OfProgramme)
	if len(c.Steps) != 1 || !strings.Contains(c.Steps[0].Why, "standing order") {
		t.Errorf("steps %+v, want one by standing order", c.Steps)
	}
}

func TestHold(t *testing.T) {
	f := newFollow(2)
	f.do(0, 3, 2)
	f.wake(1, 1, 5)
	f.do(1, 2, 2) // of three sets
	f.wake(2, 1, 5)
	f.want(t, "sets missing", 2, 2, rehab.Hold, rehab.OfProgramme)
	f.do(2, 3, 2)
	f.wake(3, 2, 5) // 1 above usual
	f.want(t, "not settled", 3, 2, rehab.Hold, rehab.OfProgramme)
}

// TestBack: a flare, pain above the programme's rule and two unsettled mornings step back at
// once: the programme if it changed last, else the running; never below the first phase.
func TestBack(t *testing.T) {
	flare := func(f *follow) { f.do(0, 3, 2); f.wake(1, 4, 5) }
	f := newFollow(2)
	flare(f)
	c := f.want(t, "flared after the programme changed", 1, 1, rehab.Back, rehab.OfProgramme)
	if !c.Flared {
		t.Error("the morning that flared is not said to have flared")
	}
	f.do(1, 3, 2)
	f.wake(2, 5, 5)
	f.want(t, "again: it has stepped back already", 2, 1, rehab.Back, rehab.OfRunning)

	f = newFollow(2)
	f.grown = []load.Day{monday + 1}
	f.runs[1] = true
	f.do(1, 3, 2)
	f.wake(2, 4, 5)
	f.want(t, "flared after the running grew", 2, 2, rehab.Back, rehab.OfRunning)

	f = newFollow(2)
	f.do(0, 3, 6) // the programme's rule is at most 5
	f.wake(1, 1, 5)
	f.want(t, "pain above the rule", 1, 1, rehab.Back, rehab.OfProgramme)

	f = newFollow(2)
	f.do(0, 3, 2)
	f.wake(1, 2, 5)
	f.do(1, 3, 2)
	f.wake(2, 2, 5)
	f.want(t, "two mornings running not settled", 2, 1, rehab.Back, rehab.OfProgramme)

	f = newFollow(1)
	flare(f)
	f.want(t, "the first phase", 1, 1, rehab.Back, rehab.OfProgramme)
}

// TestWeeks: a programme by weeks goes on with them, but not past a brake, and with nothing
// done a phase back for each week, two at most (model 8).
func TestWeeks(t *testing.T) {
	f := newFollow(0)
	for day := range load.Day(20) {
		f.do(day, 3, 2)
		f.wake(day+1, 1, 5)
	}
	f.want(t, "the fourth week", 20, 2, rehab.On, rehab.OfProgramme)
	f.do(20, 3, 2)
	f.wake(21, 4, 5)
	f.do(21, 3, 2)
	f.wake(22, 1, 5)
	if c := f.course(22); c.Phase() != 1 {
		t.Errorf("phase %d after a flare, want 1 until a person moves it on", c.Phase())
	}

	f = newFollow(3)
	for day, want := range map[load.Day]int{6: 3, 7: 2, 13: 2, 14: 1, 30: 1} {
		if c := f.course(day); c.Phase() != want {
			t.Errorf("day %d with nothing done: phase %d, want %d", day, c.Phase(), want)
		}
	}
	f = newFollow(4)
	if c := f.course(40); c.Phase() != 2 {
		t.Errorf("phase %d after six idle weeks from the fourth, want two back", c.Phase())
	}
}

// TestFlareDay: on the day of a flare only what loads little is done, seated or on two legs.
func TestFlareDay(t *testing.T) {
	f := newFollow(2)
	f.do(0, 3, 2)
	f.wake(1, 4, 5)
	c := f.course(1)
	for _, d := range c.Doses() {
		if e, err := rehab.FindExercise(d.Exercise); err != nil || e.Band > 2 {
			t.Errorf("%s, band %d, on a day that flared", d.Exercise, e.Band)
		}
	}
	f.plan.Prescriptions[0].Programme, f.plan.Prescriptions[0].Phase = "eccentric-step", 0
	c = f.course(1)
	if doses := c.Doses(); len(doses) != 2 || doses[0].Exercise != "seated_raise_2" || doses[1].Exercise != "stand_raise_2" {
		t.Errorf("%+v, want raises seated and on two legs", doses)
	}
}

// change adds what a person did with the programme from a day on.
func (f *follow) change(day load.Day, phase int, state rehab.PlanState) {
	p := f.plan.Prescriptions[0]
	p.Phase, p.State, p.From = phase, state, monday+day
	f.plan.Prescriptions = append(f.plan.Prescriptions, p)
}

// TestPause: weeks of a pause are no weeks of the programme, they are idle, and going on
// undoes no step back (model 8). The combined programme is in phase 2 in its third week.
func TestPause(t *testing.T) {
	run := func(pause, goOn load.Day) *follow {
		f := newFollow(0)
		for day := range pause {
			f.do(day, 3, 2)
		}
		f.change(pause, 0, rehab.Paused)
		f.change(goOn, 0, rehab.Running)
		return f
	}
	// In phase 2 for two days, then four of pause.
	f := run(16, 20)
	if c := f.course(20); c.Phase() != 2 {
		t.Errorf("phase %d after four days of pause, want 2 as before", c.Phase())
	}
	if c := f.course(18); c.Phase() != 0 || c.Prescription.State != rehab.Paused {
		t.Errorf("phase %d of %s in the pause, want none", c.Phase(), c.Prescription.State)
	}
	for day := load.Day(20); day < 40; day++ {
		f.do(day, 3, 2)
	}
	// The sixth week, in which phase 3 begins, would be from day 35 on; it is from 39 on.
	if c, next := f.course(38), f.course(39); c.Phase() != 2 || next.Phase() != 3 {
		t.Errorf("phases %d and %d on days 38 and 39, want 2 and 3", c.Phase(), next.Phase())
	}

	// Seven weeks of pause: the phase of the third week, and one back for idleness; a second is
	// below the first.
	f = run(16, 65)
	c := f.course(65)
	if c.Phase() != 1 || len(c.Steps) != 2 || c.Steps[1].Day != monday+65 || !strings.Contains(c.Steps[1].Why, "7 days") {
		t.Errorf("phase %d, steps %+v; want 1, gone to 2 and back", c.Phase(), c.Steps)
	}
	for day := load.Day(65); day < 90; day++ {
		f.do(day, 3, 2)
		f.wake(day+1, 1, 5)
	}
	if c := f.course(90); c.Phase() != 1 {
		t.Errorf("phase %d, want 1 until a person moves it on", c.Phase())
	}
	f.change(90, 3, rehab.Running)
	if c := f.course(90); c.Phase() != 3 || len(c.Steps) != 2 {
		t.Errorf("phase %d with %d steps, want 3 as a person chose, and what was before", c.Phase(), len(c.Steps))
	}
}

// TestPauseKeepsBack: neither a pause, on one day or more, nor ending it and setting the same
// again takes back a step back.
func TestPauseKeepsBack(t *testing.T) {
	for name, states := range map[string][]rehab.PlanState{"paused": {rehab.Paused}, "ended": {rehab.Ended}, "paused, then ended": {rehab.Paused, rehab.Ended}} {
		for _, goOn := range []load.Day{3, 5} {
			for _, phase := range []int{0, 2} {
				f := newFollow(phase)
				f.plan.Prescriptions[0].Started -= 14 // the third week
				f.do(0, 3, 2)
				f.wake(1, 4, 5)
				if c := f.course(1); c.Phase() != 1 {
					t.Fatalf("phase %d after a flare, want 1", c.Phase())
				}
				for _, s := range states {
					f.change(3, phase, s)
				}
				f.change(goOn, phase, rehab.Running)
				if c := f.course(goOn); c.Phase() != 1 || len(c.Steps) != 1 {
					t.Errorf("%s until day %d, from phase %d: phase %d, steps %+v; want 1, and the step back", name, goOn, phase, c.Phase(), c.Steps)
				}
			}
		}
	}
}

// TestOrderInTime: an order acts from the day it was given to its end, and what was reached by
// it stays when it is withdrawn.
func TestOrderInTime(t *testing.T) {
	f := newFollow(2)
	for day := range load.Day(6) {
		f.do(day, 3, 2)
		f.wake(day+1, 1, 5)
	}
	order := func(from load.Day, phase int, until load.Day) rehab.Order {
		return rehab.Order{Complaint: "c", Phase: phase, From: monday + from, Until: monday + until}
	}
	for _, tt := range []struct {
		name   string
		orders []rehab.Order
		want   int
		step   load.Day // on which it went on; 0: it did not
	}{
		{"given before", []rehab.Order{order(0, 3, 50)}, 3, 2},
		{"given on the fourth day", []rehab.Order{order(4, 3, 50)}, 3, 4},
		{"withdrawn after it went on", []rehab.Order{order(0, 3, 50), order(3, 0, 0)}, 3, 2},
		{"withdrawn on the day", []rehab.Order{order(0, 3, 50), order(2, 0, 0)}, 2, 0},
		{"ended after it went on", []rehab.Order{order(0, 3, 2)}, 3, 2},
		{"ended before", []rehab.Order{order(0, 3, 1)}, 2, 0},
		{"given tomorrow", []rehab.Order{order(7, 3, 50)}, 2, 0},
	} {
		f.plan.Orders = tt.orders
		c := f.course(6)
		if c.Phase() != tt.want || (len(c.Steps) > 0) != (tt.step > 0) || tt.step > 0 && c.Steps[0].Day != monday+tt.step {
			t.Errorf("%s: phase %d, steps %+v; want %d on day %d", tt.name, c.Phase(), c.Steps, tt.want, tt.step)
		}
	}
}

// TestEarlyFlare: limping in today's run makes today's exercises easy ones.
func TestEarlyFlare(t *testing.T) {
	f := newFollow(2)
	limped := true
	f.runs[1] = true
	f.mornings = []rehab.Morning{{Complaint: "c", Day: monday + 2, Limp: &limped}}
	if c := f.course(1); !c.Flared || c.Phase() != 2 {
		t.Errorf("flared %v in phase %d, want at once, and the step with the morning", c.Flared, c.Phase())
	}
	if c := f.course(2); !c.Flared || c.Phase() != 1 {
		t.Errorf("flared %v in phase %d the day after, want 1", c.Flared, c.Phase())
	}
}
