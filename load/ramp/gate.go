package ramp

import (
	"fmt"

	"tidemark/load"
	"tidemark/load/rehab"
)

// Gate is what somebody found on a day of whether running can begin again. What is nil was
// not tried.
type Gate struct {
	Day         load.Day
	DailyPain   *rehab.Score // worst of daily life
	Walk        *int         // min of brisk walking
	WalkSettled bool         // and the next morning was as usual
	Raises      *int         // single-leg heel raises
	Hops        *int         // single-leg hops
	LoadPain    *rehab.Score // worst in raises and hops
}

// Found is a gate and when it was told.
type Found struct {
	Gate
	At load.Instant
}

// The bars of the gate (rehab reference 5.1: project defaults, their shape from Silbernagel
// and Crossley 2015 and the published step tables).
const (
	GatePain   = 2  // of 10, in daily life and in raises and hops
	GateWalk   = 30 // min
	GateRaises = 10
	GateHops   = 10
)

// The bounds of what is typed.
const (
	mostWalk  = 600
	mostTimes = 500
)

// Check reports why it cannot be so.
func (g *Gate) Check(today load.Day) error {
	if g.Day > today {
		return fmt.Errorf("%v has not come yet", g.Day)
	}
	for _, s := range []*rehab.Score{g.DailyPain, g.LoadPain} {
		if s != nil && *s > rehab.MaxScore {
			return fmt.Errorf("score %d: want 0 to %d", *s, rehab.MaxScore)
		}
	}
	for _, n := range []struct {
		name string
		v    *int
		most int
	}{{"min of walking", g.Walk, mostWalk}, {"heel raises", g.Raises, mostTimes}, {"hops", g.Hops, mostTimes}} {
		if n.v != nil && (*n.v < 0 || *n.v > n.most) {
			return fmt.Errorf("%d %s: want 0 to %d", *n.v, n.name, n.most)
		}
	}
	return nil
}

// Bar is one bar of the gate, and how it was found.
type Bar struct {
	Text   string // what is wanted
	Found  string // empty: not tried
	Passed bool
}

// jumpSites are the sites at which raises and hops are asked for.
var jumpSites = map[rehab.Site]bool{rehab.AchillesMid: true, rehab.AchillesIns: true, rehab.Calf: true, rehab.Other: true}

// Bars returns the bars of a site as they were found, those of the calf only where it is
// the calf or its tendon that hurts.
func (g *Gate) Bars(site rehab.Site) []Bar {
	bars := []Bar{
		scoreBar(fmt.Sprintf("at most %d of 10 in daily life", GatePain), g.DailyPain),
		countBar(fmt.Sprintf("%d min of brisk walking", GateWalk), g.Walk, GateWalk),
		{Text: "the morning after it as usual", Passed: g.WalkSettled && g.Walk != nil, Found: map[bool]string{true: "so it was"}[g.WalkSettled]},
	}
	if !jumpSites[site] {
		return bars
	}
	return append(bars,
		countBar(fmt.Sprintf("%d heel raises on that leg", GateRaises), g.Raises, GateRaises),
		countBar(fmt.Sprintf("%d hops on that leg", GateHops), g.Hops, GateHops),
		scoreBar(fmt.Sprintf("at most %d of 10 in them", GatePain), g.LoadPain),
	)
}

func scoreBar(text string, s *rehab.Score) Bar {
	if s == nil {
		return Bar{Text: text}
	}
	return Bar{text, fmt.Sprintf("%d of 10", *s), *s <= GatePain}
}

func countBar(text string, n *int, least int) Bar {
	if n == nil {
		return Bar{Text: text}
	}
	return Bar{text, fmt.Sprint(*n), *n >= least}
}

// Failed returns the first bar of a site that was tried and not passed; ok is false where
// none was.
func (g *Gate) Failed(site rehab.Site) (b Bar, ok bool) {
	for _, b := range g.Bars(site) {
		if b.Found != "" && !b.Passed {
			return b, true
		}
	}
	return Bar{}, false
}

// Open reports whether every bar of a site was passed. Red flags are not asked here: they
// stop by their acts.
func (g *Gate) Open(site rehab.Site) bool {
	for _, b := range g.Bars(site) {
		if !b.Passed {
			return false
		}
	}
	return true
}
