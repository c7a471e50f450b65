package assess_test

import (
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// followed is what is followed of a story on a day, and what it leaves of it.
func (s *story) followed(day load.Day, complaints ...rehab.Complaint) (care *assess.Care, p assess.Picture) {
	in := *s.in
	in.Today = storyStart + day
	care = assess.Follow(&in, assess.Followed{Complaints: complaints, Mornings: s.mornings})
	return care, assess.Assess(&in, care, assess.Query{Measure: load.RunTime, From: in.Today, To: in.Today}, nil)
}

// TestRunThroughFlare: a run in the rest after a flare ends nothing of it: nothing until a
// morning is as usual and three days without a run have passed, and it is none of the two
// with less (model 6).
func TestRunThroughFlare(t *testing.T) {
	s := tell(usualRuns(map[load.Day]int{30: 20, 33: 20, 34: 20}))
	s.wake(31, 1, 1, 1, 5)
	s.wake(34, 1, 1, 4, 5) // 3 above usual, and it was run on that day
	s.wake(35, 2, 2, 2, 5)
	held := func(day load.Day) bool { room, _ := s.room(day); return room.State == load.HeldBack }
	for day := load.Day(35); day < 41; day++ {
		if !held(day) {
			t.Errorf("day %d: not held, though no morning was as usual since", day)
		}
	}
	s.wake(36, 0, 0, 1, 5)
	if !held(37) || held(38) { // 35, 36 and 37 are the rest days
		t.Errorf("held %v and %v on days 37 and 38, want the run of day 34 to have put the rest off by a day", held(37), held(38))
	}
	_, limits := s.room(38)
	if got := load.RunTime.In(limits[assess.LimitMorning].Limit); got != 16 { // 80 % of 20
		t.Errorf("%v min after the rest, want 16: the run of day 34 is none of the two with less", got)
	}
	more := tell(usualRuns(map[load.Day]int{30: 20, 33: 20, 34: 20, 38: 16}))
	more.mornings = s.mornings
	more.wake(39, 1, 1, 1, 5)
	if _, limits := more.room(42); load.RunTime.In(limits[assess.LimitMorning].Limit) != 16 {
		t.Errorf("limits of the second run with less: %+v, want 16 min", limits)
	}
}

// TestClosedFlare: of what was closed nothing is asked any more, but its three days of rest
// are kept, with something else followed or not.
func TestClosedFlare(t *testing.T) {
	s := tell(usualRuns(map[load.Day]int{30: 20, 33: 20}))
	s.wake(31, 1, 1, 1, 5)
	s.wake(34, 1, 1, 7, 40) // never as usual again
	s.c.Steps = append(s.c.Steps, rehab.Step{Day: storyStart + 35, Status: rehab.Closed})
	other := s.c
	other.ID, other.Side, other.Steps = "ach-mid-right", rehab.Right, s.c.Steps[:1]
	for name, complaints := range map[string][]rehab.Complaint{"alone": {s.c}, "with another": {s.c, other}} {
		for day, want := range map[load.Day]bool{35: true, 36: true, 37: false, 75: false} {
			if _, p := s.followed(day, complaints...); (p.Headroom.State == load.HeldBack) != want {
				t.Errorf("%s, day %d: %v, want held %v: %+v", name, day, p.Headroom.State, want, p.Headroom.Limits)
			}
		}
	}
	s.c.Steps = s.c.Steps[:1]
	if _, p := s.followed(75, s.c); p.Headroom.State != load.HeldBack {
		t.Errorf("%v while it is followed and was never as usual again, want held", p.Headroom.State)
	}
}

// TestBoneLimit: while a bone is followed there is no running, with the words of the way back
// (rehab reference 5.8).
func TestBoneLimit(t *testing.T) {
	s := tell(usualRuns(nil))
	s.c.Site, s.c.Bone = rehab.Shin, true
	for _, complaints := range [][]rehab.Complaint{{s.c}, {{ID: "calf-left", Site: rehab.Calf, Side: rehab.Left, Steps: s.c.Steps}, s.c}} {
		care, p := s.followed(40, complaints...)
		if p.Headroom.State != load.HeldBack || p.Headroom.Amount != 0 {
			t.Errorf("%v, %d; want held", p.Headroom.State, p.Headroom.Amount)
		}
		_, err := care.RampSite(storyStart + 40)
		if err == nil || !hasWhy(p.Headroom.Limits, err.Error()) {
			t.Errorf("limits %+v do not say %v", p.Headroom.Limits, err)
		}
	}
	s.c.Steps = append(s.c.Steps, rehab.Step{Day: storyStart + 39, Status: rehab.Closed})
	if _, p := s.followed(40, s.c); p.Headroom.State == load.HeldBack {
		t.Error("held by a bone that is not followed any more")
	}
}

func hasWhy(limits []load.Limit, why string) bool {
	for _, l := range limits {
		if l.Limit == 0 && strings.Contains(l.Why, why) {
			return true
		}
	}
	return false
}

// TestFlareOfTheRun: 9 in today's run stands today: as a finding of today, as the verdict of
// the run, in what is left of the day and in the plan.
func TestFlareOfTheRun(t *testing.T) {
	s := tell(usualRuns(map[load.Day]int{30: 12, 33: 12}))
	s.wake(31, 1, 1, 1, 5)
	nine := uint8(9)
	s.mornings = append(s.mornings, rehab.Morning{Complaint: s.c.ID, Day: storyStart + 34, During: &nine})
	in := *s.in
	in.Today = storyStart + 33
	care := assess.Follow(&in, assess.Followed{Complaints: []rehab.Complaint{s.c}, Mornings: s.mornings})
	if got := in.Verdicts[(storyStart + 33).String()]; got != load.Flared {
		t.Errorf("the run of today has verdict %v, want flared", got)
	}
	p := assess.Assess(&in, care, assess.Query{Measure: load.RunTime, From: in.Today, To: in.Today}, nil)
	if f := p.Findings[len(p.Findings)-1]; f.Rule != load.RuleMorningFlared || f.Day != in.Today || f.LastDay != in.Today {
		t.Errorf("the last finding is %s of %v, want morning-flared of today", f.Rule, f.Day)
	}
	if !hasWhy(p.Headroom.Limits, "the run of 4 April 2026 flared") {
		t.Errorf("limits %+v, want that today's run flared", p.Headroom.Limits)
	}
	for _, day := range []load.Day{34, 35, 36} { // nobody says more
		if room, _ := s.room(day); room.State != load.HeldBack {
			t.Errorf("day %d: %v, want held", day, room.State)
		}
	}
}

// TestFlareOfTheRunOnTheWay: the plan of the way back hears of it on the day too, passes its
// check, and has no run on the three days after it.
func TestFlareOfTheRunOnTheWay(t *testing.T) {
	s, terms := climber(map[load.Day]int{31: 30})
	nine := uint8(9)
	s.mornings = []rehab.Morning{{Complaint: s.c.ID, Day: storyStart + 32, During: &nine}}
	for today := load.Day(31); today <= 32; today++ {
		care, _, _ := s.climb(today, terms)
		if care.Ramp == nil || care.Ramp.Refused != nil || !care.Ramp.Plan.Checked {
			t.Fatalf("day %d: no checked plan: %+v", today, care.Ramp)
		}
		for day := load.Day(32); day < 35; day++ {
			if d, ok := care.Ramp.On(storyStart + day); !ok || d.Kind != ramp.Rest {
				t.Errorf("seen from day %d, day %d is %+v, want rest", today, day, d)
			}
		}
	}
}
