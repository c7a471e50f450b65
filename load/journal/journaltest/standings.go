package journaltest

import (
	"errors"
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

func standing(r journal.RunnerID) journal.Standing {
	return journal.Standing{
		Runner: r, Revision: 3, Day: firstUse, Versions: versions, WeekDistance: 31_500_000, WeekBefore: 28_000_000, HasBefore: true,
		Tidemark: 11_000_000, HasTidemark: true, Spike: 0.27, SpikeDay: firstUse - 2, HasSpike: true,
		LastRecord: firstUse - 1, HasRecord: true, RaceDay: firstUse + 20, RaceName: "Pier \"mile\"", HasRace: true,
		Whole: sight("morning"), Bare: sight("held"),
		Cases: []assess.Case{{
			ID: "ach-mid-left", Site: rehab.AchillesMid, Side: rehab.Left, Bone: true, Status: rehab.Open, Opened: firstUse - 30, Week: 5, Flare: firstUse - 4, HasFlare: true, Said: 12, Asked: 14,
			Programme: "Combined", Phase: 2, Paused: true, Done: 0.75, HasDone: true, Ramp: "running", Stage: 4,
			Waits: []assess.Wait{{Kind: assess.WaitStage, Since: firstUse - 3, Number: 5, Text: "stage 5"}},
			Order: rehab.Order{Complaint: "ach-mid-left", Phase: 2, Stage: 6, From: firstUse - 3, Until: firstUse + 9}, Orders: 2,
		}},
	}
}

func sight(decides string) journal.Sight {
	return journal.Sight{
		Headroom: journal.Headroom{State: "open", Measure: load.Time, Amount: 9_900_000, HasAmount: true, Decides: decides},
		Held:     true, HeldUntil: firstUse + 2, Worst: load.Stop, OpenFindings: 2, Since: firstUse - 3, Why: "One run, \"windy\"",
		Warnings: []journal.Warning{{ID: "session-spike:1", Rule: load.RuleSessionSpike, Level: load.Stop, Day: firstUse - 3, Text: "windy"}, {ID: "week-jump:2"}},
	}
}

func testStandings(t *testing.T, s journal.Store) {
	a, b := runner(t, s, "a"), runner(t, s, "b")
	full := standing(a)
	wantEveryField(t, full)
	wantEveryField(t, full.Whole)
	wantEveryField(t, full.Whole.Headroom)
	wantEveryField(t, full.Whole.Warnings[0])
	wantEveryField(t, full.Cases[0])
	wantEveryField(t, full.Cases[0].Waits[0])
	bare := journal.Standing{Runner: b, Whole: journal.Sight{Headroom: journal.Headroom{State: "unknown"}}}
	update(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.PutStanding(journal.Standing{Runner: a}), tx.PutStanding(full), tx.PutStanding(bare))
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "replaced", get[journal.Standing](t)(tx.Standing(a)), full)
		same(t, "bare", get[journal.Standing](t)(tx.Standing(b)), bare)
		same(t, "all", len(get[[]journal.Standing](t)(tx.Standings(journal.Local))), 2)
		same(t, "of nobody", len(get[[]journal.Standing](t)(tx.Standings("nobody"))), 0)
		if _, err := tx.Standing("c"); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("Standing of nobody: %v", err)
		}
		return nil
	})
}

func testStamps(t *testing.T, s journal.Store) {
	a, b := runner(t, s, "a"), runner(t, s, "b")
	update(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.PutStamp(a, journal.SessionPart, journal.Versions{Decoder: 9, Model: 9, Rules: 9}),
			tx.PutStamp(a, journal.SessionPart, versions), tx.PutStamp(a, journal.FindingPart, journal.Versions{Rules: 1}))
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "Stamps", get[map[journal.Part]journal.Versions](t)(tx.Stamps(a)), map[journal.Part]journal.Versions{
			journal.SessionPart: versions, journal.FindingPart: {Rules: 1},
		})
		same(t, "Stamps of another", len(get[map[journal.Part]journal.Versions](t)(tx.Stamps(b))), 0)
		return nil
	})
}

func testStandingStale(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	r := get[journal.Runner](t)(b.Runner(t.Context()))
	if _, err := b.Standing(t.Context(), firstUse); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("before any was made: %v", err)
	}
	want := standing(r.ID)
	want.Revision = r.Revision
	made := want
	made.Runner, made.Versions = "", journal.Versions{} // the book knows them
	must(t, b.PutStanding(t.Context(), made))
	same(t, "fresh", get[journal.Standing](t)(b.Standing(t.Context(), firstUse)), want)
	stale := func(what string, b *journal.Book, today load.Day) {
		t.Helper()
		if _, err := b.Standing(t.Context(), today); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("%s: %v", what, err)
		}
	}
	stale("another day", b, firstUse+1)
	for _, v := range []journal.Versions{{Decoder: 3, Model: 3, Rules: 4}, {Decoder: 2, Model: 4, Rules: 4}, {Decoder: 2, Model: 3, Rules: 5}} {
		newer, err := journal.New(s, clock, v).Open(t.Context(), journal.Local, r.ID)
		must(t, err)
		stale("another version", newer, firstUse)
	}
	must(t, b.Set(t.Context(), "hr-max", 0, "180"))
	stale("another revision", b, firstUse)
	if err := b.PutStanding(t.Context(), made); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("made from what changed meanwhile: %v", err)
	}
}
