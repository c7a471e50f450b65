package assess_test

import (
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// climber is a story with a ramp from day 31 on, every day free.
func climber(runs map[load.Day]int) (*story, ramp.Terms) {
	return tell(usualRuns(runs)), ramp.Terms{
		Start: storyStart + 31, Weeks: 8, Free: [7]bool{true, true, true, true, true, true, true}, State: ramp.Running,
	}
}

func (s *story) climb(day load.Day, terms ramp.Terms) (*assess.Care, load.Headroom, assess.Picture) {
	in := *s.in
	in.Today = storyStart + day
	care := assess.Follow(&in, assess.Followed{Complaints: []rehab.Complaint{s.c}, Mornings: s.mornings, Terms: &terms})
	p := assess.Assess(&in, care, assess.Query{Measure: load.RunTime, From: in.Today, To: in.Today}, nil)
	return care, *p.Headroom, p
}

func rules(room *load.Headroom) (names []string) {
	for _, l := range room.Limits {
		names = append(names, l.Rule)
	}
	return names
}

// TestRampLimits: on the ladder only the stage of the day, spacing, hold and red flags are
// asked (model 6); the stage is what the plan has.
func TestRampLimits(t *testing.T) {
	s, terms := climber(nil)
	// The last run of the story was on day 27, 30 min: with two rest days between, day 31 has
	// one, of the highest stage with at most 30 min of running, which is the ninth.
	care, room, _ := s.climb(31, terms)
	d, ok := care.Ramp.On(storyStart + 31)
	if !ok || d.Kind != ramp.Run || d.Stage != 9 {
		t.Fatalf("%+v, refused %v; want a run of stage 9", d, care.Ramp.Refused)
	}
	if got := load.RunTime.In(room.Amount); got != 30 || room.Decides != assess.LimitRamp || strings.Join(rules(&room), " ") != "ramp" {
		t.Errorf("%v min by %s of %v; want 30 by the ramp alone", got, room.Decides, rules(&room))
	}
	if !care.Ramp.Plan.Checked {
		t.Error("the plan was not checked")
	}
	// Before it begins its first run is the next, in lists too.
	care, _, _ = s.climb(30, terms)
	if next, ok := care.Ramp.Next(storyStart + 30); !ok || next.Day != storyStart+31 || care.Cases(storyStart + 30)[0].Stage != 9 {
		t.Errorf("the day before: next run %+v, case %+v", next, care.Cases(storyStart + 30)[0])
	}
	// A day after a run is one of rest, and says when the next is.
	s, terms = climber(map[load.Day]int{31: 30})
	_, room, _ = s.climb(32, terms)
	if room.Amount != 0 || room.State != load.HeldBack || !strings.Contains(why(&room, assess.LimitRamp), "the next run is on 5 April 2026") {
		t.Errorf("%+v; want rest until 5 April, two days between", room)
	}
	// Held by a person: nothing, until the day has come.
	terms.State, terms.Until = ramp.Held, storyStart+36
	_, room, _ = s.climb(35, terms)
	if room.Amount != 0 || room.Decides == "" || !strings.Contains(why(&room, assess.LimitHold), "until 7 April 2026") {
		t.Errorf("%+v; want held", room)
	}
	if _, room, _ = s.climb(37, terms); room.Amount == 0 {
		t.Errorf("%+v after the hold", room)
	}
	// Ended, the limits without a ramp are asked again.
	terms.State = ramp.Ended
	if _, room, _ = s.climb(35, terms); strings.Contains(strings.Join(rules(&room), " "), "ramp") || len(room.Limits) < 3 {
		t.Errorf("%v of a ramp that has ended", rules(&room))
	}
}

func why(room *load.Headroom, rule string) string {
	for _, l := range room.Limits {
		if l.Rule == rule {
			return l.Why
		}
	}
	return ""
}

// TestRampBends: a morning that flared sends the plan a stage back after three days of rest,
// and a run on a rest day is found and answered with more rest.
func TestRampBends(t *testing.T) {
	s, terms := climber(map[load.Day]int{31: 30})
	s.wake(32, 1, 1, 5, 30)
	for day := load.Day(33); day < 36; day++ {
		s.wake(day, 0, 0, 1, 5)
	}
	care, _, _ := s.climb(35, terms)
	d, _ := care.Ramp.On(storyStart + 35)
	if d.Kind != ramp.Run || d.Stage != 8 {
		t.Errorf("%+v; want a run a stage back after three days of rest", d)
	}
	s, terms = climber(map[load.Day]int{31: 30, 32: 20})
	_, _, p := s.climb(33, terms)
	found := false
	for _, f := range p.Findings {
		if f.Rule == load.RuleOverPlan {
			found = true
			if f.Day != storyStart+32 || f.Value != 20 || !strings.Contains(f.Evidence[0].Text, "on a rest day of the plan") {
				t.Errorf("%+v", f)
			}
		}
	}
	if !found {
		t.Error("a run on a rest day of the plan is not found")
	}
	if care, _, _ := s.climb(33, terms); care.Ramp.Plan.Days[5].Kind != ramp.Run && care.Ramp.Plan.Days[4].Kind == ramp.Run {
		t.Errorf("three rest days follow: %+v", care.Ramp.Plan.Days[:8])
	}
}

// TestRampRefused: a bone has no plan, and nothing followed has none either.
func TestRampRefused(t *testing.T) {
	s, terms := climber(nil)
	s.c.Bone = true
	care, _, _ := s.climb(31, terms)
	if care.Ramp.Refused == nil || !strings.Contains(care.Ramp.Refused.Error(), "see a doctor") {
		t.Errorf("a bone: %v", care.Ramp.Refused)
	}
	s.c.Bone, terms.Free = false, [7]bool{}
	if care, _, _ := s.climb(31, terms); care.Ramp.Refused == nil {
		t.Error("a plan without a free day")
	}
	s.c.Steps = append(s.c.Steps, rehab.Step{Day: storyStart + 30, Status: rehab.Closed})
	if care, _, _ := s.climb(31, terms); care.Ramp != nil {
		t.Error("a ramp for nothing")
	}
	if _, err := new(assess.Care).RampSite(load.Date(2026, time.March, 1)); err == nil {
		t.Error("a site of nothing")
	}
}

// TestCourses: a flare and weeks away lead later to every milestone than the plan itself,
// never earlier; more free days and a lower base are told too.
func TestCourses(t *testing.T) {
	s, terms := climber(map[load.Day]int{27: 10, 24: 10, 21: 10, 18: 10, 15: 10, 12: 10, 9: 10, 6: 10, 3: 10, 0: 10})
	terms.Free = [7]bool{false, true, true, true, true, false, true} // no Fridays, no Sundays
	terms.Goal = ramp.Goal{Km: 8, Pace: 6}
	care, _, _ := s.climb(31, terms)
	courses := care.Ramp.Courses(storyStart + 31)
	if len(courses) != 7 {
		t.Fatalf("%d courses of %v", len(courses), care.Ramp.Refused)
	}
	plain := courses[0]
	if plain.Continuous == 0 || plain.Top <= plain.Continuous || plain.Goal <= plain.Top {
		t.Errorf("%+v; want 30 min, then the last stage, then 48 min", plain)
	}
	for _, c := range courses[1:] {
		// Half of 10 min is a test run at the same first stage: no later, and no earlier.
		later := c.Name != "every day free" && c.Name != "half as much run before"
		if c.Refused != nil || later && (c.Continuous <= plain.Continuous || c.Goal <= plain.Goal) || c.Name == "every day free" && c.Continuous > plain.Continuous || c.Name == "half as much run before" && c.Continuous < plain.Continuous {
			t.Errorf("%+v, and the plan itself %+v", c, plain)
		}
	}
	if len((*assess.Ramp)(nil).Courses(storyStart)) != 0 {
		t.Error("courses of no ramp")
	}
}

// TestStandingOrder: stages that wait go on as far as a standing order allows, as long as it
// holds.
func TestStandingOrder(t *testing.T) {
	s, terms := climber(map[load.Day]int{27: 10, 24: 10, 21: 10, 18: 10, 15: 10, 12: 10, 9: 10, 6: 10, 3: 10, 0: 10})
	terms.Confirm = true
	top := func(orders ...rehab.Order) (stage int) {
		in := *s.in
		in.Today = storyStart + 31
		care := assess.Follow(&in, assess.Followed{Complaints: []rehab.Complaint{s.c}, Terms: &terms, Plan: rehab.Plan{Orders: orders}})
		if care.Ramp.Refused != nil {
			t.Fatal(care.Ramp.Refused)
		}
		for _, d := range care.Ramp.Plan.Days {
			stage = max(stage, d.Stage)
		}
		return stage
	}
	id, later := s.c.ID, storyStart+200
	if got := top(); got != 1 {
		t.Errorf("up to stage %d without an order, want 1", got)
	}
	if got := top(rehab.Order{Complaint: id, Stage: 3, Until: later}); got != 3 {
		t.Errorf("up to stage %d, want 3", got)
	}
	if got := top(rehab.Order{Complaint: id, Stage: 3, Until: later}, rehab.Order{Complaint: id, Stage: 2, Until: later}); got != 2 {
		t.Errorf("up to stage %d by the last order, want 2", got)
	}
	if got := top(rehab.Order{Complaint: id, Stage: 3, Until: storyStart + 30}); got != 1 {
		t.Errorf("up to stage %d by an order that has ended, want 1", got)
	}
	if got := top(rehab.Order{Complaint: "calf-left", Stage: 3, Until: later}); got != 1 {
		t.Errorf("up to stage %d by the order of something else, want 1", got)
	}
}
