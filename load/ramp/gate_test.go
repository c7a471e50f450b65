package ramp_test

import (
	"testing"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// TestHow: what the sites ask of the ground stands together (rehab reference 5.2 C8).
func TestHow(t *testing.T) {
	if got := ramp.How([]rehab.Site{rehab.AchillesIns, rehab.Patellar})[0]; got != "on flat ground first; uphill comes last; downhill and stairs come last" {
		t.Errorf("%q", got)
	}
	if got := ramp.How([]rehab.Site{rehab.AchillesMid})[0]; got != "on flat ground first" {
		t.Errorf("%q", got)
	}
}

// TestGate holds the gate against the bars of the rehab reference 5.1 (project defaults):
// pain of daily life up to 2, 30 min of walking with the morning after as usual, 10 raises
// and 10 hops at up to 2, those only for the calf and its tendon.
func TestGate(t *testing.T) {
	score := func(n uint8) *rehab.Score { return &n }
	count := func(n int) *int { return &n }
	good := func() ramp.Gate {
		return ramp.Gate{DailyPain: score(2), Walk: count(30), WalkSettled: true, Raises: count(10), Hops: count(10), LoadPain: score(2)}
	}
	if g := good(); !g.Open(rehab.AchillesMid) {
		t.Errorf("closed at its bars: %+v", g.Bars(rehab.AchillesMid))
	}
	for name, edit := range map[string]func(*ramp.Gate){
		"pain of 3 in daily life": func(g *ramp.Gate) { g.DailyPain = score(3) },
		"29 min of walking":       func(g *ramp.Gate) { g.Walk = count(29) },
		"a bad morning after it":  func(g *ramp.Gate) { g.WalkSettled = false },
		"9 raises":                func(g *ramp.Gate) { g.Raises = count(9) },
		"no hops tried":           func(g *ramp.Gate) { g.Hops = nil },
		"pain of 3 in them":       func(g *ramp.Gate) { g.LoadPain = score(3) },
		"nothing tried":           func(g *ramp.Gate) { *g = ramp.Gate{} },
	} {
		g := good()
		edit(&g)
		if g.Open(rehab.Calf) {
			t.Errorf("%s: open", name)
		}
	}
	g := good()
	g.Raises, g.Hops, g.LoadPain = nil, nil, nil
	if !g.Open(rehab.Patellar) || g.Open(rehab.AchillesIns) {
		t.Error("raises and hops are asked of the wrong sites")
	}
	day := load.Day(20000)
	for name, edit := range map[string]func(*ramp.Gate){
		"tomorrow":      func(g *ramp.Gate) { g.Day = day + 1 },
		"a score of 11": func(g *ramp.Gate) { g.LoadPain = score(11) },
		"-1 hops":       func(g *ramp.Gate) { g.Hops = count(-1) },
		"700 min":       func(g *ramp.Gate) { g.Walk = count(700) },
	} {
		g := good()
		g.Day = day
		if err := g.Check(day); err != nil {
			t.Fatal(err)
		}
		if edit(&g); g.Check(day) == nil {
			t.Errorf("%s: taken", name)
		}
	}
}
