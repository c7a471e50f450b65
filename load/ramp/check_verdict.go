package ramp

import (
	"tidemark/load"
	"tidemark/load/rehab"
)

// The edges of the verdicts (model 7): those of the pain-monitoring model (Silbernagel et al.
// 2007, Am J Sports Med 35:897, values from memory); minutes of stiffness project defaults.
const (
	flareAbove     = 5  // during, after or next
	flareRise      = 2  // over the baseline,
	flareFrom      = 3  // if the score is at least so much
	flareStiff     = 20 // min over the baseline
	settledUpTo    = 2  // during and after; also the baseline that advances
	settledStiff   = 5  // min over the baseline
	mostFlares     = 3  // in
	mostFlaresDays = 28 // days end the plan
	twoFlares      = 2  // in
	twoFlaresDays  = 14 // days pause it for
	pausedFor      = 7  // days
)

// judge reads a morning by the table of the model, apart from what the planner goes by. ran:
// the day before had a run.
func judge(m *rehab.Morning, base rehab.Baseline, ran, bone bool) rehab.Judgement {
	switch {
	case flares(m, base, ran, bone):
		return rehab.Judgement{Verdict: load.Flared}
	case m.Next == nil:
		return rehab.Judgement{Verdict: load.Missing}
	case !back(m, base) || ran && (above(m.During, settledUpTo) || above(m.After, settledUpTo)):
		return rehab.Judgement{Verdict: load.Unsettled}
	case m.Late:
		return rehab.Judgement{Verdict: load.Missing}
	}
	whole := m.Stiffness != nil && !m.LateStiff && (!ran || m.During != nil && m.After != nil && !m.LateRun)
	return rehab.Judgement{Verdict: load.Settled, Partial: !whole, Advances: whole && base.Pain <= settledUpTo}
}

func above(s *rehab.Score, limit float64) bool { return s != nil && float64(*s) > limit }

// flares reports whether any of what makes a flare was said.
func flares(m *rehab.Morning, base rehab.Baseline, ran, bone bool) bool {
	for _, s := range []struct {
		score *rehab.Score
		told  bool
	}{{m.Next, true}, {m.During, ran}, {m.After, ran}} {
		if s.told && (above(s.score, flareAbove) || bone && above(s.score, 0)) {
			return true
		}
	}
	if m.Next != nil && *m.Next >= flareFrom && float64(*m.Next) >= base.Pain+flareRise {
		return true
	}
	stiff := m.Stiffness != nil && base.HasStiffness && float64(*m.Stiffness) > base.Stiffness+flareStiff
	return stiff || ran && m.Limp != nil && *m.Limp
}

// back reports whether a morning is as usual.
func back(m *rehab.Morning, base rehab.Baseline) bool {
	if m.Next == nil || above(m.Next, base.Pain) {
		return false
	}
	return m.Stiffness == nil || !base.HasStiffness || float64(*m.Stiffness) <= base.Stiffness+settledStiff
}
