package ramp_test

import (
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// TestVerifyStands breaks the worked plan with what stands against a day, against growth or
// against stages; days and sums by hand from the table.
func TestVerifyStands(t *testing.T) {
	const mar, apr = time.March, time.April
	tests := []struct {
		name         string
		breakIt      func(in *ramp.Inputs)
		day          load.Day
		rule         string
		value, limit float64
	}{
		{"a run on a morning of 9 and 90 min", func(in *ramp.Inputs) {
			in.Resting = append(in.Resting, morning(in2026(mar, 25), said{-1, -1, 9, 90}))
		}, in2026(mar, 26), ramp.RuleSpacing, 1, 3},
		{"nobody said that it was as usual", func(in *ramp.Inputs) { in.Asked = true }, in2026(apr, 15), ramp.RuleSpacing, 0, 1},
		{"what was said late of the run counted", func(in *ramp.Inputs) {
			in.Mornings[6].LateRun = true // of 19 March
		}, in2026(mar, 21), ramp.RuleDwell, 1, 2},
		{"stiffness that was said late counted", func(in *ramp.Inputs) { in.Mornings[6].LateStiff = true }, in2026(mar, 21), ramp.RuleDwell, 1, 2},
		{"stopped", func(in *ramp.Inputs) { in.Stops = stop(in2026(mar, 26), in2026(mar, 27)) }, in2026(mar, 26), ramp.RuleStopped, 15, 0},
		{"missed", func(in *ramp.Inputs) {
			in.Missed = []load.DaySpan{{First: in2026(mar, 30), Last: in2026(mar, 31)}}
		}, in2026(mar, 31), ramp.RuleStopped, 15, 0},
		{"a stage up while nothing grows", func(in *ramp.Inputs) { in.Frozen = stop(in2026(mar, 20), in2026(mar, 22)) }, in2026(mar, 21), ramp.RuleFrozen, 2, 1},
		// The best week before 28 March is that of the 26th, 39 min.
		{"a larger week while nothing grows", func(in *ramp.Inputs) { in.Frozen = stop(in2026(mar, 28), in2026(mar, 28)) }, in2026(mar, 28), ramp.RuleWeek, 42, 39},
		// The fourth settled morning is that of 12 March, so the gap stays 2, and 14 March, which
		// does not settle, asks for one more.
		{"a rest day less while nothing grows", func(in *ramp.Inputs) {
			in.Frozen = stop(in2026(mar, 12), in2026(mar, 12))
		}, in2026(mar, 17), ramp.RuleSpacing, 2, 3},
		{"a stage before it was allowed", func(in *ramp.Inputs) {
			in.Confirm, in.Lifts = true, []ramp.Lift{{Day: in.Start, Roof: 1}, {Day: in2026(mar, 22), Roof: 2}}
		}, in2026(mar, 21), ramp.RuleDwell, 2, 1},
		// Stage 2 was allowed on the morning of 20 March, and is kept; 3 never was.
		{"a stage after the order has ended", func(in *ramp.Inputs) {
			in.Confirm, in.Lifts = true, []ramp.Lift{{Day: in.Start, Roof: 2}, {Day: in2026(mar, 21), Roof: 0}}
		}, in2026(mar, 26), ramp.RuleDwell, 3, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := worked()
			tt.breakIt(&p.Inputs)
			want(t, ramp.Verify(p), tt.day, tt.rule, tt.value, tt.limit)
		})
	}
}

// flaring is a plan at the inner shin of runs of the first stage, with 30 min on 23 February.
func flaring(runs ...row) *ramp.Plan {
	in := ramp.Inputs{Site: rehab.Shin, Start: in2026(time.March, 2), Weeks: 5, Free: everyDay()}
	in.Past = []ramp.Past{{Day: in2026(time.February, 23), Run: 30}}
	for i := range runs {
		r := &runs[i]
		r.stage, r.run = 1, 10
	}
	return planned(in, runs)
}

// TestVerifyFlares: after a second flare in 14 days no run for seven, after a third in 28 none
// at all (rehab reference 5.5). Flares before the start count, unless they were reviewed.
func TestVerifyFlares(t *testing.T) {
	const mar = time.March
	bad, ok := said{6, 0, 0, 0}, fine0
	run := func(day int, s said) row {
		v := load.Settled
		if s == bad {
			v = load.Flared
		}
		return row{day: in2026(mar, day), said: s, verdict: v}
	}
	// Caps: the longest run is 30 min, and so is the base week, which counts throughout.
	numbers := func(p *ramp.Plan, week map[int]ramp.Minutes) *ramp.Plan {
		for day, sum := range week {
			d := at(p, in2026(mar, day))
			d.Session, d.Week, d.WeekCap = 33, sum, 40
		}
		return p
	}
	// The second morning is that of 7 March, seven days from which end on the 13th.
	paused := numbers(flaring(run(2, bad), run(6, bad), run(13, ok)), map[int]ramp.Minutes{2: 10, 6: 20, 13: 10})
	want(t, ramp.Verify(paused), in2026(mar, 13), ramp.RuleFlares, float64(in2026(mar, 13)), float64(in2026(mar, 14)))
	if err := ramp.Verify(numbers(flaring(run(2, bad), run(6, bad), run(14, ok)), map[int]ramp.Minutes{2: 10, 6: 20, 14: 10})); err != nil {
		t.Errorf("after the pause: %v", err)
	}
	ended := numbers(flaring(run(2, bad), run(6, bad), run(14, bad), run(30, ok)), map[int]ramp.Minutes{2: 10, 6: 20, 14: 10, 30: 10})
	want(t, ramp.Verify(ended), in2026(mar, 30), ramp.RuleFlares, 3, 2)

	before := numbers(flaring(run(2, bad), run(6, ok)), map[int]ramp.Minutes{2: 10, 6: 20})
	before.Inputs.Mornings = append(before.Inputs.Mornings, morning(in2026(time.February, 23), bad))
	want(t, ramp.Verify(before), in2026(mar, 6), ramp.RuleFlares, float64(in2026(mar, 6)), float64(in2026(mar, 10)))
	before.Inputs.Reviewed = true
	if err := ramp.Verify(before); err != nil {
		t.Errorf("reviewed: %v", err)
	}
}

// TestVerifyVerdicts holds the last run of the worked plan against the edges of the table of
// model 7, with what is usual at 1 and 5 min.
func TestVerifyVerdicts(t *testing.T) {
	last := in2026(time.April, 26)
	yes := true
	for _, tt := range []struct {
		said   said
		change func(m *rehab.Morning)
		want   load.Verdict
	}{
		{said{2, 2, 1, 10}, nil, load.Settled},
		{said{-1, -1, 1, -1}, nil, load.Settled},
		{said{3, 2, 1, 5}, nil, load.Unsettled},
		{said{2, 3, 1, 5}, nil, load.Unsettled},
		{said{5, 5, 1, 5}, nil, load.Unsettled},
		{said{2, 2, 2, 5}, nil, load.Unsettled},
		{said{2, 2, 1, 11}, nil, load.Unsettled},
		{said{2, 2, 1, 25}, nil, load.Unsettled},
		{said{2, 2, 1, 26}, nil, load.Flared},
		{said{6, 2, 1, 5}, nil, load.Flared},
		{said{2, 6, 1, 5}, nil, load.Flared},
		{said{2, 2, 3, 5}, nil, load.Flared},
		{said{2, 2, 1, 5}, func(m *rehab.Morning) { m.Limp = &yes }, load.Flared},
		{said{2, 2, -1, 5}, nil, load.Missing},
		{said{6, 2, -1, -1}, nil, load.Flared},
		{said{2, 2, 1, 5}, func(m *rehab.Morning) { m.Late = true }, load.Missing},
		{said{2, 2, 2, 5}, func(m *rehab.Morning) { m.Late = true }, load.Unsettled},
		{said{2, 2, 3, 5}, func(m *rehab.Morning) { m.Late = true }, load.Flared},
	} {
		for _, v := range []load.Verdict{load.Settled, load.Unsettled, load.Flared, load.Missing} {
			p := worked()
			reads(p, last, tt.said, v)
			if m := &p.Inputs.Mornings[len(p.Inputs.Mornings)-1]; tt.change != nil {
				tt.change(m)
			}
			if err := ramp.Verify(p); (err == nil) != (v == tt.want) {
				t.Errorf("%v, %v: %v, want %v", tt.said, v, err, tt.want)
			}
		}
	}
}
