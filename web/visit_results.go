package web

import (
	"fmt"
	"strings"

	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/export"
	"tidemark/web/words"
)

// visitTests are the last results of each test against the ones before, with the band that
// repeats of it differ by.
func visitTests(results []journal.Result, care *assess.Care) (out []export.VisitTest) {
	for i := range rehab.Outcomes {
		o := &rehab.Outcomes[i]
		var last, before *journal.Result
		for k := range results {
			if results[k].Test == o.ID {
				before, last = last, &results[k]
			}
		}
		if last != nil {
			out = append(out, visitTestOf(o, last, before, care))
		}
	}
	return out
}

func visitTestOf(o *rehab.Outcome, last, before *journal.Result, care *assess.Care) export.VisitTest {
	t := export.VisitTest{Name: o.Name, Day: last.Day, Result: resultWords(o, last), Band: bandWords(o)}
	if last.Left != nil && last.Right != nil {
		t.Result += "; " + symmetryWords(care, last.Day, *last.Left, *last.Right)
	}
	if before == nil {
		t.Change = "the first result"
		return t
	}
	t.Before = resultWords(o, before) + " on " + words.Day(before.Day)
	var changes []string
	for _, side := range []struct {
		name      string
		from, now *float64
	}{{"left ", before.Left, last.Left}, {"right ", before.Right, last.Right}, {"", before.Total, last.Total}} {
		if side.from != nil && side.now != nil {
			changes = append(changes, fmt.Sprintf("%s%+.4g: %s", side.name, *side.now-*side.from, readWords(o, *side.from, *side.now)))
		}
	}
	t.Change = strings.Join(changes, "; ")
	return t
}

func resultWords(o *rehab.Outcome, r *journal.Result) string {
	if o.Sides {
		return "left " + amountOr(r.Left) + ", right " + amountOr(r.Right) + " " + o.Unit
	}
	return amountOr(r.Total) + " " + o.Unit
}

func amountOr(v *float64) string {
	if v == nil {
		return "not said"
	}
	return exact(*v)
}

// bandWords says how much results differ without meaning anything.
func bandWords(o *rehab.Outcome) string {
	switch {
	case o.Noise > 0:
		return fmt.Sprintf("repeats differ by up to %g", o.Noise)
	case o.Clear > 0:
		return fmt.Sprintf("people notice %g", o.Clear)
	}
	return "nobody has published how much counts"
}

// readWords says whether a change is larger than repeats differ by, or than people notice.
func readWords(o *rehab.Outcome, from, to float64) string {
	switch change := o.Read(from, to); {
	case change == rehab.ChangeClear && o.Noise > 0:
		return "more than repeats differ by"
	case change == rehab.ChangeNoise && o.Noise > 0:
		return "within what repeats differ by"
	case change == rehab.ChangeClear:
		return "as much as people notice, or more"
	case change == rehab.ChangeNoise:
		return "less than people notice"
	default:
		return changeNames[change]
	}
}
