package assess_test

import (
	"slices"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// at follows a story with more than mornings on a day.
func (s *story) at(day load.Day, f assess.Followed) (*assess.Care, assess.Picture) {
	in := *s.in
	in.Today = storyStart + day
	if f.Complaints == nil {
		f.Complaints = []rehab.Complaint{s.c}
	}
	f.Mornings = s.mornings
	care := assess.Follow(&in, f)
	return care, assess.Assess(&in, care, assess.Query{Measure: load.RunTime, From: in.Today, To: in.Today}, nil)
}

func raised(t *testing.T, id string, from load.Day, at load.Instant) rehab.Raised {
	t.Helper()
	flag, err := rehab.FindRedFlag(id)
	if err != nil {
		t.Fatal(err)
	}
	return rehab.Raised{Flag: flag, From: storyStart + from, At: at}
}

// ahead lists the runs that a way back holds from a day on, as days of the story.
func ahead(r *assess.Ramp, from load.Day) (days []load.Day) {
	for d := storyStart + from; ; d++ {
		switch on, ok := r.On(d); {
		case !ok:
			return days
		case on.Kind == ramp.Run && !r.Plan.Inputs.DoneOn(d):
			days = append(days, d-storyStart)
		}
	}
}

// TestSignsStopTheRamp: while a sign stands that stops, or one that a clinician leads, no day
// from today on is a run, and the sign is said. Lifted after 8 days the plan is a stage back,
// from 9 to 8 (rehab reference 5.5).
func TestSignsStopTheRamp(t *testing.T) {
	for _, id := range []string{"clot", "rupture", "antibiotic", "night", "steroid", "led"} {
		s, terms := climber(nil)
		f := assess.Followed{Terms: &terms, Flags: []rehab.Raised{raised(t, id, 31, 0)}}
		care, p := s.at(31, f)
		if runs := ahead(care.Ramp, 31); len(runs) > 0 || !care.Ramp.Plan.Checked {
			t.Errorf("%s: runs on %v", id, runs)
		}
		stop, ok := care.Ramp.Stopped(storyStart + 31)
		if !ok || !strings.HasSuffix(stop.Why, f.Flags[0].Flag.Do) || p.Headroom.Amount != 0 || p.Headroom.Decides != stop.Rule {
			t.Errorf("%s: %+v, %v left, by %s", id, stop, p.Headroom.Amount, p.Headroom.Decides)
		}
		f.Flags[0].Lifted, f.Flags[0].IsLifted = storyStart+39, true
		care, _ = s.at(39, f)
		if d, _ := care.Ramp.On(storyStart + 39); d.Kind != ramp.Run || d.Stage != 8 {
			t.Errorf("%s, lifted: %+v, want stage 8", id, d)
		}
	}
}

// TestSetSinceTheSign: what whoever is in charge set or confirmed after a sign that a clinician
// leads counts as typed by one; what was set before, what another person braked and what is
// held does not.
func TestSetSinceTheSign(t *testing.T) {
	s, terms := climber(nil)
	held := terms
	held.State = ramp.Held
	for name, test := range map[string]struct {
		sets []ramp.Set
		want bool
	}{
		"before":              {[]ramp.Set{{Terms: terms, Day: storyStart + 31, At: 5, Charge: true}}, false},
		"at once":             {[]ramp.Set{{Terms: terms, Day: storyStart + 31, At: 10, Charge: true}}, false},
		"since":               {[]ramp.Set{{Terms: terms, Day: storyStart + 31, At: 11, Charge: true}}, true},
		"since, by another":   {[]ramp.Set{{Terms: terms, Day: storyStart + 31, At: 11}}, false},
		"held since":          {[]ramp.Set{{Terms: held, Day: storyStart + 31, At: 11, Charge: true}}, false},
		"before, and again":   {[]ramp.Set{{Terms: terms, Day: storyStart + 30, At: 5, Charge: true}, {Terms: terms, Day: storyStart + 31, At: 12, Charge: true}}, true},
		"of the day to come":  {[]ramp.Set{{Terms: terms, Day: storyStart + 32, At: 12, Charge: true}}, false},
		"before, then braked": {[]ramp.Set{{Terms: terms, Day: storyStart + 30, At: 5, Charge: true}, {Terms: terms, Day: storyStart + 31, At: 12}}, false},
	} {
		care, p := s.at(31, assess.Followed{Terms: &terms, Sets: test.sets, Flags: []rehab.Raised{raised(t, "led", 31, 10)}})
		d, _ := care.Ramp.On(storyStart + 31)
		if got := d.Kind == ramp.Run; got != test.want || (p.Headroom.Amount > 0) != test.want || p.Headroom.State != load.LedByClinician {
			t.Errorf("%s: a run %v, %v left, %v; want a run %v", name, got, p.Headroom.Amount, p.Headroom.State, test.want)
		}
		if got := load.RunTime.In(p.Headroom.Amount); test.want && got != 30 {
			t.Errorf("%s: %v min, want the 30 of stage 9", name, got)
		}
	}
}

// TestSignToBeSeen: under a sign to be seen stages do not go up and the week does not grow, with
// a way back and without one; what was lifted does nothing.
func TestSignToBeSeen(t *testing.T) {
	runs := map[load.Day]int{}
	s, terms := climber(runs)
	f := assess.Followed{Terms: &terms, Flags: []rehab.Raised{raised(t, "numb", 31, 0)}}
	care, p := s.at(31, f)
	if d, _ := care.Ramp.On(storyStart + 31); d.Stage != 9 || load.RunTime.In(p.Headroom.Amount) != 30 {
		t.Errorf("%+v, %v left; want the stage as it was", d, p.Headroom.Amount)
	}
	for day := load.Day(31); day < 50; day++ {
		if d, _ := care.Ramp.On(storyStart + day); d.Kind == ramp.Run && d.Stage > 9 {
			t.Errorf("%+v", d)
		}
	}
	free, _ := s.at(31, assess.Followed{Terms: &terms})
	top := func(r *assess.Ramp) (stage int) {
		for i := range r.Plan.Days {
			stage = max(stage, r.Plan.Days[i].Stage)
		}
		return stage
	}
	if got, plain := top(care.Ramp), top(free.Ramp); got != 9 || plain < 10 {
		t.Errorf("up to stage %d, and without the sign %d; want 9 and more", got, plain)
	}
	// Without a way back: runs of 30 min every third day make a best week of 90 min. On day 30
	// those of days 24, 27 and 28 are 80, so that the week leaves 10, less than the longest run.
	s = tell(usualRuns(map[load.Day]int{28: 20}))
	_, p = s.at(30, assess.Followed{Complaints: []rehab.Complaint{}, Flags: f.Flags[:0]})
	plain := p.Headroom.Amount
	numb := raised(t, "numb", 30, 0)
	_, p = s.at(30, assess.Followed{Complaints: []rehab.Complaint{}, Flags: []rehab.Raised{numb}})
	if load.RunTime.In(p.Headroom.Amount) != 10 || plain <= p.Headroom.Amount || !strings.Contains(why(p.Headroom, assess.LimitRedFlag), "the week neither") {
		t.Errorf("%v of %v left: %s", p.Headroom.Amount, plain, why(p.Headroom, assess.LimitRedFlag))
	}
}

// TestHeldDays: no run on days that are held, today's neither, and the days that a hold had
// stay held when it is lifted: a run on one is none of the plan.
func TestHeldDays(t *testing.T) {
	s, terms := climber(map[load.Day]int{33: 30})
	held := terms
	held.State, held.Until = ramp.Held, storyStart+36
	first := ramp.Set{Terms: terms, Day: storyStart + 31, Charge: true}
	care, _ := s.at(32, assess.Followed{Terms: &held, Sets: []ramp.Set{first, {Terms: held, Day: storyStart + 32}}})
	if runs := ahead(care.Ramp, 32); len(runs) == 0 || runs[0] != 37 {
		t.Errorf("runs on %v, want the first on day 37", runs)
	}
	care, _ = s.at(35, assess.Followed{Terms: &terms, Sets: []ramp.Set{first, {Terms: held, Day: storyStart + 32}, {Terms: terms, Day: storyStart + 35, Charge: true}}})
	if d, _ := care.Ramp.On(storyStart + 33); !strings.Contains(d.Over, "held, until ") {
		t.Errorf("the run of day 33, held by somebody not in charge: %+v", d)
	}
	care, _ = s.at(35, assess.Followed{Terms: &terms, Sets: []ramp.Set{first, {Terms: held, Day: storyStart + 32, Charge: true}, {Terms: terms, Day: storyStart + 35, Charge: true}}})
	if d, _ := care.Ramp.On(storyStart + 33); !strings.Contains(d.Over, "held by whoever is in charge, until ") {
		t.Errorf("the run of day 33: %+v", d)
	}
	if _, stopped := care.Ramp.Stopped(storyStart + 35); stopped {
		t.Error("still held on the day on which it was lifted")
	}
}

// TestGateHolds: the newest gate decides: one that was failed holds until one is passed, or
// whoever is in charge sets the ramp after it with a reason. What was not tried holds nothing.
func TestGateHolds(t *testing.T) {
	s, terms := climber(nil)
	score := func(n uint8) *rehab.Score { return &n }
	count := func(n int) *int { return &n }
	passed := ramp.Gate{Day: storyStart + 30, DailyPain: score(1), Walk: count(30), WalkSettled: true, Raises: count(10), Hops: count(10), LoadPain: score(2)}
	failed, little := passed, ramp.Gate{Day: storyStart + 31, DailyPain: score(1)}
	failed.Day, failed.DailyPain, failed.Walk = storyStart+31, score(8), count(5)
	again := passed
	again.Day = storyStart + 31
	set := ramp.Set{Terms: terms, Day: storyStart + 30, At: 10, Charge: true, Why: "calm"}
	later := func(why string, charge bool) ramp.Set {
		return ramp.Set{Terms: terms, Day: storyStart + 31, At: 40, Charge: charge, Why: why}
	}
	for name, test := range map[string]struct {
		gates []ramp.Found
		sets  []ramp.Set
		holds bool
	}{
		"passed":                {[]ramp.Found{{Gate: passed, At: 5}}, []ramp.Set{set}, false},
		"failed since":          {[]ramp.Found{{Gate: passed, At: 5}, {Gate: failed, At: 20}}, []ramp.Set{set}, true},
		"passed again":          {[]ramp.Found{{Gate: failed, At: 20}, {Gate: again, At: 30}}, []ramp.Set{set}, false},
		"little tried since":    {[]ramp.Found{{Gate: failed, At: 20}, {Gate: little, At: 30}}, []ramp.Set{set}, true},
		"little tried":          {[]ramp.Found{{Gate: little, At: 20}}, []ramp.Set{set}, false},
		"set since, and why":    {[]ramp.Found{{Gate: failed, At: 20}}, []ramp.Set{set, later("the bar was wrong", true)}, false},
		"set since without why": {[]ramp.Found{{Gate: failed, At: 20}}, []ramp.Set{set, later("", true)}, true},
		"braked since":          {[]ramp.Found{{Gate: failed, At: 20}}, []ramp.Set{set, later("calm", false)}, true},
		"set before":            {[]ramp.Found{{Gate: failed, At: 50}}, []ramp.Set{set, later("the bar was wrong", true)}, true},
	} {
		care, p := s.at(31, assess.Followed{Terms: &terms, Sets: test.sets, Gates: test.gates})
		_, stopped := care.Ramp.Stopped(storyStart + 31)
		if stopped != test.holds || (p.Headroom.Amount == 0) != test.holds || len(ahead(care.Ramp, 31)) == 0 != test.holds {
			t.Errorf("%s: held %v, %v left, runs on %v", name, stopped, p.Headroom.Amount, ahead(care.Ramp, 31))
		}
		if text := why(p.Headroom, assess.LimitHold); test.holds && !strings.Contains(text, "8 of 10") {
			t.Errorf("%s: %q does not say what was found", name, text)
		}
	}
}

// TestOrderEnds: followed day by day, with every morning as usual, an order for all stages that
// ends on day 60 leaves the stage that was reached, and none is gone up after it.
func TestOrderEnds(t *testing.T) {
	f := following()
	f.terms.Confirm = true
	f.orders = []rehab.Order{{Complaint: "ach-mid-left", Stage: 13, From: storyStart + 31, Until: storyStart + 60}}
	reached, after := 0, 0
	f.until(t, 31, 75, func(d *ramp.Day, _ []string, _ load.Headroom) {
		if d.Day <= storyStart+60 {
			reached = max(reached, d.Stage)
		} else {
			after = max(after, d.Stage)
			if d.Stage < reached {
				t.Errorf("%v: back to stage %d from %d", d.Day, d.Stage, reached)
			}
		}
	})
	if reached < 10 || after > reached+1 {
		t.Errorf("stage %d until the end, %d after it", reached, after)
	}
	care, _ := f.care(76)
	for i := range care.Ramp.Plan.Days {
		if d := &care.Ramp.Plan.Days[i]; d.Day > storyStart+76 && d.Stage > after {
			t.Errorf("%+v, above what was reached", d)
		}
	}
}

// TestOrderOfToday: an order that is given today acts on no day before: what was run stays as it
// was, and the next run is one stage up.
func TestOrderOfToday(t *testing.T) {
	f := following()
	f.terms.Confirm, f.terms.First = true, 3
	f.until(t, 31, 60, nil)
	care, _ := f.care(61)
	before := slices.Clone(care.Ramp.Plan.Days[:61-31])
	if stage, _, ok := care.Ramp.Waiting(storyStart + 61); !ok || stage != 4 {
		t.Fatalf("stage %d waits, %v; want 4", stage, ok)
	}
	f.orders = []rehab.Order{{Complaint: "ach-mid-left", Stage: 6, From: storyStart + 61, Until: storyStart + 90}}
	care, _ = f.care(61)
	for i, d := range care.Ramp.Plan.Days[:61-31] {
		if d.Stage != before[i].Stage || d.Total != before[i].Total || d.Over != before[i].Over {
			t.Errorf("%+v, and was %+v", d, before[i])
		}
	}
	next, ok := care.Ramp.Next(storyStart + 61)
	if !ok || next.Stage != 4 {
		t.Errorf("%+v, want stage 4", next)
	}
	if stage, _, ok := care.Ramp.Waiting(storyStart + 61); ok {
		t.Errorf("stage %d still waits", stage)
	}
}
