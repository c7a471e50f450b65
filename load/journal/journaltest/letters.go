package journaltest

import (
	"testing"
	"time"

	"tidemark/load/journal"
)

// wants begins letters to somebody.
func (e *evenings) wants(person journal.Person, address string) {
	e.Helper()
	must(e.T, e.SetWish(e.Context(), person, 19, "Europe/Vienna", true))
	must(e.T, e.AskAddress(e.Context(), person, address, "UTC"))
	must(e.T, e.ConfirmAddress(e.Context(), person, e.wish(person).Code))
}

// due is the letter that is due to somebody, nil where none is, with the keys of its news.
func (e *evenings) due(person journal.Person) (l *journal.Letter, keys []string) {
	e.Helper()
	due := get[[]journal.Person](e.T)(e.LettersDue(e.Context()))
	one, is, err := e.TakeLetter(e.Context(), person)
	must(e.T, err)
	if !is {
		return nil, nil
	}
	for _, id := range due {
		if id == person {
			l = &one
		}
	}
	if l == nil {
		e.Fatal("a letter to somebody who is not listed")
	}
	for _, evening := range one.Evenings {
		for _, n := range evening.News {
			keys = append(keys, n.Key)
		}
	}
	return l, keys
}

func (e *evenings) failed(l *journal.Letter, fault string, refused bool) {
	e.Helper()
	must(e.T, e.LetterFailed(e.Context(), l, fault, refused))
}

// testLetters: what could not be sent is tried again, less and less often, goes with what
// is new meanwhile, and is sent once.
func testLetters(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	key := func(n int) string { return "finding:" + e.spike(n).ID + ":0" }
	e.stands()
	e.wants(e.clinician, "cora@example.org")
	e.stands(e.spike(0))
	same(t, "evenings", e.evening(0), 1)
	l, keys := e.due(e.clinician)
	same(t, "news", keys, []string{key(0)})
	for i, rest := range []time.Duration{time.Minute, 5 * time.Minute, 15 * time.Minute, time.Hour, 3 * time.Hour, 6 * time.Hour, 6 * time.Hour} {
		if i != 1 { // the program ended in the middle of that try
			e.failed(l, "it hangs", false)
		}
		same(t, "fault", e.wish(e.clinician).Letter.Fault, "it hangs")
		e.wait(rest - time.Second)
		if l, _ := e.due(e.clinician); l != nil {
			t.Fatalf("tried again before %v", rest)
		}
		e.wait(time.Second)
		if l, keys = e.due(e.clinician); len(keys) != 1 {
			t.Fatalf("not tried again after %v", rest)
		}
		if l2, _ := e.due(e.clinician); l2 != nil {
			t.Fatal("taken twice")
		}
	}
	e.failed(l, "it hangs", false)
	e.stands(e.spike(0), e.spike(1))
	must(t, e.book.Answer(t.Context(), e.spike(1).ID, journal.Seen, ""))
	e.stands(e.spike(0), e.spike(1), e.spike(2))
	same(t, "the next evening", e.evening(1), 1)
	l, keys = e.due(e.clinician)
	same(t, "with what waits", keys, []string{key(0), key(2)})
	e.failed(l, "it hangs", false)
	must(t, e.book.Answer(t.Context(), e.spike(0).ID, journal.Seen, ""))
	e.wait(6 * time.Hour)
	l, keys = e.due(e.clinician)
	same(t, "without what was answered", keys, []string{key(2)})
	must(t, e.LetterSent(t.Context(), l))
	if l, _ := e.due(e.clinician); l != nil {
		t.Error("sent again")
	}
	same(t, "how it goes", e.wish(e.clinician).Letter, journal.Delivery{})
}

// testLettersMoot: of what waits nothing stands any more, and so nothing is sent or said.
func testLettersMoot(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	e.cases = nil
	e.stands()
	e.wants(e.coach, "rafe@example.org")
	e.stands(e.spike(0))
	e.evening(0)
	l, _ := e.due(e.coach)
	e.failed(l, "refused", true)
	must(t, e.book.Answer(t.Context(), e.spike(0).ID, journal.Seen, ""))
	e.wait(24 * time.Hour)
	if l, keys := e.due(e.coach); l != nil {
		t.Errorf("a letter about %q", keys)
	}
	same(t, "how it goes", e.wish(e.coach).Letter, journal.Delivery{})
}

// testLettersDropped: what could not be sent for a week is dropped, and what is newer is not.
// If it was refused to the end, letters end.
func testLettersDropped(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	e.cases = nil
	e.stands()
	e.wants(e.coach, "rafe@example.org")
	e.stands(e.spike(0))
	e.evening(0)
	e.dawn(6)
	e.stands(e.spike(0), e.spike(6))
	e.evening(6)
	l, keys := e.due(e.coach)
	same(t, "both", len(keys), 2)
	e.failed(l, "it hangs", false)
	e.now = noon.Add(7*24*time.Hour + 6*time.Hour)
	l, keys = e.due(e.coach)
	same(t, "both, for the last time", len(keys), 2)
	e.failed(l, "it hangs", false)
	same(t, "dropped", []any{e.wish(e.coach).Dropped, e.wish(e.coach).Address}, []any{firstUse, "rafe@example.org"})
	e.wait(6 * time.Hour)
	l, keys = e.due(e.coach)
	same(t, "the newer one", keys, []string{"finding:" + e.spike(6).ID + ":0"})
	e.failed(l, "550 nobody", true)
	e.wait(24*time.Hour - time.Second)
	if l, _ := e.due(e.coach); l != nil {
		t.Error("what was refused for good is tried again on the same day")
	}
	e.wait(6 * 24 * time.Hour)
	l, _ = e.due(e.coach)
	e.failed(l, "550 nobody", true)
	if w := e.wish(e.coach); w.Address != "" || w.Letter.Fault != "550 nobody" || w.Dropped != firstUse+6 || w.Hears() {
		t.Errorf("refused for a week: %+v", w)
	}
	people, _, err := e.LettersWaiting(t.Context())
	same(t, "waiting", []any{people, err}, []any{0, error(nil)})
}
