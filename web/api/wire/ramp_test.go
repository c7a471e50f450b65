package wire_test

import (
	"encoding/json"
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

// TestRampAdditions: what is added and what stands against days is read back as it was written,
// and is no field where nothing is.
func TestRampAdditions(t *testing.T) {
	start := load.Date(2026, 3, 2)
	plan := ramp.Plan{
		Inputs: ramp.Inputs{
			Site: rehab.AchillesMid, Also: []rehab.Site{rehab.Patellar}, Start: start, Weeks: 1, Confirm: true, Roof: 16,
			Lifts: []ramp.Lift{{Day: start, Roof: 14}, {Day: start + 3, Roof: 16}}, Asked: true, Reviewed: true,
			Stops:  []ramp.Stop{{DaySpan: load.DaySpan{First: start, Last: start + 2}, Rule: "hold", Why: "held"}},
			Frozen: []ramp.Stop{{DaySpan: load.DaySpan{First: start + 4, Last: start + 9}, Rule: "red-flag", Why: "a sign"}},
		},
		Days: []ramp.Day{{Day: start, Kind: ramp.Rest}, {Day: start + 1, Kind: ramp.Run, Reps: 1, Run: 42, Total: 42, Adds: ramp.Strides}},
	}
	text, err := json.Marshal(wire.RampOf(&plan))
	if err != nil {
		t.Fatal(err)
	}
	var out wire.Ramp
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	back, err := out.Plan()
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(plan.Days, back.Days); diff != "" {
		t.Errorf("days (-written +read):\n%s", diff)
	}
	if diff := cmp.Diff(plan.Inputs.Lifts, back.Inputs.Lifts) + cmp.Diff(plan.Inputs.Also, back.Inputs.Also) +
		cmp.Diff(plan.Inputs.Stops, back.Inputs.Stops) + cmp.Diff(plan.Inputs.Frozen, back.Inputs.Frozen); diff != "" {
		t.Errorf("inputs (-written +read):\n%s", diff)
	}
	if !back.Inputs.Asked || !back.Inputs.Reviewed {
		t.Errorf("asked %v, reviewed %v; want both", back.Inputs.Asked, back.Inputs.Reviewed)
	}
	days := object(t, wire.RampOf(&plan))["days"].([]any)
	if _, ok := days[0].(map[string]any)["adds"]; ok || days[1].(map[string]any)["adds"] != "strides" {
		t.Errorf("%v", days)
	}
}
