package journaltest

import (
	"errors"
	"testing"
	"time"

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
	wantEveryField(t, journal.ComplaintStep{Complaint: "c", Step: rehab.Step{Day: 1, Status: rehab.Open, Onset: 1}, Linked: "d", Why: "w", By: journal.Local, At: noon})
	same(t, "first step", steps[0], journal.ComplaintStep{Complaint: ids[0], Step: rehab.Step{Day: firstUse, Status: rehab.Open}, Why: "since the hill run", By: journal.Local, At: noon})

	bad := hurts()
	bad.Onset = firstUse + 1
	if _, err := b.OpenComplaint(t.Context(), bad, []rehab.Side{"middle"}, ""); err == nil {
		t.Error("a complaint that began after it was opened, in the middle, was taken")
	}
}

// testRelapses: what is said when something is opened again is kept, and a bone is another
// complaint than what is none, also beside it.
func testRelapses(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	left, both := []rehab.Side{rehab.Left}, []rehab.Side{rehab.Left, rehab.Right}
	open := func(day load.Day, edit func(*rehab.Complaint), sides []rehab.Side) []string {
		c := rehab.Complaint{Site: rehab.Shin, Onset: day - 3, Steps: []rehab.Step{{Day: day, Status: rehab.Open}}}
		edit(&c)
		return get[[]string](t)(b.OpenComplaint(t.Context(), c, sides, ""))
	}
	plain, bone := func(*rehab.Complaint) {}, func(c *rehab.Complaint) { c.Bone = true }
	same(t, "first", open(firstUse, plain, left), []string{"shin-left"})
	same(t, "a bone beside it", open(firstUse+1, bone, left), []string{"shin-left-2"})
	for _, id := range []string{"shin-left", "shin-left-2"} {
		must(t, b.StepComplaint(t.Context(), id, rehab.Step{Day: firstUse + 10, Status: rehab.Closed}, ""))
	}
	same(t, "the bone again", open(firstUse+30, bone, left), []string{"shin-left-2"})
	pain := 2.0
	again := func(c *rehab.Complaint) { c.Bases = []rehab.Base{{From: firstUse + 40, Pain: &pain}} }
	same(t, "both sides, one of them again", open(firstUse+40, again, both), []string{"shin-left", "shin-right"})
	all := get[[]rehab.Complaint](t)(b.Complaints(t.Context()))
	first, other := all[0], all[2]
	if len(first.Bases) != 1 || *first.Bases[0].Pain != 2 || first.Began(firstUse+39) != firstUse-3 || first.Began(firstUse+40) != firstUse+37 || !other.Pairs(&first) {
		t.Errorf("the relapse is %+v, the other side %+v; want what was said of it kept", first, other)
	}
	must(t, b.StepComplaint(t.Context(), "shin-left", rehab.Step{Day: firstUse + 50, Status: rehab.Closed}, ""))
	must(t, b.StepComplaint(t.Context(), "shin-right", rehab.Step{Day: firstUse + 50, Status: rehab.Closed}, ""))
	open(firstUse+60, plain, []rehab.Side{rehab.Right, rehab.Left})
	if all = get[[]rehab.Complaint](t)(b.Complaints(t.Context())); all[0].Linked != "shin-right" {
		t.Errorf("linked to %q when it was opened again with the other side, want shin-right", all[0].Linked)
	}
	late := rehab.Complaint{Site: rehab.Shin, Onset: firstUse + 71, Steps: []rehab.Step{{Day: firstUse + 70, Status: rehab.Open}}}
	if _, err := b.OpenComplaint(t.Context(), late, left, ""); err == nil {
		t.Error("a relapse that began after it was opened again was taken")
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
		entry(rehab.Morning{Day: day, Next: score(2), During: score(4)}, 0), // two days later: better and worse
		entry(rehab.Morning{Day: firstUse, Next: score(1)}, 0),
	)), 2)
	entries := get[[]journal.Morning](t)(b.Entries(t.Context()))
	first.By = journal.Local
	same(t, "first entry", entries[0], first)
	if len(entries) != 3 || entries[2].Entered != noon {
		t.Errorf("entries %+v", entries)
	}
	for name, e := range map[string]journal.Morning{
		"a score of 11": entry(rehab.Morning{Day: day, Next: score(11)}, 0), "tomorrow": entry(rehab.Morning{Day: firstUse + 1, Next: score(1)}, 0), "nothing": entry(rehab.Morning{Day: day}, 0),
		"the day before it": entry(rehab.Morning{Day: day, Next: score(3)}, at(day-1)), "its run two days before": entry(rehab.Morning{Day: day, During: score(2)}, at(day-2)),
		"an hour ahead": entry(rehab.Morning{Day: firstUse, Next: score(3)}, noon.Add(time.Hour)),
		"the year 1":    entry(rehab.Morning{Day: load.Date(1, time.January, 1), Next: score(1)}, 0), "a year and a day before it began": entry(rehab.Morning{Day: firstUse - 40 - 366, Next: score(1)}, 0),
	} {
		if _, err := add(e); !isMorningError(err) {
			t.Errorf("%s: %v, want a reason", name, err)
		}
	}
	stranger := entry(rehab.Morning{Day: day, Next: score(1)}, 0)
	stranger.Complaint = "calf-left"
	if _, err := add(stranger); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("a morning of nothing: %v", err)
	}
	care := get[*assess.Care](t)(b.Care(t.Context(), firstUse))
	said := care.Records[0].Mornings
	if len(said) != 2 || *said[0].Next != 4 || *said[0].During != 4 || said[0].SaidLate() || *said[0].Stiffness != 25 || said[1].Late {
		t.Errorf("mornings %+v, want the worst of what was said to stand", said)
	}

	// Of two on the same side the one that is followed is meant.
	bone := withOpening(firstUse - 5)
	bone.Bone = true
	second := get[[]string](t)(b.OpenComplaint(t.Context(), bone, []rehab.Side{rehab.Left}, ""))[0]
	must(t, b.StepComplaint(t.Context(), second, rehab.Step{Day: firstUse - 4, Status: rehab.Closed}, ""))
	named := entry(rehab.Morning{Day: firstUse, Stiffness: &minutes}, 0)
	named.Complaint = "ach-mid:left"
	get[int](t)(add(named))
	if entries = get[[]journal.Morning](t)(b.Entries(t.Context())); entries[len(entries)-1].Complaint != id {
		t.Errorf("ach-mid:left is %s, want %s, which is followed", entries[len(entries)-1].Complaint, id)
	}
}

func isMorningError(err error) bool {
	_, ok := errors.AsType[*journal.MorningError](err)
	return ok
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
