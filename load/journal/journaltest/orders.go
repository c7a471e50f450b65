package journaltest

import (
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// testOrders: an order holds for what is set and for days to come, and the second who gives
// one is told.
func testOrders(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	id := get[[]string](t)(b.OpenComplaint(t.Context(), withOpening(firstUse-10), []rehab.Side{rehab.Left}, ""))[0]
	give := func(phase, stage int, until load.Day) error {
		return b.GiveOrder(t.Context(), rehab.Order{Complaint: id, Phase: phase, Stage: stage, Until: until})
	}
	most := ramp.MostRoof(len((&ramp.Terms{}).Ladder()))
	must(t, b.Prescribe(t.Context(), rehab.Prescription{Complaint: id, Programme: "combined", Started: firstUse, State: rehab.Running, From: firstUse}, ""))
	must(t, give(4, most, firstUse)) // today is the last day
	for want, err := range map[string]error{
		"has passed":           give(1, 1, firstUse-1),
		"within 366 days":      give(1, 1, firstUse+367),
		"phase 5":              give(5, 1, firstUse+9), // of four, rehab reference 3.1
		"the ladder has":       give(1, most+1, firstUse+9),
		"stage -1: want 0 to ": give(1, -1, firstUse+9),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
	own := ramp.Terms{Start: firstUse, Weeks: 4, Free: [7]bool{true}, Own: []ramp.Stage{{Stage: 1, Reps: 10, Run: 1, Walk: 1}, {Stage: 2, Reps: 6, Run: 2, Walk: 1}}, State: ramp.Running}
	must(t, b.SetRamp(t.Context(), own, ""))
	if err := give(1, ramp.MostRoof(2)+1, firstUse+9); err == nil {
		t.Error("an order beyond the ladder that is set was taken")
	}
	must(t, give(1, ramp.MostRoof(2), firstUse+9))
	must(t, give(0, 0, 0)) // taken back, from no day on
	wantConflict(t, "by who saw two of three", b.GiveOrderAfter(t.Context(), 2, rehab.Order{Complaint: id, Phase: 1, Until: firstUse + 1}))
	must(t, b.GiveOrderAfter(t.Context(), 3, rehab.Order{Complaint: id, Phase: 1, Until: firstUse + 1}))
	must(t, b.StepComplaint(t.Context(), id, rehab.Step{Day: firstUse, Status: rehab.Closed}, ""))
	wantConflict(t, "of what was ended", give(1, 1, firstUse+1))
}
