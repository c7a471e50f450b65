package rehab

import "tidemark/load"

// Zones are the edges that a morning is judged by.
type Zones struct {
	High      float64 // above it during, after or next is a flare
	Settled   float64 // up to it during and after is settled
	Rise      float64 // over the baseline, a flare from here on,
	RiseFrom  float64 // if the score itself is at least so much
	StiffMore float64 // minutes over the baseline that are still settled
	StiffMost float64 // and above which is a flare
}

// DefaultZones are those of the pain-monitoring model (Thomeé 1997; Silbernagel et al.
// 2007, Am J Sports Med 35:897: up to 2, up to 5, above; values from memory). The rise
// of 2 is above the noise of such scores (Salaffi et al. 2004, Eur J Pain 8:283); the
// minutes of stiffness are project defaults.
var DefaultZones = Zones{High: 5, Settled: 2, Rise: 2, RiseFrom: 3, StiffMore: 5, StiffMost: 20}

// Rule names what decided a verdict.
type Rule string

// The rules, in the order in which they are tested within a verdict.
const (
	RuleNone      Rule = "none"
	RuleBone      Rule = "bone"
	RuleDuring    Rule = "during"
	RuleAfter     Rule = "after"
	RuleNext      Rule = "next"
	RuleRise      Rule = "rise"
	RuleStiffness Rule = "stiffness"
	RuleLimp      Rule = "limp"
	RuleNoScore   Rule = "no-score"
)

// Judgement is what a morning says of the runs of the day before, or of the tendon at
// rest if there was none, and what decided it.
type Judgement struct {
	Verdict  load.Verdict
	Partial  bool // settled on what was said, but not all was: it holds, and moves nothing on
	Advances bool // settled, whole, and at a baseline of at most 2
	Rule     Rule
	Value    float64 // what was said
	Limit    float64 // what it was held against
}

// Baseline is what is usual of a complaint in the morning.
type Baseline struct {
	Pain, Stiffness float64
	HasStiffness    bool
}

// Judge returns the verdict on a morning (model 7). ran says whether the day before had
// a run: without one only the morning itself is judged. bone is the variant in which any
// score at the bone is a flare.
func Judge(m *Morning, base Baseline, ran, bone bool, z Zones) Judgement {
	if j, ok := flared(m, base, ran, bone, z); ok {
		return j
	}
	if m.Next == nil || m.Late {
		missing := Judgement{Verdict: load.Missing, Rule: RuleNoScore}
		if m.Next == nil {
			return missing
		}
		// A late score unlocks nothing, but a bad one still locks.
		if j := settledOrNot(m, base, ran, z); j.Verdict == load.Unsettled {
			return j
		}
		return missing
	}
	return settledOrNot(m, base, ran, z)
}

// flared tests what makes a flare, in order.
func flared(m *Morning, base Baseline, ran, bone bool, z Zones) (j Judgement, ok bool) {
	found := func(rule Rule, value, limit float64) (Judgement, bool) {
		return Judgement{Verdict: load.Flared, Rule: rule, Value: value, Limit: limit}, true
	}
	scores := []struct {
		rule  Rule
		score *Score
		ofRun bool
	}{{RuleDuring, m.During, true}, {RuleAfter, m.After, true}, {RuleNext, m.Next, false}}
	for _, s := range scores {
		if s.score == nil || s.ofRun && !ran {
			continue
		}
		if bone && *s.score > 0 {
			return found(RuleBone, float64(*s.score), 0)
		}
		if float64(*s.score) > z.High {
			return found(s.rule, float64(*s.score), z.High)
		}
	}
	if m.Next != nil && float64(*m.Next)-base.Pain >= z.Rise && float64(*m.Next) >= z.RiseFrom {
		return found(RuleRise, float64(*m.Next), max(base.Pain+z.Rise, z.RiseFrom))
	}
	if m.Stiffness != nil && base.HasStiffness && float64(*m.Stiffness)-base.Stiffness > z.StiffMost {
		return found(RuleStiffness, float64(*m.Stiffness), base.Stiffness+z.StiffMost)
	}
	if ran && m.Limp != nil && *m.Limp {
		return found(RuleLimp, 1, 0)
	}
	return j, false
}

// settledOrNot judges a morning with a score that is no flare.
func settledOrNot(m *Morning, base Baseline, ran bool, z Zones) Judgement {
	not := func(rule Rule, value, limit float64) Judgement {
		return Judgement{Verdict: load.Unsettled, Rule: rule, Value: value, Limit: limit}
	}
	if ran && m.During != nil && float64(*m.During) > z.Settled {
		return not(RuleDuring, float64(*m.During), z.Settled)
	}
	if ran && m.After != nil && float64(*m.After) > z.Settled {
		return not(RuleAfter, float64(*m.After), z.Settled)
	}
	if float64(*m.Next) > base.Pain {
		return not(RuleNext, float64(*m.Next), base.Pain)
	}
	if m.Stiffness != nil && base.HasStiffness && float64(*m.Stiffness) > base.Stiffness+z.StiffMore {
		return not(RuleStiffness, float64(*m.Stiffness), base.Stiffness+z.StiffMore)
	}
	partial := m.Stiffness == nil || m.LateStiff || ran && (m.During == nil || m.After == nil || m.LateRun)
	return Judgement{Verdict: load.Settled, Partial: partial, Advances: !partial && base.Pain <= z.Settled, Rule: RuleNone}
}

// BackToBaseline reports whether the morning is as usual.
func BackToBaseline(m *Morning, base Baseline, z Zones) bool {
	return m.Next != nil && float64(*m.Next) <= base.Pain &&
		(m.Stiffness == nil || !base.HasStiffness || float64(*m.Stiffness) <= base.Stiffness+z.StiffMore)
}
