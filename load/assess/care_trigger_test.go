package assess_test

import (
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/rehab"
)

// found returns what a rule finds on a day.
func (s *story) found(day load.Day, rule string, plan rehab.Plan) (out []load.Finding) {
	_, p := s.at(day, assess.Followed{Plan: plan})
	for _, f := range p.Findings {
		if f.Rule == rule {
			out = append(out, f)
		}
	}
	return out
}

// TestBehindKeepsItsID: of a programme from day 30 on nothing is done. The first seven days
// that it set end with day 36, and the finding of day 37 is that of every day after; a later
// spell, after more than 14 days of enough, is another one.
func TestBehindKeepsItsID(t *testing.T) {
	s := tell(usualRuns(nil))
	plan := rehab.Plan{Prescriptions: []rehab.Prescription{{Complaint: s.c.ID, Programme: "heavy-slow", Started: storyStart + 30, State: rehab.Running, From: storyStart + 30}}}
	if got := s.found(36, load.RuleProgrammeBehind, plan); len(got) > 0 {
		t.Errorf("found %+v before seven days have gone by", got)
	}
	id := load.RuleProgrammeBehind + ":" + s.c.ID + "-" + (storyStart + 36).String()
	for day := load.Day(37); day < 80; day++ {
		got := s.found(day, load.RuleProgrammeBehind, plan)
		if len(got) != 1 || got[0].ID != id || got[0].Day != storyStart+36 || got[0].LastDay != storyStart+day-1 {
			t.Fatalf("day %d: %+v, want %s", day, got, id)
		}
	}
	programme, err := rehab.FindProgramme("heavy-slow")
	if err != nil {
		t.Fatal(err)
	}
	for day := load.Day(40); day < 70; day++ {
		for _, phase := range programme.Phases {
			for _, d := range phase.Doses {
				plan.Done = append(plan.Done, rehab.Done{Complaint: s.c.ID, Day: storyStart + day, Exercise: d.Exercise, Sets: 9 * max(1, d.Sets), Reps: d.Reps, Hold: d.Hold, Minutes: d.Minutes})
			}
		}
	}
	got := s.found(90, load.RuleProgrammeBehind, plan)
	if len(got) != 2 || got[0].ID != id || got[1].ID == id || got[1].Day <= storyStart+70 {
		t.Errorf("%+v, want two spells", got)
	}
}

// TestRisenStays: mornings of 1 from day 31 on, of 2 on the days 42 to 45. The middle of the
// seven days up to day 45 is 2 and was 1 in the seven before, to day 48; the finding is there on
// every day from 45 on, with the same ID and the same first day.
func TestRisenStays(t *testing.T) {
	s := tell(usualRuns(nil))
	for day := load.Day(31); day <= 70; day++ {
		next := uint8(1)
		if day >= 42 && day <= 45 {
			next = 2
		}
		s.wake(day, 0, 0, next, 5)
	}
	for day := load.Day(40); day < 70; day++ {
		got := s.found(day, load.RuleNotSettled, rehab.Plan{})
		switch {
		case day < 45 && len(got) > 0:
			t.Errorf("day %d: %+v", day, got)
		case day >= 45 && (len(got) != 1 || got[0].ID != load.RuleNotSettled+":"+s.c.ID || got[0].Day != storyStart+45 || got[0].LastDay != min(storyStart+day, storyStart+48)):
			t.Errorf("day %d: %+v", day, got)
		}
	}
}
