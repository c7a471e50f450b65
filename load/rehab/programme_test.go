package rehab_test

import (
	"testing"

	"tidemark/load/rehab"
)

// TestCatalogue validates the data: every row has what a reader needs, every dose is of an
// exercise that is there, and what is for the heel bone has nothing that it must not do.
func TestCatalogue(t *testing.T) {
	seen := make(map[string]bool)
	last := 0
	for _, e := range rehab.Catalogue {
		if seen[e.ID] || e.Name == "" || e.Muscle == "" || e.Usual == "" || e.Source == "" || e.Band < 0 || e.Band > 6 {
			t.Errorf("%+v is doubled or lacks something", e)
		}
		seen[e.ID] = true
		if e.Band > 0 && e.Band < last {
			t.Errorf("%s of band %d stands after band %d", e.ID, e.Band, last)
		}
		last = max(last, e.Band)
		if e.Floor != "" {
			if floor, err := rehab.FindExercise(e.Floor); err != nil || !floor.Insertion || e.Insertion {
				t.Errorf("%s: its version at floor level is %+v, %v", e.ID, floor, err)
			}
		}
	}
}

func TestProgrammes(t *testing.T) {
	seen := make(map[string]bool)
	check := func(p *rehab.Programme, insertion bool) {
		t.Helper()
		if seen[p.ID] || p.Name == "" || p.PainRule == "" || p.Source == "" || p.Status == "" || len(p.Sites) == 0 || len(p.Phases) == 0 {
			t.Errorf("%s is doubled or lacks something", p.ID)
		}
		seen[p.ID] = true
		for _, phase := range p.Phases {
			for _, d := range phase.Doses {
				e, err := rehab.FindExercise(d.Exercise)
				if err != nil || d.Sets < 1 || d.Reps < 1 && d.Hold < 1 || d.PerDay < 1 || d.DaysPerWeek < 1 || d.DaysPerWeek > 7 {
					t.Errorf("%s, %s: %+v, %v", p.ID, phase.Name, d, err)
				}
				if insertion && !e.Insertion {
					t.Errorf("%s, %s: %s is nothing for the heel bone", p.ID, phase.Name, d.Exercise)
				}
			}
		}
	}
	for i := range rehab.Programmes {
		p := &rehab.Programmes[i]
		check(p, len(p.Sites) == 1 && p.Sites[0] == rehab.AchillesIns)
		if p.Sites[0] == rehab.AchillesMid {
			floor := p.ForInsertion()
			check(&floor, true)
		}
	}
}

func programme(t *testing.T, id string) *rehab.Programme {
	t.Helper()
	for i := range rehab.Programmes {
		if rehab.Programmes[i].ID == id {
			return &rehab.Programmes[i]
		}
	}
	t.Fatalf("there is no programme %s", id)
	return nil
}

// TestPublishedDoses are rows 37 to 41 of the rehab reference's check values: Alfredson 1998,
// Beyer 2015 and Rathleff 2015 as cited, the pilot protocol's Table 1, Jonsson 2008.
func TestPublishedDoses(t *testing.T) {
	reps := 0
	for _, d := range programme(t, "eccentric-step").Phases[0].Doses {
		reps += d.RepsPerDay()
	}
	if reps != 180 { // 2 x 2 x 3 x 15
		t.Errorf("%d lowerings a day, want 180", reps)
	}
	for week, want := range map[int][2]int{1: {3, 15}, 3: {3, 12}, 5: {4, 10}, 7: {4, 8}, 10: {4, 6}} {
		phase, ok := programme(t, "heavy-slow").In(week)
		if d := phase.Doses[0]; !ok || d.Sets != want[0] || d.Reps != want[1] {
			t.Errorf("heavy and slow, week %d: %d x %d, want %d x %d", week, d.Sets, d.Reps, want[0], want[1])
		}
	}
	if _, ok := programme(t, "heavy-slow").In(13); ok {
		t.Error("heavy and slow has a week 13")
	}
	for week, want := range map[int][2]int{1: {3, 12}, 3: {4, 10}, 5: {5, 8}} {
		phase, _ := programme(t, "plantar-heavy").In(week)
		if d := phase.Doses[0]; d.Sets != want[0] || d.RM != want[1] {
			t.Errorf("plantar, week %d: %d x %d RM, want %d x %d", week, d.Sets, d.RM, want[0], want[1])
		}
	}
	seconds := 0
	for _, d := range programme(t, "load-it-heavy").Phases[0].Doses {
		seconds += d.Seconds()
	}
	if seconds != 288 {
		t.Errorf("%d s, want 288", seconds)
	}
	drop, err := rehab.FindExercise("step_lower_1")
	if err != nil {
		t.Fatal(err)
	}
	if instead, ok := drop.ForInsertion(); !ok || instead.ID != "floor_lower_1" {
		t.Errorf("instead of lowering off a step: %q, %v; want the floor", instead.ID, ok)
	}
	stretch, _ := rehab.FindExercise("stretch_straight")
	if _, ok := stretch.ForInsertion(); ok {
		t.Error("a stretch into the heel bone has a version for it")
	}
}
