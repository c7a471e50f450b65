package journaltest

import (
	"errors"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

// at is the journal on a clock that shows noon and so many hours.
func at(s journal.Store, hours int) *journal.Journal {
	return journal.New(s, func() load.Instant { return noon.Add(time.Duration(hours) * time.Hour) }, versions)
}

// reopen opens the book of a runner at another hour.
func reopen(t *testing.T, s journal.Store, b *journal.Book, hours int) *journal.Book {
	t.Helper()
	r := get[journal.Runner](t)(b.Runner(t.Context()))
	return get[*journal.Book](t)(at(s, hours).Open(t.Context(), journal.Local, r.ID))
}

func whole(t *testing.T, b *journal.Book) journal.Kept {
	t.Helper()
	return get[journal.Whole](t)(b.Whole(t.Context(), firstUse+5)).Kept
}

// packedOf hands over the originals of a book.
func packedOf(t *testing.T, b *journal.Book) func(journal.Sum) ([]byte, error) {
	return func(sum journal.Sum) ([]byte, error) {
		data, err := b.Original(t.Context(), sum)
		return journal.Pack(data), err
	}
}

// followed is a book with runs, a complaint and what was said of both, by the hour h.
func followed(t *testing.T, s journal.Store, name string, hour int) *journal.Book {
	t.Helper()
	b := book(t, at(s, hour), name)
	get[[]journal.Outcome](t)(b.Add(t.Context(), []journal.Recording{recording(1), recording(2)}))
	id := get[[]string](t)(b.OpenComplaint(t.Context(), withOpening(firstUse-10), []rehab.Side{rehab.Left}, "since the hills"))[0]
	score := uint8(4)
	get[int](t)(b.AddMornings(t.Context(), []journal.Morning{{Morning: rehab.Morning{Complaint: id, Day: firstUse, Next: &score}}}))
	own := get[string](t)(b.BuildRoutine(t.Context(), "At home", rehab.AchillesMid, 4, []rehab.Dose{{Exercise: "ankle_pumps", Sets: 1, Reps: 60, PerDay: 2, DaysPerWeek: 7}}))
	must(t, b.Prescribe(t.Context(), rehab.Prescription{Complaint: id, Programme: own, Started: firstUse - 7, State: rehab.Running, From: firstUse - 7}, ""))
	must(t, b.Set(t.Context(), "heart-max", firstUse-30, "181"))
	return b
}

func testTakeOver(t *testing.T, s journal.Store) {
	ada := followed(t, s, "Ada", 0)
	kept := whole(t, ada)
	r, taken, err := at(s, 5).TakeOver(t.Context(), "Bea", &kept, packedOf(t, ada))
	must(t, err)
	if r.Name != "Bea" || r.Home != "Europe/Vienna" || r.FirstUse != firstUse || len(taken.Originals) != 2 || taken.There != 0 || taken.Left != 0 {
		t.Errorf("%+v, %+v", r, taken)
	}
	bea := get[*journal.Book](t)(at(s, 5).Open(t.Context(), journal.Local, r.ID))
	if stale := get[bool](t)(bea.Stale(t.Context())); !stale {
		t.Error("sessions that are not derived yet are not stale")
	}
	if _, err := bea.Whole(t.Context(), firstUse); !errors.Is(err, journal.ErrStale) {
		t.Errorf("everything of a stale book: %v", err)
	}
	must(t, bea.Rederive(t.Context(), decodeInvented))
	same(t, "sessions", get[[]load.Session](t)(bea.Sessions(t.Context())), get[[]load.Session](t)(ada.Sessions(t.Context())))
	got := whole(t, bea)
	for _, by := range []journal.Person{got.Steps[0].By, got.Mornings[0].By, got.Settings[0].By, got.Plan.Routines[0].By, got.Plan.Prescriptions[0].By} {
		if by != "elsewhere:local" {
			t.Errorf("by %q, want elsewhere:local", by)
		}
	}
	if kept.Steps[0].By != journal.Local {
		t.Error("what was handed over was changed")
	}
	for i := range 2 {
		again := get[journal.Taken](t)(bea.TakeOver(t.Context(), &kept, packedOf(t, ada)))
		if again.Changed() || again.There == 0 {
			t.Errorf("again %d: %+v", i, again)
		}
	}
	back := whole(t, bea)
	if home := get[journal.Taken](t)(ada.TakeOver(t.Context(), &back, packedOf(t, bea))); home.Changed() {
		t.Errorf("home again: %+v", home)
	}
	if stale := get[bool](t)(ada.Stale(t.Context())); stale {
		t.Error("nothing was new, and sessions are stale")
	}
	if _, _, err := at(s, 5).TakeOver(t.Context(), "Bea", &kept, packedOf(t, ada)); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("a name that is taken: %v", err)
	}
	problems := get[[]journal.Problem](t)(at(s, 6).Check(t.Context()))
	if len(problems) > 0 {
		t.Errorf("check: %v", problems)
	}
}

// decodeInvented is the decoder of the invented recordings 1 and 2.
func decodeInvented(o journal.Original) ([]load.Session, []load.Day, error) {
	for n := range 3 {
		if r := recording(n); r.Sum == o.Sum {
			return r.Sessions, nil, nil
		}
	}
	return nil, nil, errors.New("it is none of the invented")
}

// testTakeOverBetween has things said in both books, in turn: the later one stands, whoever's
// it is.
func testTakeOverBetween(t *testing.T, s journal.Store) {
	ada, bea := book(t, at(s, 1), "Ada"), book(t, at(s, 1), "Bea")
	must(t, reopen(t, s, ada, 1).Set(t.Context(), "heart-max", firstUse, "181"))
	must(t, reopen(t, s, ada, 3).Set(t.Context(), "heart-max", firstUse, "183"))
	must(t, reopen(t, s, bea, 4).Set(t.Context(), "heart-max", firstUse, "184"))
	must(t, reopen(t, s, bea, 5).Set(t.Context(), "heart-max", firstUse, "185"))
	kept := whole(t, ada)
	if taken := get[journal.Taken](t)(bea.TakeOver(t.Context(), &kept, packedOf(t, ada))); taken.Rows != 2 {
		t.Errorf("%+v", taken)
	}
	var values []string
	for _, row := range get[[]journal.Setting](t)(bea.Settings(t.Context())) {
		values = append(values, row.Value+" "+string(row.By))
	}
	want := "181 elsewhere:local, 183 elsewhere:local, 184 local, 185 local"
	if got := strings.Join(values, ", "); got != want {
		t.Errorf("said %s, want %s", got, want)
	}
	if r := get[journal.Runner](t)(bea.Runner(t.Context())); r.Revision != 4 {
		t.Errorf("revision %d, want 4: made, twice said, taken over", r.Revision)
	}
}

// testTakeOverNames takes over a complaint and a routine of names that mean others here.
func testTakeOverNames(t *testing.T, s journal.Store) {
	ada, bea := followed(t, s, "Ada", 1), book(t, at(s, 2), "Bea")
	other := withOpening(firstUse - 3)
	other.Onset -= 30
	get[[]string](t)(bea.OpenComplaint(t.Context(), other, []rehab.Side{rehab.Left}, "another winter"))
	get[string](t)(bea.BuildRoutine(t.Context(), "At work", rehab.AchillesMid, 2, []rehab.Dose{{Exercise: "ankle_pumps", Sets: 2, Reps: 30, PerDay: 1, DaysPerWeek: 7}}))
	kept := whole(t, ada)
	for range 2 {
		get[journal.Taken](t)(bea.TakeOver(t.Context(), &kept, packedOf(t, ada)))
	}
	must(t, bea.Rederive(t.Context(), decodeInvented))
	got := whole(t, bea)
	if len(got.Complaints) != 2 || got.Complaints[1].ID != "ach-mid-left-2" || got.Mornings[0].Complaint != "ach-mid-left-2" {
		t.Errorf("complaints %+v, mornings %+v", got.Complaints, got.Mornings)
	}
	if p := got.Plan; len(p.Routines) != 2 || p.Routines[1].ID != "own-2" || p.Routines[1].Name != "At home" || p.Prescriptions[0].Programme != "own-2" || p.Prescriptions[0].Complaint != "ach-mid-left-2" {
		t.Errorf("plan %+v", p)
	}
}

// testTakeOverLeaves takes over a logbook of which one original did not come.
func testTakeOverLeaves(t *testing.T, s journal.Store) {
	ada, bea := followed(t, s, "Ada", 1), book(t, at(s, 2), "Bea")
	gone := recording(2)
	must(t, ada.Edit(t.Context(), whole(t, ada).Zones[0].Session, 0, map[string]string{"note": "a"}, decodeInvented))
	must(t, ada.Edit(t.Context(), whole(t, ada).Zones[1].Session, 0, map[string]string{"note": "b"}, decodeInvented))
	kept := whole(t, ada)
	some := func(sum journal.Sum) ([]byte, error) {
		if sum == gone.Sum {
			return nil, journal.ErrNotFound
		}
		return packedOf(t, ada)(sum)
	}
	if taken := get[journal.Taken](t)(bea.TakeOver(t.Context(), &kept, some)); len(taken.Originals) != 1 || taken.Left != 3 {
		t.Errorf("%+v, want one original, and left out another with its zone and its edit", taken)
	}
	must(t, bea.Rederive(t.Context(), decodeInvented))
	if n := len(whole(t, bea).Edits); n != 1 {
		t.Errorf("%d edits", n)
	}
	if problems := get[[]journal.Problem](t)(at(s, 3).Check(t.Context())); len(problems) > 0 {
		t.Errorf("check: %v", problems)
	}
	if taken := get[journal.Taken](t)(bea.TakeOver(t.Context(), &kept, packedOf(t, ada))); len(taken.Originals) != 1 || taken.Rows != 2 {
		t.Errorf("the rest: %+v", taken)
	}
	failed := errors.New("the disk is gone")
	cleo := book(t, at(s, 2), "Cleo")
	if _, err := cleo.TakeOver(t.Context(), &kept, func(journal.Sum) ([]byte, error) { return nil, failed }); !errors.Is(err, failed) {
		t.Errorf("an original that cannot be read: %v", err)
	}
	if k := whole(t, cleo); len(k.Settings)+len(k.Complaints)+len(k.Originals) != 0 {
		t.Errorf("half of it is kept: %+v", k)
	}
}

func testTakeOverRefused(t *testing.T, s journal.Store) {
	ada, bea := followed(t, s, "Ada", 0), book(t, newJournal(s), "Bea")
	must(t, ada.KeepFindings(t.Context(), []load.Finding{{ID: "session-spike x", Rule: load.RuleSessionSpike, Day: firstUse + 1, LastDay: firstUse + 1, Evidence: []load.Evidence{{Rule: load.RuleSessionSpike, Day: firstUse + 1}}}}, firstUse+2))
	ten, far := uint8(11), 1e9
	for name, spoil := range map[string]func(*journal.Kept){
		"a zone that there is not": func(k *journal.Kept) { k.Home = "Europe/Nowhere" },
		"a name with an escape":    func(k *journal.Kept) { k.Name = "A\x1b[2J" },
		"an original twice":        func(k *journal.Kept) { k.Originals = append(k.Originals, k.Originals[0]) },
		"a zone of no original":    func(k *journal.Kept) { k.Zones[0].Sum[0]++ },
		"a zone beyond the world":  func(k *journal.Kept) { k.Zones[0].Zone.Offset = 100 * time.Hour },
		"a rest of no diary":       func(k *journal.Kept) { k.Rests = []journal.Rest{{Day: firstUse}} },
		"a setting out of range":   func(k *journal.Kept) { k.Settings[0].Value = "1e9" },
		"settings that cannot be both": func(k *journal.Kept) {
			k.Settings = append(k.Settings, setting("heart-rest", "120"), setting("heart-max", "100"))
		},
		"an edit of no session": func(k *journal.Kept) {
			k.Edits = []journal.Edit{{Session: "x", Field: "note", Value: "x", By: "x", At: noon}}
		},
		"a year that nobody sees":     func(k *journal.Kept) { k.Settings[0].From = load.Date(9999, 1, 1) },
		"said in a year to come":      func(k *journal.Kept) { k.Settings[0].At = noon.Add(72 * time.Hour) },
		"said by nobody":              func(k *journal.Kept) { k.Settings[0].By = "" },
		"a text as long as a book":    func(k *journal.Kept) { k.Steps[0].Why = strings.Repeat("x", 1<<17) },
		"a complaint of another name": func(k *journal.Kept) { k.Complaints[0].ID = "../../x" },
		"a complaint without a step":  func(k *journal.Kept) { k.Steps = nil },
		"a step of no complaint": func(k *journal.Kept) {
			k.Steps = append(k.Steps, journal.ComplaintStep{Complaint: "x", Step: k.Steps[0].Step, By: "x", At: noon})
		},
		"a state that there is not": func(k *journal.Kept) { k.Steps[0].Status = "better" },
		"a base beyond the scale": func(k *journal.Kept) {
			k.Bases = []journal.ComplaintBase{{Complaint: k.Complaints[0].ID, Base: rehab.Base{From: firstUse, Pain: &far}, By: "x", At: noon}}
		},
		"a morning beyond the scale":    func(k *journal.Kept) { k.Mornings[0].Next = &ten },
		"a morning of no complaint":     func(k *journal.Kept) { k.Mornings[0].Complaint = "shin-left" },
		"a routine named as published":  func(k *journal.Kept) { k.Plan.Routines[0].ID = "combined" },
		"a programme that there is not": func(k *journal.Kept) { k.Plan.Prescriptions[0].Programme = "own-7" },
		"away the wrong way round": func(k *journal.Kept) {
			k.Plan.Aways = []journal.Away{{DaySpan: load.DaySpan{First: firstUse, Last: firstUse - 1}, By: "x", At: noon}}
		},
		"a ramp without a free day": func(k *journal.Kept) { k.Ramps = []journal.RampTerms{{By: "x", At: noon}} },
		"a gate to come":            func(k *journal.Kept) { k.Gates = []journal.Gate{{By: "x", At: noon}}; k.Gates[0].Day = firstUse + 9 },
		"a flag that there is not":  func(k *journal.Kept) { k.RedFlags = []journal.RedFlag{{Flag: "x", Day: firstUse, By: "x", At: noon}} },
		"a test that there is not":  func(k *journal.Kept) { k.Results = []journal.Result{{By: "x", At: noon}} },
		"a finding without a state": func(k *journal.Kept) { k.States = nil },
		"a state without a finding": func(k *journal.Kept) { k.Findings = nil },
		"a finding of no rule":      func(k *journal.Kept) { k.Findings[0].Rule = "x" },
		"evidence of no rule":       func(k *journal.Kept) { k.Findings[0].Evidence[0].Rule = "x" },
	} {
		kept := whole(t, ada)
		spoil(&kept)
		if _, err := bea.TakeOver(t.Context(), &kept, packedOf(t, ada)); !errors.Is(err, journal.ErrUnfit) {
			t.Errorf("%s: %v, want ErrUnfit", name, err)
		}
		if _, _, err := newJournal(s).TakeOver(t.Context(), "Cleo", &kept, packedOf(t, ada)); !errors.Is(err, journal.ErrUnfit) {
			t.Errorf("%s: for a new runner %v, want ErrUnfit", name, err)
		}
	}
	if n := len(get[[]journal.Runner](t)(newJournal(s).Runners(t.Context(), journal.Local))); n != 2 || get[journal.Runner](t)(bea.Runner(t.Context())).Revision != 1 {
		t.Errorf("%d runners, or something was kept", n)
	}
	kept := whole(t, ada)
	if _, err := bea.TakeOver(t.Context(), &kept, packedOf(t, ada)); err != nil {
		t.Errorf("as it was: %v", err)
	}
}

func setting(key, value string) journal.Setting {
	return journal.Setting{Key: key, From: firstUse, Value: value, By: "x", At: noon}
}

// testTakeOverHome has an empty book live where the logbook did, and one in use stay.
func testTakeOverHome(t *testing.T, s journal.Store) {
	ada := followed(t, s, "Ada", 0)
	kept := whole(t, ada)
	kept.Home, kept.FirstUse = "Asia/Tokyo", firstUse-100
	bea, cleo := book(t, newJournal(s), "Bea"), book(t, newJournal(s), "Cleo")
	must(t, cleo.Set(t.Context(), "novice", firstUse, "1"))
	for b, want := range map[*journal.Book]string{bea: "Asia/Tokyo 2025-11-21", cleo: "Europe/Vienna 2026-03-01"} {
		get[journal.Taken](t)(b.TakeOver(t.Context(), &kept, packedOf(t, ada)))
		if r := get[journal.Runner](t)(b.Runner(t.Context())); r.Home+" "+r.FirstUse.String() != want {
			t.Errorf("%s: %s %v, want %s", r.Name, r.Home, r.FirstUse, want)
		}
	}
	dora := book(t, newJournal(s), "Dora")
	must(t, dora.SetAll(t.Context(), firstUse, []journal.Choice{{Key: "heart-max", Value: "110"}}))
	kept.Settings = []journal.Setting{setting("heart-rest", "118")}
	if _, err := dora.TakeOver(t.Context(), &kept, packedOf(t, ada)); !errors.Is(err, journal.ErrUnfit) {
		t.Errorf("settings that cannot hold together: %v", err)
	}
	if n := len(get[[]journal.Setting](t)(dora.Settings(t.Context()))); n != 1 {
		t.Errorf("%d settings are kept", n)
	}
}

// testTakeOverTwins takes over two routines that say the same, each in use.
func testTakeOverTwins(t *testing.T, s journal.Store) {
	ada, bea := followed(t, s, "Ada", 0), book(t, newJournal(s), "Bea")
	twin := get[string](t)(ada.BuildRoutine(t.Context(), "At home", rehab.AchillesMid, 4, []rehab.Dose{{Exercise: "ankle_pumps", Sets: 1, Reps: 60, PerDay: 2, DaysPerWeek: 7}}))
	must(t, ada.Prescribe(t.Context(), rehab.Prescription{Complaint: "ach-mid-left", Programme: twin, Started: firstUse - 7, State: rehab.Running, From: firstUse}, ""))
	kept := whole(t, ada)
	get[journal.Taken](t)(bea.TakeOver(t.Context(), &kept, packedOf(t, ada)))
	if again := get[journal.Taken](t)(bea.TakeOver(t.Context(), &kept, packedOf(t, ada))); again.Changed() {
		t.Errorf("again: %+v", again)
	}
}
