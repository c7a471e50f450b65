package rehab

import (
	"fmt"

	"tidemark/load"
)

// Week is the middle of the mornings of seven days.
type Week struct {
	Mornings        int // with a score on time
	Pain, Stiffness float64
	HasStiffness    bool
}

// Week returns the medians of the seven mornings up to a day.
func (r *Record) Week(end load.Day) (w Week) {
	var pains, stiff []float64
	for _, m := range r.Mornings {
		next, stiffness := m.usual()
		if m.Day <= end-7 || m.Day > end || next == nil {
			continue
		}
		pains = append(pains, float64(*next))
		if stiffness != nil {
			stiff = append(stiff, float64(*stiffness))
		}
	}
	w.Mornings = len(pains)
	if len(pains) > 0 {
		w.Pain = medianOf(pains)
	}
	if len(stiff) > 0 {
		w.Stiffness, w.HasStiffness = medianOf(stiff), true
	}
	return w
}

// Words says in a sentence what decided the verdict: rule, value and limit.
func (m *Judged) Words() string {
	j := m.Judgement
	switch j.Rule {
	case RuleNoScore:
		return "no score of the morning was given on its day"
	case RuleBone:
		return fmt.Sprintf("%g at a bone, where any score stops", j.Value)
	case RuleLimp:
		return "you limped"
	case RuleDuring, RuleAfter:
		when := map[Rule]string{RuleDuring: "during the run", RuleAfter: "an hour after the run"}[j.Rule]
		return fmt.Sprintf("%g %s, above %g", j.Value, when, j.Limit)
	case RuleRise:
		return fmt.Sprintf("%g in the morning, and %g is usual: %g or more is a flare", j.Value, m.Base.Pain, j.Limit)
	case RuleStiffness:
		return fmt.Sprintf("%g min stiff, above %g (usual %g)", j.Value, j.Limit, m.Base.Stiffness)
	case RuleNext:
		return fmt.Sprintf("%g in the morning, above %g", j.Value, j.Limit)
	}
	if j.Partial {
		return "settled by what was said; not all was"
	}
	return "as usual or less"
}
