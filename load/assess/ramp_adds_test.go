package assess_test

import (
	"slices"
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// follower runs day by day what the plan of the day has, and every morning is as usual.
type follower struct {
	runs   map[load.Day]int
	terms  ramp.Terms
	sets   []ramp.Set
	orders []rehab.Order
	firsts map[ramp.Addition]load.Day // as they were on the day itself
	waits  []int
}

func (f *follower) care(day load.Day) (*assess.Care, *load.Input) {
	s := tell(usualRuns(f.runs))
	for ran := range f.runs {
		if ran < day {
			s.wake(ran+1, 0, 0, 1, 5)
		}
	}
	in := *s.in
	in.Today = storyStart + day
	return assess.Follow(&in, assess.Followed{
		Complaints: []rehab.Complaint{s.c}, Mornings: s.mornings, Terms: &f.terms, Sets: f.sets, Plan: rehab.Plan{Orders: f.orders},
	}), &in
}

// until runs up to a day, and tells what the limits of each run leave.
func (f *follower) until(t *testing.T, from, to load.Day, told func(d *ramp.Day, rules []string, room load.Headroom)) {
	t.Helper()
	for day := from; day <= to; day++ {
		care, in := f.care(day)
		d, ok := care.Ramp.On(in.Today)
		if !ok {
			t.Fatalf("no plan on %v: %v", in.Today, care.Ramp.Refused)
		}
		if stage, _, ok := care.Ramp.Waiting(in.Today); ok && !slices.Contains(f.waits, stage) {
			f.waits = append(f.waits, stage)
		}
		if d.Kind != ramp.Run {
			continue
		}
		if told != nil {
			room := *assess.Assess(in, care, assess.Query{Measure: load.RunTime, From: in.Today, To: in.Today}, nil).Headroom
			told(d, rules(&room), room)
		}
		if f.firsts[d.Adds] == 0 {
			f.firsts[d.Adds] = day
		}
		f.runs[day] = int(d.Total)
	}
}

func following() *follower {
	_, terms := climber(nil)
	terms.Goal = ramp.Goal{Km: 5, Pace: 6}
	return &follower{runs: map[load.Day]int{}, terms: terms, firsts: map[ramp.Addition]load.Day{}}
}

// TestAdditionsLived: once run days are added the spacing of the limits is a day less, as the
// plan's is; and a plan made anew each day keeps what it had on the days before.
func TestAdditionsLived(t *testing.T) {
	f := following()
	running, last := 0, load.Day(0)
	f.until(t, 31, 110, func(d *ramp.Day, rules []string, room load.Headroom) {
		if slices.Contains(rules, assess.LimitSpacing) || room.Amount == 0 {
			t.Errorf("%v with %q: %v leave %v", d.Day, d.Adds, rules, room.Amount)
		}
		if d.Day == last+1 {
			running++
			if d.Adds == "" {
				t.Errorf("%v: days running before run days", d.Day)
			}
		}
		last = d.Day
	})
	if running < 5 || f.firsts[ramp.RunDays] == 0 || f.firsts[ramp.Strides] < f.firsts[ramp.RunDays]+14 {
		t.Errorf("%d runs on the day after one, %v", running, f.firsts)
	}
	care, _ := f.care(111)
	for i := range care.Ramp.Plan.Days[:111-31] {
		d := &care.Ramp.Plan.Days[i]
		if d.Adds != "" && d.Day < storyStart+f.firsts[d.Adds] {
			t.Errorf("%v has %s now, and had not on the day", d.Day, d.Adds)
		}
	}
}

// TestAdditionsSaidLater: where they wait an addition begins on the day on which it was said,
// by the terms or by a standing order, and not on the day from which it could have been.
func TestAdditionsSaidLater(t *testing.T) {
	for _, by := range []string{"terms", "order"} {
		f := following()
		f.terms.Confirm, f.terms.Roof = true, 14
		f.sets = []ramp.Set{{Terms: f.terms, Day: storyStart + 31}}
		f.until(t, 31, 90, nil)
		if f.firsts[ramp.RunDays] != 0 || !slices.Equal(f.waits, []int{15}) {
			t.Fatalf("%v, %v waits; want 15, the first addition", f.firsts, f.waits)
		}
		if by == "terms" {
			f.terms.Roof = 16
			f.sets = append(f.sets, ramp.Set{Terms: f.terms, Day: storyStart + 91})
		} else {
			f.orders = []rehab.Order{{Complaint: "ach-mid-left", Stage: 16, From: storyStart + 91, Until: storyStart + 200}}
		}
		f.until(t, 91, 110, nil)
		first := f.firsts[ramp.RunDays]
		if first < 91 || first > 93 || f.firsts[ramp.Strides] < first+14 {
			t.Errorf("by %s: %v", by, f.firsts)
		}
		care, _ := f.care(111)
		if d, ok := care.Ramp.On(storyStart + 90); !ok || d.Adds != "" {
			t.Errorf("by %s: %+v, the day before it was said", by, d)
		}
	}
}

// TestAdditionsOfAll: the ground of every complaint counts, not only of the one whose spacing
// the plan follows.
func TestAdditionsOfAll(t *testing.T) {
	s, terms := climber(nil)
	other := s.c
	other.ID, other.Site, other.Side = "ach-ins-right", rehab.AchillesIns, rehab.Right
	in := *s.in
	in.Today = storyStart + 31
	care := assess.Follow(&in, assess.Followed{Complaints: []rehab.Complaint{s.c, other}, Terms: &terms})
	if got := care.Ramp.Plan.Inputs; got.Site != rehab.AchillesMid || !slices.Equal(got.Also, []rehab.Site{rehab.AchillesIns}) {
		t.Errorf("%s and %v", got.Site, got.Also)
	}
}
