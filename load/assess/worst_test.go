package assess_test

import (
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// twoTendons is a climber who follows the other side too; both are usual at 1 and 5 min.
func twoTendons(runs map[load.Day]int) (s *story, other rehab.Complaint, terms ramp.Terms) {
	s, terms = climber(runs)
	other = s.c
	other.ID, other.Side = "ach-mid-right", rehab.Right
	return s, other, terms
}

// tells adds a morning of a complaint as wake does.
func (s *story) tells(c rehab.Complaint, day load.Day, during, after, next uint8, stiffness int) {
	mine := s.c
	s.c = c
	s.wake(day, during, after, next, stiffness)
	s.c = mine
}

// TestWorstOfTwo: of two complaints, one of which said all and the other a part, the part
// decides whichever comes first: four settled runs take no rest day away and no stage up.
func TestWorstOfTwo(t *testing.T) {
	for _, swapped := range []bool{false, true} {
		s, other, terms := twoTendons(map[load.Day]int{31: 30, 34: 30, 37: 30, 40: 30})
		for _, day := range []load.Day{32, 35, 38, 41} {
			s.tells(s.c, day, 1, 1, 1, 5)
			next, stiffness := uint8(1), 5
			s.mornings = append(s.mornings, rehab.Morning{Complaint: other.ID, Day: storyStart + day, Next: &next, Stiffness: &stiffness})
		}
		complaints := []rehab.Complaint{s.c, other}
		if swapped {
			complaints = []rehab.Complaint{other, s.c}
		}
		care, _ := s.at(42, assess.Followed{Complaints: complaints, Terms: &terms})
		for i := range care.Ramp.Plan.Days[:42-31] {
			if d := &care.Ramp.Plan.Days[i]; d.Action == ramp.Advance || d.Action == ramp.GapDown {
				t.Errorf("swapped %v: %+v", swapped, d)
			}
		}
	}
}

// TestSilenceOfOne: a flare ends with a morning on which all that is followed is as usual; what
// one says while the other says nothing does not end it.
func TestSilenceOfOne(t *testing.T) {
	s, other, terms := twoTendons(map[load.Day]int{31: 30})
	f := assess.Followed{Complaints: []rehab.Complaint{s.c, other}, Terms: &terms}
	s.tells(s.c, 32, 1, 1, 7, 40)
	s.tells(other, 32, 1, 1, 1, 5)
	for _, day := range []load.Day{33, 34, 35, 36} {
		s.tells(other, day, 0, 0, 1, 5)
	}
	care, p := s.at(36, f)
	if runs := ahead(care.Ramp, 36); len(runs) > 0 || p.Headroom.Amount != 0 {
		t.Errorf("runs on %v, %v left", runs, p.Headroom.Amount)
	}
	s.tells(s.c, 36, 0, 0, 1, 5)
	if care, _ = s.at(36, f); len(ahead(care.Ramp, 36)) == 0 || ahead(care.Ramp, 36)[0] != 36 {
		t.Errorf("runs on %v, want the first on day 36", ahead(care.Ramp, 36))
	}
}

// TestSilenceAfterFlare: with a way back as without one nobody's word ends no flare.
func TestSilenceAfterFlare(t *testing.T) {
	s, terms := climber(map[load.Day]int{31: 30})
	s.wake(32, 7, 6, 5, 45)
	for _, day := range []load.Day{32, 35, 40, 60} {
		care, p := s.at(day, assess.Followed{Terms: &terms})
		if runs := ahead(care.Ramp, day); len(runs) > 0 || p.Headroom.Amount != 0 {
			t.Errorf("day %d: runs on %v, %v left", day, runs, p.Headroom.Amount)
		}
		if courses := care.Ramp.Courses(storyStart + day); courses[0].Continuous == 0 {
			t.Errorf("day %d: nothing is in sight, though mornings may be as usual from tomorrow on", day)
		}
	}
}

// TestOneFlareOfTwoMornings: one flare over two mornings is no pause, on the way back and
// without; a run that flares in it is the second in 14 days, in both.
func TestOneFlareOfTwoMornings(t *testing.T) {
	s, terms := climber(map[load.Day]int{31: 30})
	s.wake(32, 1, 1, 4, 5)
	s.wake(33, 0, 0, 4, 5)
	for day := load.Day(34); day < 42; day++ {
		s.wake(day, 0, 0, 1, 5)
	}
	for _, f := range []assess.Followed{{Terms: &terms}, {}} {
		if _, p := s.at(35, f); p.Headroom.Amount != 0 {
			t.Errorf("%v left on the third day of rest", p.Headroom.Amount)
		}
		if _, p := s.at(36, f); p.Headroom.Amount == 0 {
			t.Errorf("nothing left after three days of rest: %+v", p.Headroom.Limits)
		}
	}
	// Run on day 33 and flared again on the 34th: none before the 41st.
	s.in = tell(usualRuns(map[load.Day]int{31: 30, 33: 10})).in
	s.mornings = nil
	s.wake(32, 1, 1, 4, 5)
	s.wake(34, 1, 1, 4, 5)
	for day := load.Day(35); day < 42; day++ {
		s.wake(day, 0, 0, 1, 5)
	}
	for _, f := range []assess.Followed{{Terms: &terms}, {}} {
		if _, p := s.at(40, f); p.Headroom.Amount != 0 {
			t.Errorf("%v left in the week after the second flare", p.Headroom.Amount)
		}
		if _, p := s.at(41, f); p.Headroom.Amount == 0 {
			t.Errorf("nothing left after the week: %+v", p.Headroom.Limits)
		}
	}
}

// TestReviewedPlan: after three flares in 28 days a plan has ended; one that whoever is in
// charge sets after them with a reason begins at the first stage, one without reason, or set
// by another, does not.
func TestReviewedPlan(t *testing.T) {
	s, terms := climber(map[load.Day]int{31: 10, 36: 10, 45: 10})
	for _, day := range []load.Day{32, 37, 46} {
		s.wake(day, 6, 6, 6, 5)
		s.wake(day+1, 0, 0, 1, 5)
	}
	for day := load.Day(48); day < 56; day++ {
		s.wake(day, 0, 0, 1, 5)
	}
	old := ramp.Set{Terms: terms, Day: storyStart + 31, Charge: true, Why: "calm"}
	if care, _ := s.at(55, assess.Followed{Terms: &terms, Sets: []ramp.Set{old}}); len(ahead(care.Ramp, 55)) > 0 {
		t.Errorf("runs on %v of a plan that has ended", ahead(care.Ramp, 55))
	}
	terms.Start = storyStart + 55
	for name, test := range map[string]struct {
		set  ramp.Set
		want bool
	}{
		"with a reason":     {ramp.Set{Terms: terms, Day: storyStart + 55, Charge: true, Why: "seen, two weeks calm"}, true},
		"without":           {ramp.Set{Terms: terms, Day: storyStart + 55, Charge: true}, false},
		"by another":        {ramp.Set{Terms: terms, Day: storyStart + 55, Why: "seen"}, false},
		"before the flares": {ramp.Set{Terms: terms, Day: storyStart + 40, Charge: true, Why: "from day 55 on"}, false},
	} {
		care, _ := s.at(55, assess.Followed{Terms: &terms, Sets: []ramp.Set{old, test.set}})
		d, _ := care.Ramp.On(storyStart + 55)
		if (d.Kind == ramp.Run) != test.want || test.want && d.Stage != 1 {
			t.Errorf("%s: %+v", name, d)
		}
	}
}
