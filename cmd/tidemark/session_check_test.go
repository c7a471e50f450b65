package main

import (
	"path/filepath"
	"testing"

	"tidemark/cmd/tidemark/demo"
	"tidemark/load"
	"tidemark/load/journal"
)

// TestSessionCheckIsTheWhatIf asks of the whole club what the days ahead leave, as coach,
// clinician and at the machine, as of several days, and holds it against what each runner's own
// what-if says to the same person.
func TestSessionCheckIsTheWhatIf(t *testing.T) {
	day := load.Date(2026, 6, 1)
	a := quietApp(t.TempDir(), day)
	club := demo.Club(day)
	for i := range club {
		if err := a.joinClub(filepath.Dir(a.DB), &club[i], day); err != nil {
			t.Fatal(err)
		}
	}
	if err := a.joinPeople(filepath.Dir(a.DB), club, day); err != nil {
		t.Fatal(err)
	}
	j, err := a.open(true)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	persons := []journal.Person{journal.Local}
	for _, name := range []string{demoCoach, demoClinician} {
		account, err := j.AccountNamed(a.ctx, name)
		if err != nil {
			t.Fatal(err)
		}
		persons = append(persons, account.ID)
	}
	var answers tally
	for _, back := range []load.Day{0, 9, 33, 61} {
		today := day - back
		then := journal.New(j.store, func() load.Instant { return load.InstantOf(today.Noon()) }, versions)
		for _, person := range persons {
			rows, err := then.Rows(a.ctx, person, journal.ListSquad)
			if err != nil || len(rows) == 0 {
				t.Fatalf("%d rows, %v", len(rows), err)
			}
			for _, m := range []load.Measure{load.Distance, load.RunTime} {
				for asked := today; asked < today+journal.DaysAhead; asked++ {
					answers.compare(t, then, person, rows, m, asked)
				}
			}
		}
	}
	if answers.over < 100 || answers.within < 100 || answers.held < 100 {
		t.Errorf("%+v: the club does not ask enough", answers)
	}
}

// tally counts answers of a session check.
type tally struct{ over, within, held int }

// compare holds what is left of a day against the what-if of several lengths.
func (n *tally) compare(t *testing.T, j *journal.Journal, person journal.Person, rows []journal.Row, m load.Measure, day load.Day) {
	t.Helper()
	rooms, err := j.Rooms(t.Context(), person, rows, m, day)
	if err != nil || len(rooms) != len(rows) {
		t.Fatalf("%d rooms of %d, %v", len(rooms), len(rows), err)
	}
	for i := range rows {
		row, room := &rows[i], rooms[rows[i].ID]
		b, err := j.Open(t.Context(), person, row.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, amount := range []float64{0.1, 3, 8.5, 12, 21.1, 35, 90} {
			session := m.Of(amount)
			w, err := b.Imagine(t.Context(), row.Today, m, day, session)
			if err != nil {
				t.Fatal(err)
			}
			by, over := room.Over(session)
			if over != (len(w.Over) > 0) || room.State != w.Headroom.State || room.Decides != w.Headroom.Decides || over && by != session-w.Headroom.Amount {
				t.Errorf("%s, %v, %g on %v, asked by %s: over %v by %v, %+v; the what-if says over %v, %s by %s with %v left",
					row.Name, m, amount, day, person, over, by, room, w.Over, w.Headroom.State, w.Headroom.Decides, w.Headroom.Amount)
			}
			switch {
			case room.State == load.HeldBack:
				n.held++
			case over:
				n.over++
			default:
				n.within++
			}
		}
	}
}
