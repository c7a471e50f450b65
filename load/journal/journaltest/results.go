package journaltest

import (
	"testing"

	"tidemark/load/journal"
	"tidemark/load/rehab"
)

func testResults(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	value := func(v float64) *float64 { return &v }
	early := rehab.Result{Test: "heel-rise", Day: firstUse - 20, Left: value(18), Right: value(24), Note: "on the stairs"}
	must(t, b.AddResult(t.Context(), rehab.Result{Test: "visa-a", Day: firstUse - 1, Total: value(57)}))
	must(t, b.AddResult(t.Context(), early))
	must(t, b.AddResult(t.Context(), rehab.Result{Test: "visa-a", Day: firstUse - 1, Total: value(61)})) // a correction
	got := get[[]journal.Result](t)(b.Results(t.Context()))
	if len(got) != 2 || *got[1].Total != 61 {
		t.Errorf("results %+v, want the correction to stand", got)
	}
	same(t, "first result", got[0], journal.Result{Result: early, By: journal.Local, At: noon})
	for name, bad := range map[string]rehab.Result{
		"no such test": {Test: "push-ups", Day: firstUse, Total: value(1)}, "tomorrow": {Test: "visa-a", Day: firstUse + 1, Total: value(1)},
		"a total of two sides": {Test: "heel-rise", Day: firstUse, Total: value(1)}, "nothing": {Test: "visa-a", Day: firstUse},
		"101 of 100": {Test: "visa-a", Day: firstUse, Total: value(101)}, "half a raise": {Test: "heel-rise", Day: firstUse, Left: value(2.5)},
	} {
		if err := b.AddResult(t.Context(), bad); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}
