package wire_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/api/wire"
)

// TestRampMornings: what of a morning was said late is in the JSON of a plan, so that whoever
// checks it there judges as it was judged here.
func TestRampMornings(t *testing.T) {
	score, minutes, limped := rehab.Score(2), 10, false
	want := []rehab.Morning{
		{Day: load.Date(2026, time.March, 3), During: &score, After: &score, Next: &score, Stiffness: &minutes, Limp: &limped, LateRun: true, LateStiff: true},
		{Day: load.Date(2026, time.March, 6), Next: &score, Late: true},
	}
	out := wire.RampOf(&ramp.Plan{Inputs: ramp.Inputs{Site: rehab.Calf, Start: load.Date(2026, time.March, 1), Mornings: want}})
	back, err := out.Plan()
	if diff := cmp.Diff(want, back.Inputs.Mornings); diff != "" || err != nil {
		t.Errorf("%v (-said +read):\n%s", err, diff)
	}
}
