package rehab_test

import (
	"math"
	"testing"

	"tidemark/load"
	"tidemark/load/rehab"
)

func TestPrescription(t *testing.T) {
	c := rehab.Complaint{ID: "c", Site: rehab.AchillesIns, Side: rehab.Left, Steps: []rehab.Step{{Day: monday, Status: rehab.Open}}}
	good := rehab.Prescription{Complaint: "c", Programme: "heavy-slow-floor", Started: monday, State: rehab.Running, From: monday}
	if err := good.Check(&c, rehab.Library{}); err != nil {
		t.Errorf("refused: %v", err)
	}
	for name, edit := range map[string]func(*rehab.Prescription){
		"off a step at the heel bone": func(p *rehab.Prescription) { p.Programme = "heavy-slow" },
		"of another site":             func(p *rehab.Prescription) { p.Programme = "plantar-heavy" },
		"none":                        func(p *rehab.Prescription) { p.Programme = "bootcamp" },
		"phase 9":                     func(p *rehab.Prescription) { p.Phase = 9 },
		"before it begins":            func(p *rehab.Prescription) { p.From = monday - 1 },
		"no state":                    func(p *rehab.Prescription) { p.State = "" },
	} {
		bad := good
		edit(&bad)
		if bad.Check(&c, rehab.Library{}) == nil {
			t.Errorf("%s: taken", name)
		}
	}
	plan := rehab.Plan{Prescriptions: []rehab.Prescription{good, {Complaint: "c", Programme: good.Programme, Started: monday, State: rehab.Paused, From: monday + 20}, {Complaint: "c", Programme: good.Programme, Started: monday, State: rehab.Ended, From: monday + 30}}}
	for day, want := range map[load.Day]string{monday: "week 1", monday + 7: "weeks 2-3", monday + 21: "", monday + 30: ""} {
		// It is done as set, so that no idle week brakes it.
		plan.Done = nil
		for d := monday; d < day; d += 2 {
			plan.Done = append(plan.Done, rehab.Done{Complaint: "c", Day: d, Exercise: "seated_raise_2", Sets: 3, Reps: 15})
		}
		course, ok := plan.CourseOn(&rehab.Record{Complaint: c}, nil, day)
		phase, running := course.PhaseOn(day)
		if got := phase.Name; got != want || running != (want != "") || ok != (day < monday+30) {
			t.Errorf("%v: %q, %v, %v; want %q", day, got, running, ok, want)
		}
	}
}

// TestDue: three times a week with 48 hours between.
func TestDue(t *testing.T) {
	d := rehab.Dose{Exercise: "seated_raise_1", Sets: 4, Reps: 6, PerDay: 1, DaysPerWeek: 3, MinHours: 48}
	var log []rehab.Done
	var days []load.Day
	for day := range load.Day(14) {
		if d.DueOn(log, monday+day) {
			log = append(log, rehab.Done{Day: monday + day, Exercise: d.Exercise, Sets: 4, Reps: 6})
			days = append(days, day)
		}
	}
	want := []load.Day{0, 2, 4, 7, 9, 11}
	if len(days) != len(want) {
		t.Fatalf("days %v, want %v", days, want)
	}
	for i := range want {
		if days[i] != want[i] {
			t.Errorf("days %v, want %v", days, want)
			break
		}
	}
}

// TestDoneOfPlanned, by hand: of 3 x 15 twice a day for a week, 630, half was done; of the
// other exercise more than was set, which counts as all of it: 75 % in the mean.
func TestDoneOfPlanned(t *testing.T) {
	phase := rehab.Phase{Doses: []rehab.Dose{
		{Exercise: "step_lower_1", Sets: 3, Reps: 15, PerDay: 2, DaysPerWeek: 7}, {Exercise: "hold_raise_1", Sets: 5, Hold: 45, PerDay: 1, DaysPerWeek: 3},
	}}
	var log []rehab.Done
	for day := range load.Day(7) {
		log = append(log, rehab.Done{Day: monday + day, Exercise: "step_lower_1", Sets: 3, Reps: 15}, rehab.Done{Day: monday + day, Exercise: "hold_raise_1", Sets: 5, Hold: 45})
	}
	always := func(load.Day) (rehab.Phase, bool) { return phase, true }
	shares, mean, _ := rehab.DoneOfPlanned(always, log, monday+6)
	if mean != 0.75 || shares[0].Planned != 630 || shares[0].Share != 0.5 || shares[1].Share != 1 {
		t.Errorf("%+v, mean %v; want 0.5 and 1", shares, mean)
	}
	if _, mean, _ := rehab.DoneOfPlanned(always, log, monday-1); mean != 0 {
		t.Errorf("mean %v before anything was done", mean)
	}
	// Of a phase that began on the last day only that day's part is set: 90 of 630, and what
	// was done before counts for the phase before.
	changed := func(day load.Day) (rehab.Phase, bool) {
		if day == monday+6 {
			return rehab.Phase{Doses: []rehab.Dose{{Exercise: "hop_1", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 7}}}, true
		}
		return phase, true
	}
	shares, mean, _ = rehab.DoneOfPlanned(changed, log, monday+6)
	// 7 x 45 of 6 x 90 reps are 58.3 % and all of the holds, each set on six days; none of the
	// hops, set on one: (0.5833 x 6 + 6) / 13.
	if len(shares) != 3 || shares[2].Planned != 30 || math.Abs(mean-0.73077) > 1e-4 {
		t.Errorf("%+v, mean %v; want 0.7308", shares, mean)
	}
}

func TestDoneCheck(t *testing.T) {
	good := rehab.Done{Day: monday, Exercise: "hop_1", Sets: 3, Reps: 10}
	if err := good.Check(monday); err != nil {
		t.Errorf("refused: %v", err)
	}
	for name, edit := range map[string]func(*rehab.Done){
		"10,000 reps":      func(d *rehab.Done) { d.Reps = 10_000 },
		"tomorrow":         func(d *rehab.Done) { d.Day++ },
		"no such exercise": func(d *rehab.Done) { d.Exercise = "backflip" },
		"pain of 11":       func(d *rehab.Done) { d.Pain = score(11) },
		"a ton":            func(d *rehab.Done) { d.Weight = 1000 },
		"less than none":   func(d *rehab.Done) { d.Sets = -1 },
	} {
		bad := good
		edit(&bad)
		if bad.Check(monday) == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

// TestBehind: less than half of a week's programme, but not in its first week, not while it
// is paused, and not of days away (model 5; adherence literature of the reference 3.5).
func TestBehind(t *testing.T) {
	p := rehab.Plan{Prescriptions: []rehab.Prescription{{Complaint: "c", Programme: "eccentric-step", Started: monday, State: rehab.Running, From: monday}}}
	behind := func(end load.Day) (float64, bool) {
		courses := p.Courses(&rehab.Record{Complaint: rehab.Complaint{ID: "c"}}, nil, end)
		return p.Behind("c", courses, end)
	}
	if _, ok := behind(monday + 5); ok {
		t.Error("behind after six days")
	}
	if share, ok := behind(monday + 6); !ok || share != 0 {
		t.Errorf("%v, %v after a week without anything; want 0, behind", share, ok)
	}
	for day := range load.Day(7) {
		for _, e := range []string{"step_lower_1", "step_lower_1_bent"} {
			p.Done = append(p.Done, rehab.Done{Complaint: "c", Day: monday + day, Exercise: e, Sets: 3, Reps: 15})
		}
	}
	if share, ok := behind(monday + 6); ok || share != 0.5 {
		t.Errorf("%v, %v after half of it; want 0.5, not behind", share, ok)
	}
	p.Away = []load.DaySpan{{First: monday + 10, Last: monday + 11}}
	if _, ok := behind(monday + 13); ok {
		t.Error("behind in a week with days away")
	}
	if _, ok := behind(monday + 20); !ok {
		t.Error("not behind a week after them")
	}
	p.Prescriptions = append(p.Prescriptions, rehab.Prescription{Complaint: "c", Programme: "eccentric-step", Started: monday, State: rehab.Paused, From: monday + 14})
	if _, ok := behind(monday + 20); ok {
		t.Error("behind while it is paused")
	}
}

// TestTwiceADay is row 37 of the rehab reference's check values: 2 x 2 x 3 x 15 = 180 a day,
// seven days a week (Alfredson et al. 1998). It is due every day of three weeks, done in
// sets one by one too.
func TestTwiceADay(t *testing.T) {
	p, err := rehab.FindProgramme("eccentric-step")
	if err != nil {
		t.Fatal(err)
	}
	plan := rehab.Plan{Prescriptions: []rehab.Prescription{{Complaint: "c", Programme: p.ID, Started: monday, State: rehab.Running, From: monday}}}
	r := rehab.Record{Complaint: rehab.Complaint{ID: "c"}}
	for day := monday; day < monday+21; day++ {
		course, _ := plan.CourseOn(&r, nil, day)
		due := course.DueOn(plan.Done)
		reps := 0
		for i := range due {
			reps += due[i].RepsPerDay()
		}
		if reps != 180 || due[0].Left() != 2 {
			t.Fatalf("day %d: %d repetitions due, want 180", day-monday, reps)
		}
		for _, d := range p.Phases[0].Doses {
			for range 6 {
				plan.Done = append(plan.Done, rehab.Done{Complaint: "c", Day: day, Exercise: d.Exercise, Sets: 1, Reps: 15})
			}
		}
		if due = course.DueOn(plan.Done); due[0].Done != 2 || due[1].Left() != 0 {
			t.Fatalf("day %d: %+v after six single sets of each, want twice done", day-monday, due)
		}
		if due = course.DueOn(plan.Done[:len(plan.Done)-4]); due[1].Done != 0 || due[1].Left() != 2 {
			t.Fatalf("day %d: %+v after two single sets, want none done", day-monday, due[1])
		}
	}
	shares, mean, _ := rehab.DoneOfPlanned(func(load.Day) (rehab.Phase, bool) { return p.Phases[0], true }, plan.Done, monday+20)
	if mean != 1 || shares[0].Done+shares[1].Done != 1260 {
		t.Errorf("%+v, mean %v; want 7 x 180 = 1260", shares, mean)
	}
}
