package journaltest

import (
	"errors"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

// spike is a finding of the n-th day after the first use.
func spike(n int, level load.Level) load.Finding {
	day := firstUse + load.Day(n)
	return load.Finding{
		ID: "session-spike/" + day.String(), Rule: "session-spike", Level: level, Subject: "a session",
		Day: day, LastDay: day, Value: 14, Limit: 11, Unit: "km", Advice: "run at most 11 km next time",
	}
}

func testFindingFields(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	want := journal.Finding{Finding: spike(1, load.Caution), State: journal.SetAside, By: "Ümit", Why: "a race", Reopened: 9}
	evidence := load.Evidence{
		Rule: "session-spike", Day: firstUse, Subject: "a session", Level: load.Stop, Value: 0.1, Limit: 1e-17,
		Unit: "km", Text: "14.0 km is 27 % over \"11.0 km\"", Source: "project default", Strength: "weak",
	}
	wantEveryField(t, evidence)
	want.Evidence = []load.Evidence{evidence, {Day: firstUse + 1, Level: load.Remark}}
	wantEveryField(t, want.Finding)
	wantEveryField(t, want)
	change := journal.StateChange{
		Finding: want.ID, State: want.State, By: want.By, Why: want.Why, Reopened: want.Reopened, At: noon,
	}
	wantEveryField(t, change)
	update(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.PutFinding(a, spike(1, load.Remark)), // replaced
			tx.PutFinding(a, want.Finding), tx.PutState(a, change))
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "Findings", get[[]journal.Finding](t)(tx.Findings(a)), []journal.Finding{want})
		same(t, "States", get[[]journal.StateChange](t)(tx.States(a)), []journal.StateChange{change})
		return nil
	})
}

func testStates(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	step := func(f load.Finding, state journal.State) journal.StateChange {
		return journal.StateChange{Finding: f.ID, State: state, By: journal.Rules, At: noon}
	}
	late, early, bare := spike(2, load.Stop), spike(1, load.Remark), spike(3, load.Remark)
	steps := []journal.StateChange{
		step(late, journal.Open), step(early, journal.Open), step(late, journal.Seen), step(late, journal.Closed),
	}
	update(t, s, func(tx journal.Tx) error {
		err := errors.Join(tx.PutFinding(a, bare), tx.PutFinding(a, late), tx.PutFinding(a, early))
		for _, c := range steps {
			err = errors.Join(err, tx.PutState(a, c))
		}
		return err
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "by day, each with its last state", get[[]journal.Finding](t)(tx.Findings(a)), []journal.Finding{
			{Finding: early, State: journal.Open, By: journal.Rules},
			{Finding: late, State: journal.Closed, By: journal.Rules},
			{Finding: bare},
		})
		same(t, "States", get[[]journal.StateChange](t)(tx.States(a)), steps)
		return nil
	})
}

func testKeepFindings(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	revision := func() int64 { return get[journal.Runner](t)(b.Runner(t.Context())).Revision }
	keep := func(n int, now ...load.Finding) { must(t, b.KeepFindings(t.Context(), now, firstUse+load.Day(n))) }
	states := func() (out []journal.State) {
		for _, f := range get[[]journal.Finding](t)(b.Findings(t.Context())) {
			out = append(out, f.State)
		}
		return out
	}
	old, first, second := spike(-1, load.Stop), spike(1, load.Remark), spike(2, load.Caution)
	keep(2, first, old)
	same(t, "history is closed", states(), []journal.State{journal.Closed, journal.Open})
	before := revision()
	keep(3, first, old)
	same(t, "revision after the same again", revision(), before)
	keep(3, first, second, old)
	same(t, "revision after a new one", revision(), before+1)
	keep(4, second, old)
	same(t, "gone", states(), []journal.State{journal.Closed, journal.Withdrawn, journal.Open})
	first.Level = load.Caution
	keep(4, first, second, old)
	same(t, "back", states(), []journal.State{journal.Closed, journal.Open, journal.Open})
	same(t, "what it says now", get[[]journal.Finding](t)(b.Findings(t.Context()))[1].Level, load.Caution)
	keep(2+load.QuietDays, first, second, old)
	same(t, "quiet", states(), []journal.State{journal.Closed, journal.Closed, journal.Closed})
	same(t, "steps", len(get[[]journal.StateChange](t)(b.States(t.Context()))), 7)
}

func testAnswer(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	must(t, b.KeepFindings(t.Context(), []load.Finding{spike(0, load.Remark), spike(1, load.Remark)}, firstUse+1))
	id := spike(0, load.Remark).ID
	must(t, b.Answer(t.Context(), id, journal.SetAside, "it was a race"))
	must(t, b.KeepFindings(t.Context(), []load.Finding{spike(0, load.Remark)}, firstUse+1))
	got := get[[]journal.Finding](t)(b.Findings(t.Context()))
	same(t, "state", got[0], journal.Finding{
		Finding: spike(0, load.Remark), State: journal.SetAside, By: journal.Local, Why: "it was a race",
	})
	must(t, b.Answer(t.Context(), id, journal.Open, ""))
	got = get[[]journal.Finding](t)(b.Findings(t.Context()))
	same(t, "opened by hand", []any{got[0].State, got[0].Reopened}, []any{journal.Open, firstUse})
	for _, c := range []struct {
		id    string
		state journal.State
		want  error
	}{
		{id, journal.Withdrawn, nil},
		{id, "fixed", nil},
		{"nothing", journal.Seen, journal.ErrNotFound},
		{spike(1, load.Remark).ID, journal.Seen, journal.ErrConflict}, // withdrawn
	} {
		err := b.Answer(t.Context(), c.id, c.state, "")
		if err == nil || c.want != nil && !errors.Is(err, c.want) {
			t.Errorf("Answer %q with %q: %v", c.id, c.state, err)
		}
	}
}
