package journaltest

import (
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

// testInputs reads what is known after each kind of write, through the book that
// wrote and through one of another program on the same store, which may hold
// what it read before.
func testInputs(t *testing.T, s journal.Store) {
	mine := book(t, newJournal(s), "Ada")
	id := get[journal.Runner](t)(mine.Runner(t.Context())).ID
	other := get[*journal.Book](t)(newJournal(s).Open(t.Context(), journal.Local, id))
	want := func(when string, check func(*load.Input) bool) {
		t.Helper()
		for name, b := range map[string]*journal.Book{"the writer": mine, "another program": other} {
			if in := get[*load.Input](t)(b.Input(t.Context(), firstUse+9)); !check(in) || in.Today != firstUse+9 {
				t.Errorf("%s, %s: %d sessions, %d rests, today %v", when, name, len(in.Sessions), len(in.Rests), in.Today)
			}
		}
	}
	want("nothing", func(in *load.Input) bool { return len(in.Sessions) == 0 })

	diary := recordingOf(7, content(7, 50), row(1, 5000))
	diary.Rests = []load.Day{3}
	_, err := mine.Add(t.Context(), []journal.Recording{diary})
	must(t, err)
	want("a diary", func(in *load.Input) bool { return len(in.Sessions) == 1 && len(in.Rests) == 1 })

	_, err = other.Add(t.Context(), []journal.Recording{recording(2)})
	must(t, err)
	want("a recording", func(in *load.Input) bool { return len(in.Sessions) == 2 })

	must(t, mine.Set(t.Context(), "week-share", firstUse, "0.2"))
	want("a setting", func(in *load.Input) bool { return in.Settings.On(firstUse).WeekShare == 0.2 })

	decode := func(journal.Original) ([]load.Session, []load.Day, error) {
		longer := session(2)
		longer.Distance = 12000
		return []load.Session{longer}, nil, nil
	}
	edited := ids(get[[]load.Session](t)(mine.Sessions(t.Context())))[1]
	must(t, other.Edit(t.Context(), edited, 0, map[string]string{"race": "yes"}, decode))
	want("an edit", func(in *load.Input) bool { return in.Sessions[1].Distance == 12000 })

	// Another runner's rows stay their own.
	third := book(t, newJournal(s), "Bela")
	if in := get[*load.Input](t)(third.Input(t.Context(), firstUse)); len(in.Sessions) != 0 {
		t.Errorf("another runner has %d sessions", len(in.Sessions))
	}
}
