package journaltest

import (
	"errors"
	"strings"
	"testing"
	"time"

	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

func testRamps(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	terms := ramp.Terms{
		Start: firstUse, Weeks: 8, Free: [7]bool{false, true, false, true, false, true, false}, Goal: ramp.Goal{Km: 10, Pace: 6.5, By: firstUse + 90, IsBy: true},
		BMI: 31.5, Novice: true, Own: []ramp.Stage{{Stage: 1, Reps: 10, Run: 1, Walk: 1}, {Stage: 2, Reps: 5, Run: 2.5, Walk: 1}}, First: 2, Confirm: true, Roof: 2, State: ramp.Held, Until: firstUse + 3,
	}
	if err := b.SetRamp(t.Context(), terms, "x"); err == nil {
		t.Error("a ramp for nothing was taken")
	}
	get[[]string](t)(b.OpenComplaint(t.Context(), withOpening(firstUse-10), []rehab.Side{rehab.Left}, ""))
	must(t, b.SetRamp(t.Context(), terms, "the heel is quiet"))
	bad := terms
	bad.Free = [7]bool{}
	if err := b.SetRamp(t.Context(), bad, ""); err == nil {
		t.Error("a ramp without a free day was taken")
	}
	plain := terms
	plain.Own, plain.Table, plain.First, plain.State, plain.Until = nil, "two-by-two", 0, ramp.Running, 0
	must(t, b.SetRamp(t.Context(), plain, ""))
	same(t, "Ramps", get[[]journal.RampTerms](t)(b.Ramps(t.Context())), []journal.RampTerms{
		{Terms: terms, Why: "the heel is quiet", By: journal.Local, At: noon}, {Terms: plain, By: journal.Local, At: noon},
	})
	wantConflict(t, "set by who saw one of two", b.SetRampAfter(t.Context(), 1, plain, ""))
	full := terms
	full.Table = "x"
	wantEveryField(t, journal.RampTerms{Terms: full, Why: "x", By: journal.Local, At: noon})

	must(t, b.RaiseFlag(t.Context(), "rupture", firstUse, ""))
	if err := b.SetRamp(t.Context(), plain, ""); !errors.Is(err, journal.ErrStopped) || !strings.Contains(err.Error(), "see a doctor the same day") {
		t.Errorf("a ramp was set while a sign stops it: %v", err)
	}
	held := plain
	held.State = ramp.Held
	must(t, b.SetRamp(t.Context(), held, ""))
	must(t, b.LiftFlag(t.Context(), "rupture", firstUse, "seen"))
	must(t, b.SetRamp(t.Context(), plain, ""))

	pain, walk, raises, hops, loaded := uint8(1), 30, 12, 10, uint8(2)
	gate := ramp.Gate{Day: firstUse, DailyPain: &pain, Walk: &walk, WalkSettled: true, Raises: &raises, Hops: &hops, LoadPain: &loaded}
	must(t, b.AddGate(t.Context(), gate))
	must(t, b.AddGate(t.Context(), ramp.Gate{Day: firstUse}))
	same(t, "Gates", get[[]journal.Gate](t)(b.Gates(t.Context())), []journal.Gate{{Gate: gate, By: journal.Local, At: noon}, {Gate: ramp.Gate{Day: firstUse}, By: journal.Local, At: noon}})
	wantEveryField(t, journal.Gate{Gate: gate, By: journal.Local, At: noon})

	first := get[string](t)(b.OpenFeed(t.Context()))
	second := get[string](t)(b.OpenFeed(t.Context()))
	for secret, want := range map[string]bool{first: false, second: true, "": false, "guess": false} {
		of, err := j.Feed(t.Context(), secret)
		if want && (err != nil || get[journal.Runner](t)(of.Runner(t.Context())).Name != "Ada") || !want && !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("%.4q: %v, want a book %v", secret, err, want)
		}
	}
	must(t, b.CloseFeed(t.Context()))
	if _, err := j.Feed(t.Context(), second); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("revoked: %v", err)
	}
}

// testLedRamp: where a clinician has to lead, the way back that a coach may brake counts as
// set by somebody in charge only when somebody in charge sets it after the sign.
func testLedRamp(t *testing.T, s journal.Store) {
	j, w := watched(s)
	b := book(t, j, "Ada")
	get[[]string](t)(b.OpenComplaint(t.Context(), withOpening(firstUse-10), []rehab.Side{rehab.Left}, ""))
	terms := ramp.Terms{Start: firstUse, Weeks: 8, Free: [7]bool{1: true, 3: true, 5: true}, State: ramp.Running}
	must(t, b.SetRamp(t.Context(), terms, ""))
	w.wait(time.Minute)
	must(t, b.RaiseFlag(t.Context(), "led", firstUse, ""))
	coach := join(t, j, "Cara", "").ID
	must(t, b.Grant(t.Context(), coach, journal.RoleCoach, false, true))
	r := get[journal.Runner](t)(b.Runner(t.Context()))
	braked := get[*journal.Book](t)(j.Open(t.Context(), coach, r.ID))
	for _, set := range []struct {
		by    *journal.Book
		stops bool
	}{{braked, true}, {b, false}} {
		w.wait(time.Minute)
		must(t, set.by.SetRamp(t.Context(), terms, "the same"))
		way := get[*assess.Ramp](t)(b.Ramp(t.Context(), firstUse))
		if _, stopped := way.Stopped(firstUse); stopped != set.stops {
			t.Errorf("stopped %v, want %v: %+v", stopped, set.stops, way.Plan.Inputs.Stops)
		}
	}
}
