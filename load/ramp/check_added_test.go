package ramp_test

import (
	"testing"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// TestVerifyAdditions breaks the plan of TestAdditions one thing at a time: run days from 23
// May, strides from 6 June, hills from 20 June and speed from 4 July.
func TestVerifyAdditions(t *testing.T) {
	adds := func(p *ramp.Plan, day load.Day, a ramp.Addition) { at(p, day).Adds = a }
	says := func(p *ramp.Plan, run load.Day, s scores, v load.Verdict) {
		p.Inputs.Mornings = append(p.Inputs.Mornings, ofRun(run, s))
		at(p, run).Verdict = v
	}
	tests := []struct {
		name         string
		breakIt      func(p *ramp.Plan)
		day          load.Day
		rule         string
		value, limit float64
	}{
		{"strides after 12 days", func(p *ramp.Plan) { adds(p, date(6, 4), ramp.Strides) }, date(6, 4), ramp.RuleAddition, 12, 14},
		{"hills before strides", func(p *ramp.Plan) { adds(p, date(6, 6), ramp.Hills) }, date(6, 6), ramp.RuleAddition, 3, 2},
		{"hills before speed where uphill comes last", func(p *ramp.Plan) { p.Inputs.Site = rehab.AchillesIns }, date(6, 20), ramp.RuleAddition, 4, 3},
		{"hills before speed where downhill comes last for another site", func(p *ramp.Plan) { p.Inputs.Also = []rehab.Site{rehab.Patellar} }, date(6, 20), ramp.RuleAddition, 4, 3},
		{"a longer run with run days", func(p *ramp.Plan) { d := at(p, date(5, 27)); d.Run, d.Total = 43, 43 }, date(5, 27), ramp.RuleAddition, 43, 42},
		{"one settled run of the goal", func(p *ramp.Plan) { says(p, date(5, 13), missing, load.Missing) }, date(5, 23), ramp.RuleAddition, 1, 2},
		{"a goal that was not reached", func(p *ramp.Plan) { p.Inputs.Goal.Km = 7.1 }, date(5, 23), ramp.RuleAddition, 0, 2},
		{"no goal", func(p *ramp.Plan) { p.Inputs.Goal = ramp.Goal{} }, date(5, 23), ramp.RuleAddition, 0, 2},
		{"an unsettled run just before strides", func(p *ramp.Plan) { says(p, date(6, 4), unsettled, load.Unsettled) }, date(6, 6), ramp.RuleAddition, 0, 2},
		{"a flare at rest just before strides", func(p *ramp.Plan) {
			p.Inputs.Resting = append(p.Inputs.Resting, ofRun(date(6, 5), scores{-1, -1, 6, 5}))
		}, date(6, 6), ramp.RuleSpacing, 1, 3},
		{"days running before run days", func(p *ramp.Plan) { adds(p, date(5, 23), "") }, date(5, 24), ramp.RuleSpacing, 0, 1},
		{"days running after an unsettled run", func(p *ramp.Plan) { says(p, date(5, 23), unsettled, load.Unsettled) }, date(5, 24), ramp.RuleSpacing, 0, 1},
		{"nobody said so", func(p *ramp.Plan) { p.Inputs.Confirm, p.Inputs.Roof = true, 14 }, date(5, 23), ramp.RuleAddition, 15, 14},
		{"somebody said so a day later", func(p *ramp.Plan) {
			p.Inputs.Confirm, p.Inputs.Roof, p.Inputs.Lifts = true, 18, []ramp.Lift{{Day: date(3, 2), Roof: 14}, {Day: date(5, 24), Roof: 18}}
		}, date(5, 23), ramp.RuleAddition, 15, 14},
		{"strides on a rest day", func(p *ramp.Plan) { adds(p, date(6, 9), ramp.Strides) }, date(6, 9), ramp.RuleAddition, 2, 0},
		{"strides on the ladder", func(p *ramp.Plan) { adds(p, date(5, 11), ramp.Strides) }, date(5, 11), ramp.RuleAddition, 2, 0},
		{"an addition that is none", func(p *ramp.Plan) { adds(p, date(6, 6), "races") }, date(6, 6), ramp.RuleAddition, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := make_(t, reaching())
			tt.breakIt(&p)
			want(t, ramp.Verify(&p), tt.day, tt.rule, tt.value, tt.limit)
		})
	}
}

// TestVerifyAdditionBack: after the flare of 18 June strides are out; a plan that goes on with
// them on the 22nd is refused. So is one that comes back to them before 14 days have gone by.
func TestVerifyAdditionBack(t *testing.T) {
	p := make_(t, answered(reaching(), ofRun(date(6, 18), flared)))
	on22 := at(&p, date(6, 22))
	on22.Adds = ramp.Strides
	want(t, ramp.Verify(&p), date(6, 22), ramp.RuleAddition, 2, 1)
	on22.Adds = ramp.RunDays
	at(&p, date(7, 5)).Adds = ramp.Strides // a Sunday, 13 days after the 22nd
	want(t, ramp.Verify(&p), date(7, 5), ramp.RuleAddition, 13, 14)
}
