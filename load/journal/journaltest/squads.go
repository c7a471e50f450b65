package journaltest

import (
	"context"
	"errors"
	"reflect"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// testRows: a list holds who may be seen, as far as they may be, as of today, with what was
// last seen of them.
func testRows(t *testing.T, s journal.Store) {
	j, w := watched(s)
	f, b := follow(t, j, "local")
	coach, clinician := join(t, j, "Rafe", ""), join(t, j, "Ada", "")
	must(t, b.Grant(t.Context(), coach.ID, journal.RoleCoach, false, true))
	must(t, b.Grant(t.Context(), clinician.ID, journal.RoleClinician, false, false))
	book(t, j, "Another's")
	w.wait(48 * time.Hour)
	now, today := w.now, firstUse+2
	rows := get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))
	if len(rows) != 1 || rows[0].ID != f.runner || rows[0].Role != journal.RoleCoach || rows[0].Medical || !rows[0].Plan || rows[0].Today != today {
		t.Fatalf("rows of the coach: %+v", rows)
	}
	st := rows[0].Standing
	if st.Day != today || st.Cases != nil || !reflect.DeepEqual(st.Whole, st.Bare) || !st.HasRecord {
		t.Errorf("what the coach sees: %+v", st)
	}
	full := get[[]journal.Row](t)(j.Rows(t.Context(), clinician.ID, journal.ListCaseload))
	if len(full) != 1 || len(full[0].Standing.Cases) != 1 || full[0].Standing.Cases[0].ID != f.complaint {
		t.Errorf("what the clinician sees: %+v", full)
	}
	same(t, "all at the machine", len(get[[]journal.Row](t)(j.Rows(t.Context(), journal.Local, journal.ListSquad))), 2)

	must(t, j.Glanced(t.Context(), coach.ID, journal.ListSquad, rows))
	look := func() *journal.Glance {
		t.Helper()
		rows := get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))
		must(t, j.Glanced(t.Context(), coach.ID, journal.ListSquad, rows))
		return rows[0].Before
	}
	first := journal.GlanceOf(&rows[0], now)
	w.wait(29 * time.Minute)
	if look() != nil {
		t.Error("the first look is held against itself")
	}
	w.wait(time.Minute)
	same(t, "half an hour after the first look", *look(), first)
	w.wait(29 * time.Minute)
	same(t, "while the second look goes on", *look(), first)
	w.wait(time.Minute)
	same(t, "the third look", look().At, now.Add(30*time.Minute))
	if other := get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListCaseload)); other[0].Before != nil {
		t.Error("seen in a list that was not looked at")
	}
	wantEveryField(t, journal.Glance{
		At: 1, Day: 2, State: "open", HeldUntil: 3, OpenFindings: 4, Worst: load.Stop, WeekDistance: 5, LastRecord: 6, Stage: 7, Phase: 8, Flare: 9, Then: &journal.Glance{},
	})

	of := get[*journal.Book](t)(j.Open(t.Context(), coach.ID, f.runner))
	must(t, of.PutGroup(t.Context(), " Tuesday group "))
	same(t, "group", get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))[0].Group, "Tuesday group")
	same(t, "group of another", get[[]journal.Row](t)(j.Rows(t.Context(), clinician.ID, journal.ListSquad))[0].Group, "")
	must(t, of.PutGroup(t.Context(), ""))
	same(t, "out of the group", get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))[0].Group, "")
	must(t, b.Revoke(t.Context(), coach.ID))
	same(t, "after it was revoked", len(get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))), 0)
}

func testNotes(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	coach := join(t, j, "Rafe", "")
	must(t, b.Grant(t.Context(), coach.ID, journal.RoleCoach, false, false))
	of := get[*journal.Book](t)(j.Open(t.Context(), coach.ID, get[journal.Runner](t)(b.Runner(t.Context())).ID))
	word := journal.Note{Kind: journal.NoteToRunner, Day: firstUse, Text: "Tuesday is off:\n\"rest\""}
	visit := journal.Note{Kind: journal.NoteVisit, Day: firstUse, Next: firstUse + 14, HasNext: true, Text: "calm"}
	must(t, of.PutNote(t.Context(), word))
	wantNotFound(t, "a visit by a coach", of.PutNote(t.Context(), visit))
	must(t, b.PutNote(t.Context(), visit))
	medical := journal.Note{Kind: journal.NoteToRunner, Day: firstUse, Text: "the tendon needs a rest"}
	must(t, b.PutNote(t.Context(), medical))
	said := func(n journal.Note, by journal.Person) journal.Note {
		n.By, n.At = by, noon
		return n
	}
	same(t, "notes", get[[]journal.Note](t)(b.Notes(t.Context())), []journal.Note{said(word, coach.ID), said(visit, journal.Local), said(medical, journal.Local)})
	same(t, "notes of the coach", get[[]journal.Note](t)(of.Notes(t.Context())), []journal.Note{said(word, coach.ID)})
	wantEveryField(t, said(visit, journal.Local))
	earlier := journal.Note{Kind: journal.NoteVisit, Day: firstUse - 7, Text: "entered late"}
	must(t, b.PutNote(t.Context(), earlier))
	row := get[[]journal.Row](t)(j.Rows(t.Context(), journal.Local, journal.ListCaseload))[0]
	if row.Visit == nil {
		t.Fatal("the list shows no visit")
	}
	same(t, "the last visit in a list", *row.Visit, said(visit, journal.Local))
	if row := get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))[0]; row.Visit != nil {
		t.Errorf("the coach's list shows the visit: %+v", row.Visit)
	}
	for what, bad := range map[string]journal.Note{
		"empty": {Kind: journal.NoteToRunner, Day: firstUse}, "a visit in the future": {Kind: journal.NoteVisit, Day: firstUse + 1},
		"the next before this": {Kind: journal.NoteVisit, Day: firstUse, Next: firstUse, HasNext: true}, "a kind that is none": {Kind: "x", Day: firstUse, Text: "x"},
	} {
		if err := b.PutNote(t.Context(), bad); err == nil {
			t.Errorf("%s: taken", what)
		}
	}
}

// testWords: a list knows the last note to a runner by a clinician, who looks after them
// together with whoever reads it; a coach's and the runner's own are none.
func testWords(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	r := get[journal.Runner](t)(b.Runner(t.Context()))
	as := func(name string, role journal.Role) *journal.Book {
		a := join(t, j, name, "")
		must(t, b.Grant(t.Context(), a.ID, role, false, false))
		return get[*journal.Book](t)(j.Open(t.Context(), a.ID, r.ID))
	}
	owner, coach, first, second := as("Owner", journal.RoleRunner), as("Rafe", journal.RoleCoach), as("Bea", journal.RoleClinician), as("Cleo", journal.RoleClinician)
	word := func(of *journal.Book, text string) {
		must(t, of.PutNote(t.Context(), journal.Note{Kind: journal.NoteToRunner, Day: firstUse, Text: text}))
	}
	last := func(person string) string {
		row := get[[]journal.Row](t)(j.Rows(t.Context(), get[journal.Account](t)(j.AccountNamed(t.Context(), person)).ID, journal.ListCaseload))[0]
		if row.Word == nil {
			return ""
		}
		return row.Word.Text
	}
	word(coach, "of the coach")
	same(t, "without one", last("Bea"), "")
	word(first, "first")
	word(second, "second")
	word(owner, "to myself")
	same(t, "for the one", last("Bea"), "second")
	same(t, "for the coach", last("Rafe"), "")
	row := get[[]journal.Row](t)(j.Rows(t.Context(), journal.Local, journal.ListCaseload))[0]
	same(t, "at the machine", row.Word.Text, "second")
	word(b, "from the machine")
	same(t, "of the machine", last("Cleo"), "from the machine")
}

// testRooms: what the days ahead leave follows the logbook as it changes, says no more than
// the person may see, and leaves out who was taken from them.
func testRooms(t *testing.T, s journal.Store) {
	j, w := watched(s)
	f, b := follow(t, j, "local")
	coach, clinician := join(t, j, "Rafe", ""), join(t, j, "Ada", "")
	must(t, b.Grant(t.Context(), coach.ID, journal.RoleCoach, false, true))
	must(t, b.Grant(t.Context(), clinician.ID, journal.RoleClinician, false, false))
	w.wait(48 * time.Hour)
	day := firstUse + 2 + journal.DaysAhead - 1
	rooms := func(person journal.Person, rows []journal.Row) map[journal.RunnerID]journal.Room {
		t.Helper()
		return get[map[journal.RunnerID]journal.Room](t)(j.Rooms(t.Context(), person, rows, load.Distance, day))
	}
	rows := get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))
	full := get[[]journal.Row](t)(j.Rows(t.Context(), clinician.ID, journal.ListCaseload))
	was := rooms(coach.ID, rows)[f.runner]
	if by, over := was.Over(load.Distance.Of(400)); was.Decides == "" || !over || by != load.Distance.Of(400)-was.Amount {
		t.Errorf("400 km with %+v: over %v by %v", was, over, by)
	}
	same(t, "the coach", rooms(coach.ID, rows)[f.runner], was)
	if got := rooms(clinician.ID, full)[f.runner]; got.Decides != "ramp" || was.Decides == "ramp" {
		t.Errorf("the clinician's limit is %q, the coach's %q; want the ramp for the clinician alone", got.Decides, was.Decides)
	}
	plain := book(t, j, "Plain")
	must(t, plain.Grant(t.Context(), coach.ID, journal.RoleCoach, false, false))
	other := get[journal.Runner](t)(plain.Runner(t.Context())).ID
	rows = get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))
	if _, over := rooms(coach.ID, rows)[other].Over(load.Distance.Of(400)); !over {
		t.Error("400 km are not over what a first run may be")
	}
	must(t, plain.PlanRace(t.Context(), load.PlannedRace{Day: day, Name: "Pier mile"}, false))
	rows = get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))
	raced := rooms(coach.ID, rows)[other]
	if _, over := raced.Over(load.Distance.Of(400)); raced.State != load.RaceDay || over {
		t.Errorf("after a race was planned: %+v, over %v", raced, over)
	}
	w.wait(24 * time.Hour)
	rows = get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))
	if raced = rooms(coach.ID, rows)[other]; raced.State != load.RaceDay {
		t.Errorf("of the same day a day later: %+v", raced)
	}
	// Where a runner lives a day ahead, a day that has passed there is their today.
	east := get[journal.Runner](t)(j.AddRunner(t.Context(), "East", "Pacific/Kiritimati", firstUse))
	of := get[*journal.Book](t)(j.Open(t.Context(), journal.Local, east.ID))
	must(t, of.Grant(t.Context(), coach.ID, journal.RoleCoach, false, false))
	must(t, of.PlanRace(t.Context(), load.PlannedRace{Day: firstUse + 4, Name: "Reef mile"}, false))
	rows = get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))
	for ahead, want := range map[load.Day]bool{3: true, 4: true, 5: false} {
		day = firstUse + ahead
		if got := rooms(coach.ID, rows)[east.ID]; (got.State == load.RaceDay) != want {
			t.Errorf("%v: %+v", day, got)
		}
	}
	must(t, of.Revoke(t.Context(), coach.ID))
	must(t, plain.Revoke(t.Context(), coach.ID))
	must(t, b.Revoke(t.Context(), coach.ID))
	if got := rooms(coach.ID, get[[]journal.Row](t)(j.Rows(t.Context(), coach.ID, journal.ListSquad))); len(got) != 0 {
		t.Errorf("after it was revoked: %v", got)
	}
	for i := range rows {
		rows[i].Revision++ // as rows that were read while somebody wrote
	}
	if got := rooms(coach.ID, rows); len(got) != 0 {
		t.Errorf("of rows that were read before it was revoked: %v", got)
	}
}

// testRenewals: after a night, and after a write, rows are made anew ahead of who looks, each
// once.
func testRenewals(t *testing.T, s journal.Store) {
	j, w := watched(s)
	_, b := follow(t, j, "local")
	book(t, j, "Plain")
	w.wait(48 * time.Hour) // of today is nothing kept that comes later
	rested := 0
	renewed := func() int {
		t.Helper()
		return get[int](t)(j.RenewStandings(t.Context(), func(time.Duration) { rested++ }))
	}
	same(t, "those that never had a row", renewed(), 2)
	same(t, "again", renewed(), 0)
	w.wait(24 * time.Hour)
	if _, err := b.Standing(t.Context(), firstUse+3); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("a row of yesterday: %v", err)
	}
	same(t, "after a night", renewed(), 2)
	if _, err := b.Standing(t.Context(), firstUse+3); err != nil {
		t.Errorf("a row that was made anew: %v", err)
	}
	must(t, b.PlanRace(t.Context(), load.PlannedRace{Day: firstUse + 9, Name: "Pier mile"}, false))
	same(t, "after a write", renewed(), 1)
	same(t, "rests", rested, 5)

	rows := get[[]journal.Row](t)(j.Rows(t.Context(), journal.Local, journal.ListSquad))
	get[map[journal.RunnerID]journal.Room](t)(j.Rooms(t.Context(), journal.Local, rows, load.Distance, firstUse+4))
	must(t, b.PlanRace(t.Context(), load.PlannedRace{Day: firstUse + 10, Name: "Pier mile"}, false))
	must(t, b.Refresh(t.Context(), firstUse+3))
	same(t, "whose days ahead were asked about", renewed(), 1)
	same(t, "again", renewed(), 0)
	ended, end := context.WithCancel(t.Context())
	end()
	w.wait(24 * time.Hour)
	if n, err := j.RenewStandings(ended, func(time.Duration) {}); n != 0 || !errors.Is(err, context.Canceled) {
		t.Errorf("after the end: %d, %v", n, err)
	}
}
