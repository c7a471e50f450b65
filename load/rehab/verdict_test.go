package rehab_test

import (
	"fmt"
	"testing"

	"tidemark/load"
	"tidemark/load/rehab"
)

func score(n int) *rehab.Score {
	if n < 0 {
		return nil
	}
	s := rehab.Score(n)
	return &s
}

func minutes(n int) *int {
	if n < 0 {
		return nil
	}
	return &n
}

// said is a morning of during, after, next and stiffness; below zero: not said.
func said(during, after, next, stiffness int) *rehab.Morning {
	return &rehab.Morning{Complaint: "c", Day: monday, During: score(during), After: score(after), Next: score(next), Stiffness: minutes(stiffness)}
}

var monday = load.Date(2026, 3, 2)

// TestJudge are rows 1 to 10 and 44 of the rehab reference's check values, and their
// edges: project defaults, but for the limit of 5 of the pain-monitoring model (Thomeé
// 1997, Silbernagel 2007, values from memory) and the bone rule (George et al. 2024, as
// cited).
func TestJudge(t *testing.T) {
	usual := rehab.Baseline{Pain: 1, Stiffness: 5, HasStiffness: true}
	limping := said(1, 1, 1, 5)
	limping.Limp = new(bool)
	*limping.Limp = true
	late := func(m *rehab.Morning) *rehab.Morning { m.Late = true; return m }
	tests := []struct {
		name  string
		m     *rehab.Morning
		base  rehab.Baseline
		bone  bool
		rest  bool // the day before had no run
		want  load.Verdict
		rule  rehab.Rule
		limit float64
	}{
		{"1", said(1, 1, 1, 5), usual, false, false, load.Settled, rehab.RuleNone, 0},
		{"2", said(3, 2, 2, 8), usual, false, false, load.Unsettled, rehab.RuleDuring, 2},
		{"3", said(4, 4, 3, 20), usual, false, false, load.Flared, rehab.RuleRise, 3},
		{"4", said(5, 5, 1, 5), usual, false, false, load.Unsettled, rehab.RuleDuring, 2},
		{"5", said(6, 2, 1, 5), usual, false, false, load.Flared, rehab.RuleDuring, 5},
		{"6", said(2, 2, 1, 10), usual, false, false, load.Settled, rehab.RuleNone, 0},
		{"7", said(2, 2, 1, 11), usual, false, false, load.Unsettled, rehab.RuleStiffness, 10},
		{"8", said(1, 1, 1, 26), usual, false, false, load.Flared, rehab.RuleStiffness, 25},
		{"9", said(2, 2, 2, 5), rehab.Baseline{Pain: 2, Stiffness: 5, HasStiffness: true}, false, false, load.Settled, rehab.RuleNone, 0},
		{"10", said(2, 2, -1, -1), usual, false, false, load.Missing, rehab.RuleNoScore, 0},
		{"44", said(1, 0, 0, 0), rehab.Baseline{}, true, false, load.Flared, rehab.RuleBone, 0},
		{"after above 5", said(1, 6, 1, 5), usual, false, false, load.Flared, rehab.RuleAfter, 5},
		{"next above 5", said(1, 1, 6, 5), rehab.Baseline{Pain: 5}, false, false, load.Flared, rehab.RuleNext, 5},
		{"a rise from 0 to 2 is none", said(1, 1, 2, 5), rehab.Baseline{}, false, false, load.Unsettled, rehab.RuleNext, 0},
		{"a rise from 0 to 3", said(1, 1, 3, 5), rehab.Baseline{}, false, false, load.Flared, rehab.RuleRise, 3},
		{"limping", limping, usual, false, false, load.Flared, rehab.RuleLimp, 0},
		{"a flare without a morning", said(7, -1, -1, -1), usual, false, false, load.Flared, rehab.RuleDuring, 5},
		{"a late good score", late(said(1, 1, 1, 5)), usual, false, false, load.Missing, rehab.RuleNoScore, 0},
		{"a late score of one more", late(said(1, 1, 2, 5)), usual, false, false, load.Unsettled, rehab.RuleNext, 1},
		{"a late flare", late(said(1, 1, 4, 5)), usual, false, false, load.Flared, rehab.RuleRise, 3},
		{"after a day of rest the run is not asked", said(8, 8, 1, 5), usual, false, true, load.Settled, rehab.RuleNone, 0},
		{"after a day of rest the morning is", said(-1, -1, 2, 5), usual, false, true, load.Unsettled, rehab.RuleNext, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			j := rehab.Judge(tt.m, tt.base, !tt.rest, tt.bone, rehab.DefaultZones)
			if j.Verdict != tt.want || j.Rule != tt.rule || j.Limit != tt.limit {
				t.Errorf("%+v, want %v by %s over %v", j, tt.want, tt.rule, tt.limit)
			}
		})
	}
}

// TestPartial: what was not said holds, and moves nothing on; nor does a usual score
// above 2.
func TestPartial(t *testing.T) {
	usual := rehab.Baseline{Pain: 1, Stiffness: 5, HasStiffness: true}
	for _, tt := range []struct {
		m                 *rehab.Morning
		base              rehab.Baseline
		rest              bool
		partial, advances bool
	}{
		{said(1, 1, 1, 5), usual, false, false, true},
		{said(-1, 1, 1, 5), usual, false, true, false},
		{said(1, 1, 1, -1), usual, false, true, false},
		{said(-1, -1, 1, 5), usual, true, false, true},
		{said(1, 1, 3, 5), rehab.Baseline{Pain: 3, Stiffness: 5, HasStiffness: true}, false, false, false},
	} {
		j := rehab.Judge(tt.m, tt.base, !tt.rest, false, rehab.DefaultZones)
		if j.Verdict != load.Settled || j.Partial != tt.partial || j.Advances != tt.advances {
			t.Errorf("%+v: %+v, want settled, partial %v, advances %v", *tt.m, j, tt.partial, tt.advances)
		}
	}
}

// TestBaseline walks through the first weeks of a complaint (model 7): the first score
// counts at most 2, three of the first week make a median, rest mornings lower it, and
// nothing but a person raises it.
func TestBaseline(t *testing.T) {
	c := rehab.Complaint{ID: "c", Site: rehab.AchillesMid, Side: rehab.Left, Onset: monday - 30, Steps: []rehab.Step{{Day: monday, Status: rehab.Open}}}
	scores := []int{4, 3, 3, 2, 1, 1, 1, 1, 5, 6, 6}
	var mornings []rehab.Morning
	for i, n := range scores {
		mornings = append(mornings, rehab.Morning{Complaint: "c", Day: monday + load.Day(i), Next: score(n), Stiffness: minutes(10 * n)})
	}
	rested := func(load.Day) bool { return false }
	bases := func(c rehab.Complaint, ran func(load.Day) bool) (out []float64) {
		for _, m := range rehab.RecordOf(c, mornings, ran, monday+20, rehab.DefaultZones).Mornings {
			if m.Next != nil {
				out = append(out, m.Base.Pain)
			}
		}
		return out
	}
	// 2 of 4; 2; the median of 4 3 3; of 4 3 3 2, and so on until the seventh morning, 2;
	// then the medians of the last seven rest mornings: 2 1 1 1 and so on.
	tests := []struct {
		name string
		edit func(*rehab.Complaint)
		ran  func(load.Day) bool
		want []float64
	}{
		{"nobody typed one", func(*rehab.Complaint) {}, rested, []float64{2, 2, 3, 3, 3, 2.5, 2, 2, 1, 1, 1}},
		{
			"typed", func(c *rehab.Complaint) { c.Bases = []rehab.Base{{From: monday, Pain: float(1.5)}} }, rested,
			[]float64{1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1, 1, 1},
		},
		{
			"raised by a person", func(c *rehab.Complaint) { c.Bases = []rehab.Base{{From: monday + 10, Pain: float(4)}} }, func(load.Day) bool { return true },
			[]float64{2, 2, 3, 3, 3, 2.5, 2, 2, 2, 2, 4},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			one := c
			tt.edit(&one)
			if got := bases(one, tt.ran); fmt.Sprint(got) != fmt.Sprint(tt.want) {
				t.Errorf("got  %v\nwant %v", got, tt.want)
			}
		})
	}
}

func float(v float64) *float64 { return &v }

// TestTypedBaseline: each part by itself: three mornings of 4 and 20 min make no usual score
// where 1 was typed, though only the stiffness was typed later, and they do make one where
// only the stiffness was.
func TestTypedBaseline(t *testing.T) {
	var mornings []rehab.Morning
	for day := range load.Day(3) {
		m := said(-1, -1, 4, 20)
		m.Day = monday + 1 + day
		mornings = append(mornings, *m)
	}
	for name, tt := range map[string]struct {
		bases []rehab.Base
		want  rehab.Baseline
	}{
		"a score, then stiffness": {[]rehab.Base{{From: monday, Pain: float(1)}, {From: monday + 1, Stiffness: float(10)}}, rehab.Baseline{Pain: 1, Stiffness: 10, HasStiffness: true}},
		"stiffness, then a score": {[]rehab.Base{{From: monday, Stiffness: float(10)}, {From: monday + 1, Pain: float(1)}}, rehab.Baseline{Pain: 1, Stiffness: 10, HasStiffness: true}},
		"stiffness alone":         {[]rehab.Base{{From: monday, Stiffness: float(10)}}, rehab.Baseline{Pain: 4, Stiffness: 10, HasStiffness: true}},
		"a score alone":           {[]rehab.Base{{From: monday, Pain: float(1)}}, rehab.Baseline{Pain: 1, Stiffness: 20, HasStiffness: true}},
	} {
		c := rehab.Complaint{ID: "c", Site: rehab.Calf, Side: rehab.Left, Onset: monday, Steps: []rehab.Step{{Day: monday, Status: rehab.Open}}, Bases: tt.bases}
		r := rehab.RecordOf(c, mornings, func(load.Day) bool { return true }, monday+3, rehab.DefaultZones)
		if got := r.Mornings[2].Base; got != tt.want {
			t.Errorf("%s: %+v, want %+v", name, got, tt.want)
		}
	}
}
