package ramp_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// on is a day of 2026, the year of the worked plan.
func in2026(month time.Month, day int) load.Day { return load.Date(2026, month, day) }

// said are the scores of a run: during, an hour after, next morning, stiffness in minutes;
// below zero: not said.
type said [4]int

var (
	fine     = said{1, 1, 1, 5}
	restless = said{3, 2, 2, 8}
	flare    = said{4, 4, 3, 20}
	nothing  = said{2, 2, -1, -1}
)

// morning is what was said on the waking date after a run.
func morning(run load.Day, s said) rehab.Morning {
	score := func(n int) *rehab.Score {
		if n < 0 {
			return nil
		}
		v := rehab.Score(n)
		return &v
	}
	m := rehab.Morning{Day: run + 1, During: score(s[0]), After: score(s[1]), Next: score(s[2])}
	if s[3] >= 0 {
		m.Stiffness = &s[3]
	}
	return m
}

// row is a run of a plan as a table has it.
type row struct {
	day                    load.Day
	stage                  int // 0: growth
	run, session, sum, cap ramp.Minutes
	said                   said
	verdict                load.Verdict
}

// planned returns a plan of rows; every other day is a rest day without numbers.
func planned(in ramp.Inputs, rows []row) *ramp.Plan {
	p := &ramp.Plan{Inputs: in, Ladder: slices.Clone(ramp.Ladder)}
	for i := range 7 * in.Weeks {
		p.Days = append(p.Days, ramp.Day{Day: in.Start + load.Day(i), Kind: ramp.Rest})
	}
	for _, r := range rows {
		d := at(p, r.day)
		*d = ramp.Day{
			Day: r.day, Kind: ramp.Run, Stage: r.stage, Reps: 1, Run: r.run,
			Total: r.run, Session: r.session, Week: r.sum, WeekCap: r.cap, Verdict: r.verdict,
		}
		if r.stage > 0 {
			onStage(d, r.stage)
		}
		p.Inputs.Mornings = append(p.Inputs.Mornings, morning(r.day, r.said))
	}
	return p
}

// onStage puts a run on a stage of the ladder and leaves its total as the table has it.
func onStage(d *ramp.Day, stage int) {
	s := ramp.Ladder[stage-1]
	d.Stage, d.Reps, d.Run, d.Walk = stage, s.Reps, s.Run, s.Walk
}

func at(p *ramp.Plan, day load.Day) *ramp.Day { return &p.Days[day-p.Inputs.Start] }

// everyDay but those named.
func everyDay(but ...time.Weekday) (free [7]bool) {
	for i := range free {
		free[i] = !slices.Contains(but, time.Weekday(i))
	}
	return free
}

// worked is the eight-week plan of the rehab reference 5.7, row by row; what ran before are
// ten minutes on 23 and 26 February.
func worked() *ramp.Plan {
	const mar, apr = time.March, time.April
	in := ramp.Inputs{
		Site: rehab.AchillesMid, Start: in2026(mar, 2), Weeks: 8, Free: everyDay(time.Friday),
		Past: []ramp.Past{{Day: in2026(time.February, 23), Run: 10}, {Day: in2026(time.February, 26), Run: 10}},
		Base: rehab.Baseline{Pain: 1, Stiffness: 5, HasStiffness: true},
	}
	return planned(in, []row{
		{in2026(mar, 2), 1, 10, 13, 20, 30, fine, load.Settled},
		{in2026(mar, 5), 1, 10, 13, 20, 30, fine, load.Settled},
		{in2026(mar, 8), 1, 10, 13, 30, 30, fine, load.Settled},
		{in2026(mar, 11), 1, 10, 13, 30, 40, fine, load.Settled},
		{in2026(mar, 14), 1, 10, 13, 30, 40, restless, load.Unsettled},
		{in2026(mar, 17), 1, 10, 13, 30, 40, fine, load.Settled},
		{in2026(mar, 19), 1, 10, 13, 30, 40, fine, load.Settled},
		{in2026(mar, 21), 2, 12, 13, 32, 40, fine, load.Settled},
		{in2026(mar, 24), 2, 12, 15, 34, 42, fine, load.Settled},
		{in2026(mar, 26), 3, 15, 15, 39, 44.2, fine, load.Settled},
		{in2026(mar, 28), 3, 15, 18, 42, 50.7, nothing, load.Missing},
		{in2026(mar, 31), 3, 15, 18, 45, 54.6, fine, load.Settled},
		{in2026(apr, 2), 4, 18, 18, 48, 58.5, fine, load.Settled},
		{in2026(apr, 4), 4, 18, 21, 51, 62.4, fine, load.Settled},
		{in2026(apr, 7), 5, 21, 21, 57, 66.3, fine, load.Settled},
		{in2026(apr, 9), 5, 21, 24, 60, 74.1, fine, load.Settled},
		{in2026(apr, 11), 6, 24, 24, 66, 78, flare, load.Flared},
		{in2026(apr, 15), 5, 21, 27, 66, 85.8, fine, load.Settled},
		{in2026(apr, 19), 5, 21, 27, 42, 85.8, fine, load.Settled},
		{in2026(apr, 21), 6, 24, 27, 66, 85.8, fine, load.Settled},
		{in2026(apr, 23), 6, 24, 27, 69, 85.8, fine, load.Settled},
		{in2026(apr, 26), 7, 27, 27, 75, 89.7, fine, load.Settled},
	})
}

func TestVerifyWorkedPlan(t *testing.T) {
	p := worked()
	if err := ramp.Verify(p); err != nil {
		t.Fatal(err)
	}
	// 23 March is a rest day because of the week: 42 min, as the table says of it.
	d := at(p, in2026(time.March, 23))
	d.Session, d.Week, d.WeekCap = 15, 32, 42
	if err := ramp.Verify(p); err != nil {
		t.Errorf("a rest day that shows its caps: %v", err)
	}
	d.WeekCap = 43
	want(t, ramp.Verify(p), d.Day, ramp.RuleNumbers, 43, 42)
}

// want fails unless err is the rule broken on day with these numbers.
func want(t *testing.T, err error, day load.Day, rule string, value, limit float64) {
	t.Helper()
	broken, ok := errors.AsType[*ramp.Broken](err)
	if !ok {
		t.Fatalf("%v, want %s broken on %v", err, rule, day)
	}
	same := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 || math.IsNaN(a) && math.IsNaN(b) }
	if broken.Day != day || broken.Rule != rule || !same(broken.Value, value) || !same(broken.Limit, limit) {
		t.Errorf("%v, want %s broken on %v: %g, limit %g", err, rule, day, value, limit)
	}
}

// move takes a run, and what the morning said of it, to another day.
func move(p *ramp.Plan, from, to load.Day) {
	*at(p, to), *at(p, from) = *at(p, from), ramp.Day{Day: from, Kind: ramp.Rest}
	at(p, to).Day = to
	for i := range p.Inputs.Mornings {
		if m := &p.Inputs.Mornings[i]; m.Day == from+1 {
			m.Day = to + 1
		}
	}
}

// stage puts the run of a day on another stage of the plan's ladder.
func stage(p *ramp.Plan, day load.Day, n int) {
	d := at(p, day)
	onStage(d, n)
	d.Total = ramp.Minutes(d.Reps) * d.Run
}

// says replaces what the morning after a run said, and the verdict.
func reads(p *ramp.Plan, run load.Day, s said, v load.Verdict) {
	i := slices.IndexFunc(p.Inputs.Mornings, func(m rehab.Morning) bool { return m.Day == run+1 })
	p.Inputs.Mornings[i] = morning(run, s)
	at(p, run).Verdict = v
}

// TestVerifyBroken breaks the worked plan one thing at a time; days, rest days, counts and
// caps are worked by hand from the table.
func TestVerifyBroken(t *testing.T) {
	const feb, mar, apr = time.February, time.March, time.April
	tests := []struct {
		name         string
		breakIt      func(p *ramp.Plan)
		day          load.Day
		rule         string
		value, limit float64
	}{
		{"a run a day too early while the gap is 2", func(p *ramp.Plan) { move(p, in2026(mar, 5), in2026(mar, 4)) }, in2026(mar, 4), ramp.RuleSpacing, 1, 2},
		{"a run too soon after one already done", func(p *ramp.Plan) { p.Inputs.Past = append(p.Inputs.Past, ramp.Past{Day: in2026(mar, 1), Run: 5}) }, in2026(mar, 2), ramp.RuleSpacing, 0, 2},
		{"fewer rest days after three settled runs", func(p *ramp.Plan) {
			reads(p, in2026(mar, 5), nothing, load.Missing)
			p.Inputs.Free = everyDay()
			move(p, in2026(mar, 14), in2026(mar, 13))
		}, in2026(mar, 13), ramp.RuleSpacing, 1, 2},
		{"no rest day more after an unsettled run", func(p *ramp.Plan) { move(p, in2026(mar, 17), in2026(mar, 16)) }, in2026(mar, 16), ramp.RuleSpacing, 1, 2},
		{"settled runs before an unsettled one counted in the row", func(p *ramp.Plan) {
			reads(p, in2026(mar, 8), restless, load.Unsettled)
			move(p, in2026(mar, 11), in2026(mar, 12))
			move(p, in2026(mar, 14), in2026(mar, 15))
			reads(p, in2026(mar, 15), fine, load.Settled)
			// By hand: 6 to 12 and 9 to 15 March hold two runs each.
			at(p, in2026(mar, 12)).Week, at(p, in2026(mar, 15)).Week = 20, 20
		}, in2026(mar, 17), ramp.RuleSpacing, 1, 2},
		{"no rest day more after an unsettled run after a flare", func(p *ramp.Plan) { reads(p, in2026(apr, 15), restless, load.Unsettled) }, in2026(apr, 19), ramp.RuleSpacing, 3, 4},
		{"two days running", func(p *ramp.Plan) { move(p, in2026(mar, 19), in2026(mar, 18)) }, in2026(mar, 18), ramp.RuleSpacing, 0, 1},
		{"two rest days after a flare", func(p *ramp.Plan) { move(p, in2026(apr, 15), in2026(apr, 14)) }, in2026(apr, 14), ramp.RuleSpacing, 2, 3},
		{"two rest days before the second run after a flare", func(p *ramp.Plan) { move(p, in2026(apr, 19), in2026(apr, 18)) }, in2026(apr, 18), ramp.RuleSpacing, 2, 3},
		{"first steps not back after a flare", func(p *ramp.Plan) {
			p.Inputs.Resting = append(p.Inputs.Resting, morning(in2026(apr, 14), said{-1, -1, 2, 5}))
		}, in2026(apr, 15), ramp.RuleSpacing, 2, 1},
		{"stiffness not back after a flare", func(p *ramp.Plan) {
			p.Inputs.Resting = append(p.Inputs.Resting, morning(in2026(apr, 13), said{-1, -1, 1, 11}))
		}, in2026(apr, 15), ramp.RuleSpacing, 11, 10},

		{"a stage skipped", func(p *ramp.Plan) { stage(p, in2026(mar, 21), 3) }, in2026(mar, 21), ramp.RuleDwell, 3, 2},
		{"a stage up after one settled run", func(p *ramp.Plan) { stage(p, in2026(mar, 19), 2) }, in2026(mar, 19), ramp.RuleDwell, 1, 2},
		{"a stage up while the gap is 2", func(p *ramp.Plan) { stage(p, in2026(mar, 8), 2) }, in2026(mar, 8), ramp.RuleDwell, 2, 1},
		{"a stage up on what settled before the gap fell", func(p *ramp.Plan) { stage(p, in2026(mar, 14), 2) }, in2026(mar, 14), ramp.RuleDwell, 0, 2},
		{"a missing morning counted", func(p *ramp.Plan) { stage(p, in2026(mar, 31), 4) }, in2026(mar, 31), ramp.RuleDwell, 1, 2},
		{"a partial morning counted", func(p *ramp.Plan) { reads(p, in2026(mar, 19), said{1, 1, 1, -1}, load.Settled) }, in2026(mar, 21), ramp.RuleDwell, 1, 2},
		{"a settled run before an unsettled one counted", func(p *ramp.Plan) {
			reads(p, in2026(mar, 17), restless, load.Unsettled)
			reads(p, in2026(mar, 14), fine, load.Settled)
			move(p, in2026(mar, 19), in2026(mar, 20))
			p.Inputs.Free = everyDay()
			move(p, in2026(mar, 21), in2026(mar, 22))
		}, in2026(mar, 22), ramp.RuleDwell, 1, 2},
		{"one of two mornings does not advance", func(p *ramp.Plan) {
			p.Inputs.Mornings = slices.Insert(p.Inputs.Mornings, 0, morning(in2026(mar, 19), said{1, 1, 1, -1}))
		}, in2026(mar, 21), ramp.RuleDwell, 1, 2},
		{"a usual score above 2, nothing said", func(p *ramp.Plan) {
			p.Inputs.Base.Pain, p.Inputs.Mornings = 3, nil
			at(p, in2026(mar, 14)).Verdict = load.Settled
		}, in2026(mar, 21), ramp.RuleDwell, 0, 2},
		{"a usual score above 2", func(p *ramp.Plan) { p.Inputs.Base.Pain = 3 }, in2026(mar, 21), ramp.RuleDwell, 0, 2},
		{"no stage back after a flare", func(p *ramp.Plan) { stage(p, in2026(apr, 15), 6) }, in2026(apr, 15), ramp.RuleDwell, 6, 5},
		{"no stage back after two unsettled runs with a missing one between", func(p *ramp.Plan) {
			reads(p, in2026(mar, 26), restless, load.Unsettled)
			move(p, in2026(mar, 28), in2026(mar, 29))
			reads(p, in2026(mar, 31), restless, load.Unsettled)
			move(p, in2026(apr, 2), in2026(apr, 5))
			move(p, in2026(apr, 4), in2026(apr, 3))
			stage(p, in2026(apr, 3), 3)
			p.Inputs.Free = everyDay()
			// Sums by hand: 29 March 12+15+15 (24, 26, 29), 31 March 15+15+15.
			at(p, in2026(mar, 29)).Week = 42
		}, in2026(apr, 3), ramp.RuleDwell, 3, 2},
		{"a first stage above the base", func(p *ramp.Plan) { stage(p, in2026(mar, 2), 2) }, in2026(mar, 2), ramp.RuleDwell, 2, 1},

		{"a run over the session cap", func(p *ramp.Plan) {
			p.Ladder[1].Reps = 7
			d := at(p, in2026(mar, 21))
			d.Reps, d.Total = 7, 14
		}, in2026(mar, 21), ramp.RuleSession, 14, 13},
		{"a week over its cap", func(p *ramp.Plan) { move(p, in2026(mar, 24), in2026(mar, 23)) }, in2026(mar, 23), ramp.RuleWeek, 44, 42},
		{"a week without what was done before", func(p *ramp.Plan) { p.Inputs.Past[1].Run = 10.5 }, in2026(mar, 2), ramp.RuleNumbers, 20, 20.5},

		{"a run on a Friday", func(p *ramp.Plan) { move(p, in2026(mar, 26), in2026(mar, 27)) }, in2026(mar, 27), ramp.RuleFree, 5, 0},
		{"bmi 32, a novice, 4 km in the first week", func(p *ramp.Plan) { p.Inputs.BMI, p.Inputs.Novice, p.Inputs.Goal.Pace = 32, true, 7.5 }, in2026(mar, 8), ramp.RuleFirstWeek, 4, 3},
		{"bmi 32, a novice, without a pace", func(p *ramp.Plan) { p.Inputs.BMI, p.Inputs.Novice = 32, true }, in2026(mar, 8), ramp.RuleFirstWeek, 4.32, 3},

		{"a verdict better than its morning", func(p *ramp.Plan) { at(p, in2026(mar, 14)).Verdict = load.Settled }, in2026(mar, 14), ramp.RuleVerdict, 1, 2},
		{"a verdict without a morning", func(p *ramp.Plan) { p.Inputs.Mornings = nil }, in2026(mar, 14), ramp.RuleVerdict, 2, 1},
		{"the worse of two mornings", func(p *ramp.Plan) { p.Inputs.Mornings = append(p.Inputs.Mornings, morning(in2026(mar, 5), flare)) }, in2026(mar, 5), ramp.RuleVerdict, 1, 3},
		{"the worse of two mornings, said first", func(p *ramp.Plan) {
			p.Inputs.Mornings = slices.Insert(p.Inputs.Mornings, 0, morning(in2026(mar, 5), flare))
		}, in2026(mar, 5), ramp.RuleVerdict, 1, 3},
		{"a total that is not its repetitions", func(p *ramp.Plan) { at(p, in2026(mar, 5)).Total = 9 }, in2026(mar, 5), ramp.RuleNumbers, 9, 10},
		{"a total that is no number", func(p *ramp.Plan) { at(p, in2026(mar, 5)).Total = ramp.Minutes(math.NaN()) }, in2026(mar, 5), ramp.RuleNumbers, math.NaN(), 10},
		{"running on a rest day", func(p *ramp.Plan) { at(p, in2026(mar, 3)).Total = 5 }, in2026(mar, 3), ramp.RuleNumbers, 5, 0},
		{"a stage that the ladder does not have", func(p *ramp.Plan) { at(p, in2026(mar, 5)).Stage = 14 }, in2026(mar, 5), ramp.RuleNumbers, 14, 13},
		{"growth before the ladder ends", func(p *ramp.Plan) { at(p, in2026(mar, 5)).Stage = 0 }, in2026(mar, 5), ramp.RuleDwell, 14, 2},

		{"a missing day", func(p *ramp.Plan) { p.Days = slices.Delete(p.Days, 3, 4) }, in2026(mar, 6), ramp.RuleDays, float64(in2026(mar, 6)), float64(in2026(mar, 5))},
		{"a missing last day", func(p *ramp.Plan) { p.Days = p.Days[:55] }, in2026(mar, 2), ramp.RuleDays, 55, 56},
		{"a week too many", func(p *ramp.Plan) { p.Inputs.Weeks = 7 }, in2026(mar, 2), ramp.RuleDays, 56, 49},
		{"a ladder that does not count", func(p *ramp.Plan) { p.Ladder[4].Stage = 6 }, in2026(mar, 2), ramp.RuleLadder, 6, 5},
		{"a stage without running", func(p *ramp.Plan) { p.Ladder[4].Run = 0 }, in2026(mar, 2), ramp.RuleLadder, 0, 0},
		{"no ladder", func(p *ramp.Plan) { p.Ladder = nil }, in2026(mar, 2), ramp.RuleLadder, 0, 1},
		{"a complaint of bone", func(p *ramp.Plan) { p.Inputs.Bone = true }, in2026(mar, 2), ramp.RuleInputs, 56, 0},
		{"no such site", func(p *ramp.Plan) { p.Inputs.Site = "elbow" }, in2026(mar, 2), ramp.RuleInputs, 0, 0},
		{"minutes below zero already done", func(p *ramp.Plan) { p.Inputs.Past[0].Run = -1 }, in2026(feb, 23), ramp.RuleInputs, -1, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := worked()
			tt.breakIt(p)
			want(t, ramp.Verify(p), tt.day, tt.rule, tt.value, tt.limit)
		})
	}
}

// TestVerifyEachNumber changes every number of every run of the worked plan by itself: no
// change may pass.
func TestVerifyEachNumber(t *testing.T) {
	changes := map[string]func(d *ramp.Day){
		"day":        func(d *ramp.Day) { d.Day++ },
		"kind":       func(d *ramp.Day) { d.Kind = "walk" },
		"stage up":   func(d *ramp.Day) { d.Stage++ },
		"stage down": func(d *ramp.Day) { d.Stage-- },
		"reps":       func(d *ramp.Day) { d.Reps++ },
		"run":        func(d *ramp.Day) { d.Run += 0.001 },
		"walk":       func(d *ramp.Day) { d.Walk = 2 },
		"total":      func(d *ramp.Day) { d.Total -= 0.001 },
		"session":    func(d *ramp.Day) { d.Session -= 0.001 },
		"week":       func(d *ramp.Day) { d.Week = 0 },
		"week cap":   func(d *ramp.Day) { d.WeekCap += 0.001 },
		"verdict":    func(d *ramp.Day) { d.Verdict = load.NoVerdict },
	}
	for i := range worked().Days {
		if worked().Days[i].Kind != ramp.Run {
			continue
		}
		for name, change := range changes {
			p := worked()
			change(&p.Days[i])
			if _, ok := errors.AsType[*ramp.Broken](ramp.Verify(p)); !ok {
				t.Errorf("%s of %v changed, and nothing broken", name, worked().Days[i].Day)
			}
		}
	}
}

func ExampleVerify() {
	p := worked()
	move(p, in2026(time.March, 24), in2026(time.March, 23))
	fmt.Println(ramp.Verify(p))
	// Output: check plan: 2026-03-23 breaks C5: running minutes of seven days under the week cap: 44, limit 42 (min)
}
