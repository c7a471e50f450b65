package ramp_test

import (
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// TestVerifyWindows holds the worked plan's first run, of 2 March, against runs on the
// edges of what the caps look at: L30 from 31 January on (30 days before), the weeks of B28
// from 27 January on (the week that ended on 2 February, 28 days before).
func TestVerifyWindows(t *testing.T) {
	tests := []struct {
		name         string
		past         load.Day
		value, limit float64 // 0: accepted
	}{
		{"within L30", in2026(time.January, 31), 13, 33},
		{"past L30, within B28", in2026(time.January, 30), 30, 40},
		{"the first day of B28", in2026(time.January, 27), 30, 40},
		{"past both", in2026(time.January, 26), 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := worked()
			p.Inputs.Past = append(p.Inputs.Past, ramp.Past{Day: tt.past, Run: 30})
			err := ramp.Verify(p)
			if tt.limit > 0 {
				want(t, err, in2026(time.March, 2), ramp.RuleNumbers, tt.value, tt.limit)
			} else if err != nil {
				t.Error(err)
			}
		})
	}
}

// TestVerifyBaseWeek: the week before the start, 90 min, counts throughout, so that the cap
// of 10 April, 41 days after its last run, is still 117 min.
func TestVerifyBaseWeek(t *testing.T) {
	const feb, apr = time.February, time.April
	p := planned(ramp.Inputs{
		Site: rehab.Shin, Start: in2026(time.March, 2), Weeks: 6,
		Past: []ramp.Past{{Day: in2026(feb, 24), Run: 30}, {Day: in2026(feb, 26), Run: 30}, {Day: in2026(feb, 28), Run: 30}},
	}, nil)
	at(p, in2026(apr, 10)).WeekCap = 117
	if err := ramp.Verify(p); err != nil {
		t.Error(err)
	}
	at(p, in2026(apr, 10)).WeekCap = 10
	want(t, ramp.Verify(p), in2026(apr, 10), ramp.RuleNumbers, 10, 117)
}

// TestVerifyReturned: after the flare of 11 April a later morning that is back to baseline
// lifts an earlier one that is not, unless it came late; one before the flare says nothing.
func TestVerifyReturned(t *testing.T) {
	bad, good := morning(in2026(time.April, 12), said{-1, -1, 2, 5}), morning(in2026(time.April, 14), said{-1, -1, 1, 10})
	late, other := good, good
	late.Late, other.Complaint = true, "right"
	early := morning(in2026(time.April, 9), said{-1, -1, 2, 5})
	early.Day--
	tests := []struct {
		name     string
		mornings []rehab.Morning
		ok       bool
	}{
		{"back", []rehab.Morning{bad, good}, true},
		{"back, in any order", []rehab.Morning{good, bad}, true},
		{"back, but late", []rehab.Morning{bad, late}, false},
		{"back elsewhere", []rehab.Morning{bad, other}, false},
		{"not back", []rehab.Morning{bad}, false},
		{"before the flare", []rehab.Morning{early}, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := worked()
			p.Inputs.Resting = append(p.Inputs.Resting, tt.mornings...)
			if err := ramp.Verify(p); tt.ok && err != nil {
				t.Error(err)
			} else if !tt.ok {
				want(t, err, in2026(time.April, 15), ramp.RuleSpacing, 2, 1)
			}
		})
	}
}

// fromNothing is a first week at the inner shin without a base: a test run of stage 1 and
// one more. The second has the caps of the first: 10+3 min and, of 10 min a week, 20.
func fromNothing() *ramp.Plan {
	return planned(ramp.Inputs{Site: rehab.Shin, Start: in2026(time.March, 2), Weeks: 1, Free: everyDay()}, []row{
		{in2026(time.March, 2), 1, 10, 0, 10, 0, fine0, load.Settled},
		{in2026(time.March, 4), 1, 10, 13, 20, 20, fine0, load.Settled},
	})
}

var fine0 = said{0, 0, 0, 0}

func TestVerifyTestRun(t *testing.T) {
	const feb, mar = time.February, time.March
	if err := ramp.Verify(fromNothing()); err != nil {
		t.Errorf("no run before: %v", err)
	}
	short := fromNothing()
	short.Inputs.Past = []ramp.Past{{Day: in2026(feb, 20), Run: 6}}
	if err := ramp.Verify(short); err != nil {
		t.Errorf("6 min before, a cap of 9: %v", err)
	}

	second := fromNothing()
	stage(second, in2026(mar, 2), 2)
	want(t, ramp.Verify(second), in2026(mar, 2), ramp.RuleDwell, 2, 1)

	// Two settled runs allow stage 2, but 32 min are over 20+10.
	third := fromNothing()
	*at(third, in2026(mar, 6)) = ramp.Day{Day: in2026(mar, 6), Kind: ramp.Run, Verdict: load.Settled}
	stage(third, in2026(mar, 6), 2)
	want(t, ramp.Verify(third), in2026(mar, 6), ramp.RuleWeek, 32, 30)

	// With a base of 10 min the first run is none, and 20 min are over its cap.
	long := func(past load.Day) *ramp.Plan {
		p := fromNothing()
		p.Ladder[0].Run = 2
		p.Inputs.Past = []ramp.Past{{Day: past, Run: 10}}
		d := at(p, in2026(mar, 2))
		d.Run, d.Total, d.Week = 2, 20, 20
		*at(p, in2026(mar, 4)) = ramp.Day{Day: in2026(mar, 4), Kind: ramp.Rest}
		return p
	}
	want(t, ramp.Verify(long(in2026(feb, 16))), in2026(mar, 2), ramp.RuleSession, 20, 13)
	if err := ramp.Verify(long(in2026(feb, 15))); err != nil {
		t.Errorf("a run of 15 days before is no base: %v", err)
	}
}

// grown is a week at the inner shin from the end of the ladder on. The three runs of 42 min
// before make a base week of 126: caps of 46.2 min and, in the ladder, 163.8; after it B7 is
// 126 (the week that ended on 27 February, 7 days before the 6th), and the cap 144.9.
func grown() *ramp.Plan {
	const feb, mar = time.February, time.March
	in := ramp.Inputs{
		Site: rehab.Shin, Start: in2026(mar, 2), Weeks: 1, Free: everyDay(),
		Past: []ramp.Past{{Day: in2026(feb, 23), Run: 42}, {Day: in2026(feb, 25), Run: 42}, {Day: in2026(feb, 27), Run: 42}},
	}
	return planned(in, []row{
		{in2026(mar, 2), 13, 42, 46.2, 126, 163.8, fine0, load.Settled},
		{in2026(mar, 4), 13, 42, 46.2, 126, 163.8, fine0, load.Settled},
		{in2026(mar, 6), 0, 46, 46.2, 130, 144.9, fine0, load.Settled},
	})
}

func TestVerifyGrowth(t *testing.T) {
	const mar = time.March
	if err := ramp.Verify(grown()); err != nil {
		t.Error(err)
	}
	// The rest day after it: 1.3 times the week of 130.
	held := grown()
	at(held, in2026(mar, 6)).WeekCap, at(held, in2026(mar, 7)).WeekCap = 135, 169
	if err := ramp.Verify(held); err != nil {
		t.Errorf("a plan that holds itself to less: %v", err)
	}
	tests := []struct {
		name         string
		breakIt      func(p *ramp.Plan)
		day          load.Day
		rule         string
		value, limit float64
	}{
		{"after one settled run of the last stage", func(p *ramp.Plan) {
			*at(p, in2026(mar, 4)) = ramp.Day{Day: in2026(mar, 4), Kind: ramp.Run, Reps: 1, Run: 42, Total: 42, Verdict: load.Settled}
		}, in2026(mar, 4), ramp.RuleDwell, 1, 2},
		{"over the session cap", func(p *ramp.Plan) { d := at(p, in2026(mar, 6)); d.Run, d.Total = 46.3, 46.3 }, in2026(mar, 6), ramp.RuleSession, 46.3, 46.2},
		{"over the week cap", func(p *ramp.Plan) {
			*at(p, in2026(mar, 8)) = *at(p, in2026(mar, 6))
			at(p, in2026(mar, 8)).Day = in2026(mar, 8)
		}, in2026(mar, 8), ramp.RuleWeek, 176, 144.9},
		{"over the week cap that it shows", func(p *ramp.Plan) { at(p, in2026(mar, 6)).WeekCap = 129 }, in2026(mar, 6), ramp.RuleNumbers, 129, 144.9},
		{"a cap shown below nothing on a rest day", func(p *ramp.Plan) { at(p, in2026(mar, 7)).WeekCap = -1 }, in2026(mar, 7), ramp.RuleNumbers, -1, 169},
		{"a cap too high on a rest day", func(p *ramp.Plan) { at(p, in2026(mar, 7)).WeekCap = 170 }, in2026(mar, 7), ramp.RuleNumbers, 170, 169},
		{"a cap shown that is too high", func(p *ramp.Plan) { at(p, in2026(mar, 6)).Session = 47 }, in2026(mar, 6), ramp.RuleNumbers, 47, 46.2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := grown()
			tt.breakIt(p)
			want(t, ramp.Verify(p), tt.day, tt.rule, tt.value, tt.limit)
		})
	}
}

// TestVerifyAccepts are worked plans changed to the edge of a rule, by hand.
func TestVerifyAccepts(t *testing.T) {
	tests := []struct {
		name   string
		change func(p *ramp.Plan)
	}{
		{"bmi 30", func(p *ramp.Plan) { p.Inputs.BMI, p.Inputs.Novice = 30, true }},
		{"bmi 32 and no novice", func(p *ramp.Plan) { p.Inputs.BMI = 32 }},
		{"bmi 32, a novice, 30 min at 10 min per km", func(p *ramp.Plan) { p.Inputs.BMI, p.Inputs.Novice, p.Inputs.Goal.Pace = 32, true, 10 }},
		{"a partial morning in the row of four", func(p *ramp.Plan) { reads(p, in2026(time.March, 5), said{1, 1, 1, -1}, load.Settled) }},
		{"a run already done whose minutes nobody knows", func(p *ramp.Plan) { p.Inputs.Past = append(p.Inputs.Past, ramp.Past{Day: in2026(time.March, 1)}) }},
		{"bone, and no plan", func(p *ramp.Plan) { p.Inputs.Bone, p.Days = true, nil }},
		{"no other stages than are used", func(p *ramp.Plan) { p.Ladder = p.Ladder[:8] }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := worked()
			tt.change(p)
			if err := ramp.Verify(p); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestVerifyAfterFlare is a flare at the kneecap tendon before the gap fell: three settled
// runs, a flare, and what settles after it. Gaps of 2, then 3 twice, then 2 again; stage 1
// throughout.
func TestVerifyAfterFlare(t *testing.T) {
	const feb, mar = time.February, time.March
	rows := []row{
		{in2026(mar, 2), 1, 10, 13, 20, 30, fine0, load.Settled},
		{in2026(mar, 5), 1, 10, 13, 20, 30, fine0, load.Settled},
		{in2026(mar, 8), 1, 10, 13, 30, 30, fine0, load.Settled},
		{in2026(mar, 11), 1, 10, 13, 30, 40, said{6, 0, 0, 0}, load.Flared},
		{in2026(mar, 15), 1, 10, 13, 20, 40, fine0, load.Settled},
		{in2026(mar, 19), 1, 10, 13, 20, 40, fine0, load.Settled},
		{in2026(mar, 22), 1, 10, 13, 20, 40, fine0, load.Settled},
	}
	in := ramp.Inputs{
		Site: rehab.Patellar, Start: in2026(mar, 2), Weeks: 3, Free: everyDay(),
		Past: []ramp.Past{{Day: in2026(feb, 23), Run: 10}, {Day: in2026(feb, 26), Run: 10}},
	}
	if err := ramp.Verify(planned(in, rows)); err != nil {
		t.Error(err)
	}
	early := planned(in, rows)
	move(early, in2026(mar, 22), in2026(mar, 21))
	want(t, ramp.Verify(early), in2026(mar, 21), ramp.RuleSpacing, 1, 2)
}

// TestVerifyFlareAtStageOne: there is no stage to go back to, but the count begins anew: one
// settled run after the flare is not two.
func TestVerifyFlareAtStageOne(t *testing.T) {
	const mar = time.March
	in := fromNothing().Inputs
	in.Weeks, in.Mornings = 2, nil
	p := planned(in, []row{
		{in2026(mar, 2), 1, 10, 0, 10, 0, fine0, load.Settled},
		{in2026(mar, 4), 1, 10, 13, 20, 20, said{6, 0, 0, 0}, load.Flared},
		{in2026(mar, 8), 1, 10, 13, 30, 30, fine0, load.Settled},
		{in2026(mar, 12), 2, 12, 13, 22, 40, fine0, load.Settled},
	})
	want(t, ramp.Verify(p), in2026(mar, 12), ramp.RuleDwell, 1, 2)
}

// TestVerifyTwoRunsADay: 6 and 6 min of one day are 12 of the week, but a longest run of 6.
// The base of 6 makes a test run; the rest day shows the cap of 6+3 min.
func TestVerifyTwoRunsADay(t *testing.T) {
	day := in2026(time.February, 26)
	p := planned(ramp.Inputs{
		Site: rehab.Shin, Start: in2026(time.March, 2), Weeks: 1,
		Past: []ramp.Past{{Day: day, Run: 6}, {Day: day, Run: 6}},
	}, nil)
	d := at(p, in2026(time.March, 2))
	d.Session, d.Week, d.WeekCap = 9, 12, 22
	if err := ramp.Verify(p); err != nil {
		t.Error(err)
	}
	d.Session = 15
	want(t, ramp.Verify(p), d.Day, ramp.RuleNumbers, 15, 9)
}

// TestVerifyHeldWeeks holds what the growth shows against the weeks that count after the
// ladder: those that ended 7 to 34 days before.
func TestVerifyHeldWeeks(t *testing.T) {
	const jan, mar = time.January, time.March
	// 200 min of 25 January are in the week that ended on the 31st, 34 days before 6 March:
	// 230 with 15 %. No cap of the ladder looks so far back.
	with := func(past, shown load.Day, limit ramp.Minutes) error {
		p := grown()
		p.Inputs.Past = append(p.Inputs.Past, ramp.Past{Day: past, Run: 200})
		at(p, shown).WeekCap = limit
		return ramp.Verify(p)
	}
	for _, shown := range []load.Day{in2026(mar, 5), in2026(mar, 6)} {
		if err := with(in2026(jan, 25), shown, 230); err != nil {
			t.Errorf("34 days ago, shown on %v: %v", shown, err)
		}
	}
	want(t, with(in2026(jan, 24), in2026(mar, 6), 230), in2026(mar, 6), ramp.RuleNumbers, 230, 144.9)

	// The week of 130 min ended on 6 March: 149.5 from the 13th on.
	later := func(day load.Day) error {
		p := grown()
		p.Inputs.Weeks = 2
		for len(p.Days) < 14 {
			p.Days = append(p.Days, ramp.Day{Day: p.Inputs.Start + load.Day(len(p.Days)), Kind: ramp.Rest})
		}
		*at(p, day) = ramp.Day{Day: day, Kind: ramp.Run, Reps: 1, Run: 50, Total: 50, Session: 50.6, WeekCap: 149.5, Verdict: load.Settled}
		// The 12th's week has the 6th in it, the 13th's not.
		at(p, day).Week = 50 + map[load.Day]ramp.Minutes{in2026(mar, 12): 46}[day]
		return ramp.Verify(p)
	}
	want(t, later(in2026(mar, 12)), in2026(mar, 12), ramp.RuleNumbers, 149.5, 144.9)
	if err := later(in2026(mar, 13)); err != nil {
		t.Errorf("7 days ago: %v", err)
	}
}

// TestVerifyFirstWeek: the eighth day is none of the first week. At 7 min per km 20 min are
// 2.86 km, and the third run would make it 4.3.
func TestVerifyFirstWeek(t *testing.T) {
	in := fromNothing().Inputs
	in.Weeks, in.BMI, in.Novice, in.Goal.Pace, in.Mornings = 2, 32, true, 7, nil
	p := planned(in, []row{
		{in2026(time.March, 2), 1, 10, 0, 10, 0, fine0, load.Settled},
		{in2026(time.March, 4), 1, 10, 13, 20, 20, fine0, load.Settled},
		{in2026(time.March, 9), 1, 10, 13, 20, 30, fine0, load.Settled},
	})
	if err := ramp.Verify(p); err != nil {
		t.Error(err)
	}
}
