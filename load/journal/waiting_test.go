package journal

import (
	"slices"
	"testing"

	"tidemark/load/assess"
	"tidemark/load/rehab"
)

// TestWaiting: what waits is for whoever is in charge, which is a clinician as long as
// something was not handed over; the way back waits once for all that is followed.
func TestWaiting(t *testing.T) {
	both := []assess.Wait{
		{Kind: assess.WaitStage, Since: 5, Number: 2}, {Kind: assess.WaitPhase, Since: 5, Number: 3}, {Kind: assess.WaitFlare, Since: 6}, {Kind: assess.WaitReview, Since: 4},
	}
	row := func(first, second rehab.Status, visit *Note) *Row {
		return &Row{Today: 10, Visit: visit, Standing: Standing{Cases: []assess.Case{{ID: "a", Status: first, Waits: both}, {ID: "b", Status: second, Waits: both}}}}
	}
	for _, c := range []struct {
		name string
		row  *Row
		want []string
	}{
		{"both followed", row(rehab.Open, rehab.Open, nil), []string{"stage a", "phase a", "flare a", "review a", "phase b", "flare b", "review b"}},
		{"one handed over", row(rehab.HandedOver, rehab.Open, nil), []string{"stage a", "phase a", "flare a", "review a", "phase b", "flare b", "review b"}},
		{"both handed over", row(rehab.HandedOver, rehab.HandedOver, nil), []string{"flare a", "review a", "flare b", "review b"}},
		{"after a visit", row(rehab.Open, rehab.HandedOver, &Note{Day: 4, Text: "calm"}), []string{"stage a", "phase a", "flare a", "phase b", "flare b"}},
		{"after a visit before it", row(rehab.HandedOver, rehab.HandedOver, &Note{Day: 3, Text: "calm"}), []string{"flare a", "review a", "flare b", "review b"}},
		{"a day of the next alone", row(rehab.HandedOver, rehab.HandedOver, &Note{Day: 4, Next: 10, HasNext: true}), []string{"flare a", "review a", "flare b", "review b", "visit"}},
		{"nothing followed", &Row{Today: 10, Standing: Standing{HasRecord: true}}, nil},
	} {
		var got []string
		for _, w := range c.row.Waiting() {
			text := string(w.Kind)
			if w.Case != nil {
				text += " " + w.Case.ID
			}
			got = append(got, text)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
