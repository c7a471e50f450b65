package ramp_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// TestRefused: what no plan can be made of is refused in words.
func TestRefused(t *testing.T) {
	for _, test := range []struct {
		name string
		bad  func(in *ramp.Inputs)
		want string
	}{
		{"bone", func(in *ramp.Inputs) { in.Bone = true }, "a bone hurts: no plan is made of it here; see a doctor before you run"},
		{"no free day", func(in *ramp.Inputs) { in.Free = [7]bool{} }, "no day of the week is free: want one at least"},
		{"site", func(in *ramp.Inputs) { in.Site = "elbow" }, `find site "elbow": want ach-mid`},
		{"no weeks", func(in *ramp.Inputs) { in.Weeks = 0 }, "0 weeks: want 1 to 104"},
		{"weeks", func(in *ramp.Inputs) { in.Weeks = 105 }, "105 weeks: want 1 to 104"},
		{"no pace", func(in *ramp.Inputs) { in.Goal.Km = 5 }, "a goal in km needs the easy pace"},
		{"pace", func(in *ramp.Inputs) { in.Goal = ramp.Goal{Km: 5, Pace: 60} }, "pace of 60 min per km: want 2 to 20"},
		{"pace below 0", func(in *ramp.Inputs) { in.Goal.Pace = -6 }, "pace of -6 min per km"},
		{"pace not a number", func(in *ramp.Inputs) { in.Goal = ramp.Goal{Km: 5, Pace: math.NaN()} }, "pace of NaN"},
		{"goal", func(in *ramp.Inputs) { in.Goal = ramp.Goal{Km: -5, Pace: 6} }, "goal of -5 km"},
		{"goal not a number", func(in *ramp.Inputs) { in.Goal = ramp.Goal{Km: math.NaN(), Pace: 6} }, "goal of NaN km"},
		{"date without a goal", func(in *ramp.Inputs) { in.Goal.IsBy, in.Goal.By = true, date(5, 1) }, "wanted by 2026-05-01, but no goal in km"},
		{"past", func(in *ramp.Inputs) { in.Past[0].Run = 0 }, "run of 0 min on 2026-02-23"},
		{"past not a number", func(in *ramp.Inputs) { in.Past[0].Run = ramp.Minutes(math.NaN()) }, "run of NaN min on 2026-02-23"},
		{"base", func(in *ramp.Inputs) { in.Base.Pain = 11 }, "usual score of 11: want 0 to 10"},
		{"stiffness", func(in *ramp.Inputs) { in.Base.Stiffness = -1 }, "usual stiffness of -1 min"},
		{"bmi", func(in *ramp.Inputs) { in.BMI = 320 }, "body mass index 320: want 10 to 80"},
		{"bmi not a number", func(in *ramp.Inputs) { in.BMI = math.NaN() }, "body mass index NaN"},
		{"score", func(in *ramp.Inputs) { answered(in, ofRun(date(3, 2), scores{11, 1, 1, 5})) }, "morning of 2026-03-03: score 11: want 0 to 10"},
		{"two mornings", func(in *ramp.Inputs) { answered(in, ofRun(date(3, 2), flared), ofRun(date(3, 2), missing)) }, "two mornings of 2026-03-03: want one"},
		{"missed", func(in *ramp.Inputs) { in.Missed = []load.DaySpan{{First: date(3, 9), Last: date(3, 8)}} }, "the end is before the beginning"},
	} {
		in := runner()
		test.bad(in)
		if err := in.Check(); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
		}
	}
	if err := runner().Check(); err != nil {
		t.Error(err)
	}
}

// TestCaps are check values 14, 15 and 18 of the rehab reference (10 % from Frandsen et
// al. 2025, read; the rest project defaults).
func TestCaps(t *testing.T) {
	for _, test := range []struct{ longest, want ramp.Minutes }{{10, 13}, {30, 33}, {36, 39.6}, {60, 66}} {
		in := runner()
		in.Past = []ramp.Past{{Day: date(2, 20), Run: test.longest}}
		if d := on(t, make_(t, in), in.Start); !near(d.Session, test.want) {
			t.Errorf("longest %v: session cap %v, want %v", test.longest, d.Session, test.want)
		}
	}
	for _, test := range []struct{ best, want ramp.Minutes }{{20, 30}, {30, 40}, {34, 44.2}, {57, 74.1}} {
		in := runner()
		in.Past = []ramp.Past{{Day: date(2, 23), Run: 10}, {Day: date(2, 26), Run: test.best - 10}}
		if d := on(t, make_(t, in), in.Start); !near(d.WeekCap, test.want) {
			t.Errorf("best week %v: weekly cap %v, want %v", test.best, d.WeekCap, test.want)
		}
	}
}

// TestLadder is row L5 of the rehab reference 5.3 (check value 20) and its run minutes;
// project default.
func TestLadder(t *testing.T) {
	want := []ramp.Minutes{10, 12, 15, 18, 21, 24, 27, 30, 30, 33, 36, 39, 42}
	for i, s := range ramp.Ladder {
		if s.Stage != i+1 || s.Total() != want[i] {
			t.Errorf("stage %d: %+v, %v min", i+1, s, s.Total())
		}
	}
	if s := ramp.Ladder[4]; s.Total()+ramp.Minutes(s.Reps-1)*s.Walk != 23 {
		t.Errorf("stage 5: %+v, want 23 min in all", s)
	}
	var ids []string
	for _, c := range ramp.Constraints {
		ids = append(ids, c.ID)
		if c.Rule == "" || c.Default == "" || c.Source == "" || c.Status == "" {
			t.Errorf("%s is not whole: %+v", c.ID, c)
		}
	}
	if !slices.Equal(ids, strings.Fields("C1 C2 C3 C4 C5 C6 C7 C8 C9 C10 C11")) {
		t.Errorf("constraints %v", ids)
	}
}

// TestFirstStage: the highest whose minutes are at most the longest run of the 14 days
// before; without one of 10 min a test run.
func TestFirstStage(t *testing.T) {
	for _, test := range []struct {
		name  string
		past  []ramp.Past
		stage int
		test  bool
	}{
		{"none", nil, 1, true},
		{"too short", []ramp.Past{{Day: date(2, 27), Run: 9}}, 1, true},
		{"too long ago", []ramp.Past{{Day: date(2, 15), Run: 25}}, 1, true},
		{"14 days ago", []ramp.Past{{Day: date(2, 16), Run: 25}}, 6, false},
		{"between stages", []ramp.Past{{Day: date(2, 23), Run: 29}}, 7, false},
		{"two of the same minutes", []ramp.Past{{Day: date(2, 23), Run: 30}}, 9, false},
		{"over the ladder", []ramp.Past{{Day: date(2, 23), Run: 80}}, 13, false},
	} {
		in := runner()
		in.Past = test.past
		p := make_(t, in)
		if d := p.Days[0]; d.Kind != ramp.Run || d.Stage != test.stage || strings.HasPrefix(d.Reason, "test run:") != test.test {
			t.Errorf("%s: %+v", test.name, d)
		}
		if says(p.Reasons, "the first run is a test run, exempt") != test.test {
			t.Errorf("%s: reasons %q", test.name, p.Reasons)
		}
	}
	// The test run of 10 min is over its caps of 3 and 10 min; the second, three days
	// later, is one of 10 under 13, 20 in seven days under 20.
	in := runner()
	in.Past = nil
	p := make_(t, in)
	if d := on(t, p, date(3, 5)); d.Total != 10 || d.Session != 13 || d.Week != 20 || d.WeekCap != 20 {
		t.Errorf("5 March: %+v", d)
	}
	// A run that flared does not set the stage, but it does the session cap.
	in = answered(runner(), ofRun(date(2, 26), flared))
	in.Past[1].Run = 20
	p = make_(t, in)
	if d := p.Days[0]; d.Stage != 1 || d.Session != 23 || !says(p.Reasons, "the morning of 2026-02-27 flared, before the start") {
		t.Errorf("after a flare: %+v", d)
	}
}

// TestSites: the rest days of each site to begin with, and after four settled runs (model
// 9; plantar and shin project defaults). With every day free the first six runs are gap
// and a day apart.
func TestSites(t *testing.T) {
	for _, test := range []struct {
		site  rehab.Site
		apart [5]load.Day
	}{
		{rehab.AchillesMid, [5]load.Day{3, 3, 3, 2, 2}},
		{rehab.Calf, [5]load.Day{3, 3, 3, 2, 2}},
		{rehab.Plantar, [5]load.Day{2, 2, 3, 2, 2}}, // 8 March: 44 min of 42 in seven days
		{rehab.Other, [5]load.Day{3, 3, 3, 3, 3}},
	} {
		in := runner()
		in.Site, in.Free = test.site, allDays
		in.Past = []ramp.Past{{Day: date(2, 23), Run: 10}, {Day: date(2, 25), Run: 10}, {Day: date(2, 27), Run: 10}}
		days := runDays(make_(t, in), 6)
		for i, want := range test.apart {
			if days[i+1]-days[i] != want {
				t.Errorf("%s: run %d is %d days after the one before, want %d", test.site, i+2, days[i+1]-days[i], want)
			}
		}
	}
	in := runner()
	in.Site, in.Weeks = rehab.Other, 20
	p := make_(t, in)
	for _, d := range p.Days {
		if d.Stage > 1 || d.Action == ramp.Advance {
			t.Fatalf("the site is not in the list, and the stage went up: %+v", d)
		}
	}
	if !says(p.Reasons, "no stage is advanced by itself") {
		t.Errorf("reasons: %q", p.Reasons)
	}
}

// TestHeavyNovice is check value 46 of the rehab reference (Nielsen et al. 2014, Int J
// Sports Phys Ther 9:338, read): body mass index 32, novice, no more than 3 km in the
// first week. At 6 min per km that is 18 min; two runs of 12 min would be 4 km.
func TestHeavyNovice(t *testing.T) {
	in := runner()
	in.Past = []ramp.Past{{Day: date(2, 20), Run: 12}}
	in.BMI, in.Novice, in.Goal.Pace = 32, true, 6
	p := make_(t, in)
	var first ramp.Minutes
	for _, d := range p.Days[:7] {
		first += d.Total
	}
	if first != 12 {
		t.Errorf("%v min in the first week, want 12", first)
	}
	if d := on(t, p, date(3, 5)); d.Reason != "rest: first week, 24 min > 18 min" {
		t.Errorf("5 March: %q", d.Reason)
	}
	// A longer run falls to the highest stage that is within 3 km: 18 min.
	in.Past[0].Run = 30
	if d := make_(t, in).Days[0]; d.Stage != 4 || d.Total != 18 {
		t.Errorf("from 30 min: %+v", d)
	}
	for _, light := range []func(){func() { in.BMI = 30 }, func() { in.BMI, in.Novice = 32, false }} {
		light()
		if d := make_(t, in).Days[0]; d.Stage != 9 {
			t.Errorf("body mass index %g, novice %v: %+v", in.BMI, in.Novice, d)
		}
	}
}

// TestUnasked: mornings of days without a run are named and do nothing.
func TestUnasked(t *testing.T) {
	in := answered(runner(), ofRun(date(3, 3), flared), ofRun(date(6, 1), missing))
	p := make_(t, in)
	if !slices.Equal(p.Reasons, []string{"no run, and what was said of it is left out: 2026-03-03, 2026-06-01"}) {
		t.Errorf("reasons: %q", p.Reasons)
	}
	if d := on(t, p, date(3, 5)); d.Kind != ramp.Run {
		t.Errorf("5 March: %+v", d)
	}
}

// TestOneDay: one free day a week makes a plan too, a run a week.
func TestOneDay(t *testing.T) {
	in := runner()
	in.Free = [7]bool{time.Sunday: true}
	in.Weeks = 30
	p := make_(t, in)
	for i, d := range p.Days {
		if want := i%7 == 6; (d.Kind == ramp.Run) != want {
			t.Fatalf("%v: %s: %s", d.Day, d.Kind, d.Reason)
		}
	}
	// Four runs for the gap and two a stage: stage 13 begins with the 29th, on 20 September.
	if d := on(t, p, date(9, 20)); d.Stage != 13 {
		t.Errorf("20 September: %+v", d)
	}
	if d := on(t, p, date(9, 13)); d.Stage != 12 {
		t.Errorf("13 September: %+v", d)
	}
}
