package journaltest

import (
	"errors"
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

// hurts is a complaint of the Achilles tendon, opened on the first use.
func hurts() rehab.Complaint {
	pain := 1.5
	return rehab.Complaint{
		Site: rehab.AchillesMid, Onset: firstUse - 40, Steps: []rehab.Step{{Day: firstUse, Status: rehab.Open}},
		Bases: []rehab.Base{{From: firstUse, Pain: &pain}},
	}
}

func testComplaints(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	both := []rehab.Side{rehab.Left, rehab.Right}
	ids := get[[]string](t)(b.OpenComplaint(t.Context(), hurts(), both, "since the hill run"))
	same(t, "IDs", ids, []string{"ach-mid-left", "ach-mid-right"})
	if _, err := b.OpenComplaint(t.Context(), hurts(), both[:1], ""); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("opened twice: %v, want ErrConflict", err)
	}
	must(t, b.StepComplaint(t.Context(), ids[0], rehab.Step{Day: firstUse + 9, Status: rehab.HandedOver}, "going well"))
	must(t, b.StepComplaint(t.Context(), ids[0], rehab.Step{Day: firstUse + 20, Status: rehab.Closed}, ""))
	for name, step := range map[string]rehab.Step{
		"closed twice": {Day: firstUse + 21, Status: rehab.Closed}, "before it was closed": {Day: firstUse + 3, Status: rehab.HandedOver},
	} {
		if err := b.StepComplaint(t.Context(), ids[0], step, ""); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	if err := b.StepComplaint(t.Context(), "calf-left", rehab.Step{Day: firstUse, Status: rehab.Closed}, ""); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("a complaint that is none: %v", err)
	}

	stiff := 12.0
	must(t, b.SetBase(t.Context(), ids[1], rehab.Base{From: firstUse + 5, Stiffness: &stiff}))

	// Within six months it is the same again, later another.
	soon, late := hurts(), hurts()
	soon.Steps[0].Day, late.Steps[0].Day = firstUse+60, firstUse+400
	same(t, "IDs of a relapse", get[[]string](t)(b.OpenComplaint(t.Context(), soon, both[:1], "")), []string{"ach-mid-left"})
	must(t, b.StepComplaint(t.Context(), ids[0], rehab.Step{Day: firstUse + 70, Status: rehab.Closed}, ""))
	same(t, "IDs of a year later", get[[]string](t)(b.OpenComplaint(t.Context(), late, both[:1], "")), []string{"ach-mid-left-2"})

	all := get[[]rehab.Complaint](t)(b.Complaints(t.Context()))
	if len(all) != 3 || len(all[0].Steps) != 5 || len(all[1].Bases) != 2 || *all[1].Bases[1].Stiffness != 12 || all[0].Onset != firstUse-40 {
		t.Errorf("complaints %+v", all)
	}
	steps := get[[]journal.ComplaintStep](t)(b.ComplaintSteps(t.Context()))
	wantEveryField(t, journal.ComplaintStep{Complaint: "c", Step: rehab.Step{Day: 1, Status: rehab.Open}, Why: "w", By: journal.Local, At: noon})
	same(t, "first step", steps[0], journal.ComplaintStep{Complaint: ids[0], Step: rehab.Step{Day: firstUse, Status: rehab.Open}, Why: "since the hill run", By: journal.Local, At: noon})

	bad := hurts()
	bad.Onset = firstUse + 1
	if _, err := b.OpenComplaint(t.Context(), bad, []rehab.Side{"middle"}, ""); err == nil {
		t.Error("a complaint that began after it was opened, in the middle, was taken")
	}
}

func testMornings(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada") // it is noon of the first use
	id := get[[]string](t)(b.OpenComplaint(t.Context(), withOpening(firstUse-10), []rehab.Side{rehab.Left}, ""))[0]
	score := func(n uint8) *uint8 { return &n }
	minutes, limp := 25, true
	day := firstUse - 2
	at := func(day load.Day) load.Instant { return load.InstantOf(day.Noon()) }
	entry := func(m rehab.Morning, entered load.Instant) journal.Morning {
		m.Complaint = id
		return journal.Morning{Morning: m, Entered: entered}
	}
	first := entry(rehab.Morning{Day: day, Before: score(0), During: score(3), After: score(2), Next: score(4), Stiffness: &minutes, Limp: &limp}, at(day))
	add := func(entries ...journal.Morning) (int, error) { return b.AddMornings(t.Context(), entries) }
	same(t, "added", get[int](t)(add(first)), 1)
	same(t, "added again", get[int](t)(add(first)), 0)
	same(t, "added later", get[int](t)(add(
		entry(rehab.Morning{Day: day, Next: score(2)}, 0), // two days later: a correction, and late
		entry(rehab.Morning{Day: firstUse, Next: score(1)}, 0),
	)), 2)
	entries := get[[]journal.Morning](t)(b.Entries(t.Context()))
	first.By = journal.Local
	same(t, "first entry", entries[0], first)
	if len(entries) != 3 || entries[2].Entered != noon {
		t.Errorf("entries %+v", entries)
	}
	for name, m := range map[string]rehab.Morning{"a score of 11": {Day: day, Next: score(11)}, "tomorrow": {Day: firstUse + 1, Next: score(1)}, "nothing": {Day: day}} {
		if _, err := add(entry(m, 0)); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	stranger := entry(rehab.Morning{Day: day, Next: score(1)}, 0)
	stranger.Complaint = "calf-left"
	if _, err := add(stranger); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("a morning of nothing: %v", err)
	}
	care := get[*assess.Care](t)(b.Care(t.Context(), firstUse))
	said := care.Records[0].Mornings
	if len(said) != 2 || *said[0].Next != 2 || !said[0].Late || *said[0].Stiffness != 25 || said[1].Late {
		t.Errorf("mornings %+v, want the correction to stand, late", said)
	}
}

// withOpening is a complaint opened on a day.
func withOpening(day load.Day) rehab.Complaint {
	c := hurts()
	c.Steps[0].Day = day
	return c
}

func testRedFlags(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	must(t, b.RaiseFlag(t.Context(), "rupture", firstUse, "on the track"))
	must(t, b.RaiseFlag(t.Context(), "rupture", firstUse+1, "again")) // it stands already
	if care := get[*assess.Care](t)(b.Care(t.Context(), firstUse)); len(care.Flags) != 1 || !care.Flags[0].Stands(firstUse) {
		t.Errorf("flags %+v, want one that stands", care.Flags)
	}
	if err := b.LiftFlag(t.Context(), "rupture", firstUse+3, ""); err == nil {
		t.Error("lifted without a reason")
	}
	must(t, b.LiftFlag(t.Context(), "rupture", firstUse+3, "seen by a doctor"))
	if err := b.LiftFlag(t.Context(), "rupture", firstUse+3, "again"); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("lifted twice: %v, want ErrConflict", err)
	}
	if err := b.RaiseFlag(t.Context(), "mood", firstUse, ""); err == nil {
		t.Error("a flag that is none was raised")
	}
	care := get[*assess.Care](t)(b.Care(t.Context(), firstUse+4))
	if care.Flags[0].Stands(firstUse+3) || !care.Flags[0].Stands(firstUse+2) {
		t.Errorf("flags %+v, want it to stand until it was lifted", care.Flags)
	}
	rows := get[[]journal.RedFlag](t)(b.RedFlags(t.Context()))
	same(t, "second row", rows[1], journal.RedFlag{Flag: "rupture", Day: firstUse + 3, Lifted: true, Why: "seen by a doctor", By: journal.Local, At: noon})
	same(t, "rows", len(rows), 2)
	wantEveryField(t, rows[1])
}
