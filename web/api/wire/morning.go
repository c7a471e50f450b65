package wire

import (
	"slices"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/rehab"
)

// Morning is the morning of one complaint on a waking date, with its verdict.
type Morning struct {
	Date      load.Day     `json:"date"`
	Complaint string       `json:"complaint"`
	Before    *rehab.Score `json:"before"`
	During    *rehab.Score `json:"during"`
	After     *rehab.Score `json:"after"`
	Next      *rehab.Score `json:"next"`
	Stiffness *int         `json:"stiffness"` // min
	Limp      *string      `json:"limp"`
	Verdict   string       `json:"verdict"`
	Basis     string       `json:"basis"`
	Rule      rehab.Rule   `json:"rule"`
	Value     *float64     `json:"value"`
	Limit     *float64     `json:"limit"`
	Late      bool         `json:"late"`
}

// FromMornings translates the mornings of everything that is followed, or of one complaint
// only, in order of date.
func FromMornings(care *assess.Care, only string) []Morning {
	lines := []Morning{}
	for i := range care.Records {
		r := &care.Records[i]
		if only != "" && r.Complaint.ID != only {
			continue
		}
		for _, m := range r.Mornings {
			lines = append(lines, fromMorning(&m))
		}
	}
	slices.SortStableFunc(lines, func(a, b Morning) int { return int(a.Date) - int(b.Date) })
	return lines
}

func fromMorning(m *rehab.Judged) Morning {
	j := &m.Judgement
	line := Morning{
		Date: m.Day, Complaint: m.Complaint, Before: m.Before, During: m.During, After: m.After, Next: m.Next,
		Stiffness: m.Stiffness, Verdict: verdictIDs[j.Verdict], Basis: "full", Rule: j.Rule, Late: m.SaidLate(),
	}
	if j.Partial {
		line.Basis = "partial"
	}
	if m.Limp != nil {
		text := map[bool]string{true: "yes", false: "no"}[*m.Limp]
		line.Limp = &text
	}
	if j.Rule != rehab.RuleNone && j.Rule != rehab.RuleNoScore {
		line.Value, line.Limit = &j.Value, &j.Limit
	}
	return line
}
