package journaltest

import (
	"errors"
	"testing"
	"time"

	"tidemark/load/journal"
)

func testWishFields(t *testing.T, s journal.Store) {
	j := newJournal(s)
	a, b := join(t, j, "Rafe", ""), join(t, j, "Ada", "")
	delivery := func(n int) journal.Delivery { return journal.Delivery{Tries: n, Next: noon, Fault: "450 \"later\""} }
	want := journal.Wish{
		Person: a.ID, Address: "rafe@example.org", Detail: true, Hour: 19, Zone: "Europe/Vienna", Stop: "stop", Feed: "hash", Heard: firstUse, Letter: delivery(2), Dropped: firstUse - 8,
		Asks: "other@example.org", Code: "X", Asked: 1, Asking: delivery(3), Out: true, Unmet: 4,
	}
	wantEveryField(t, want)
	wantEveryField(t, want.Letter)
	bare := journal.Wish{Person: b.ID}
	update(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.PutWish(journal.Wish{Person: a.ID}), tx.PutWish(want), tx.PutWish(bare))
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "replaced", get[journal.Wish](t)(tx.Wish(a.ID)), want)
		same(t, "by what ends letters", get[journal.Wish](t)(tx.WishStop("stop")), want)
		same(t, "by its feed", get[journal.Wish](t)(tx.WishFeed("hash")), want)
		same(t, "all", len(get[[]journal.Wish](t)(tx.Wishes())), 2)
		return nil
	})
}

func (e *evenings) wish(id journal.Person) journal.Wish {
	e.Helper()
	return get[journal.Wish](e.T)(e.Wish(e.Context(), id))
}

// testAddress: letters go only where a code that was sent there has come back from.
func testAddress(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	ask := func(address string) error { return e.AskAddress(t.Context(), e.coach, address, "UTC") }
	for _, bad := range []string{"", "rafe", "Rafe <rafe@example.org>", "a@b.example, c@d.example", "rafe@example.org\r\nBcc: x@example.org"} {
		if err := ask(bad); !errors.Is(err, journal.ErrNoAddress) {
			t.Errorf("%q: %v", bad, err)
		}
	}
	for _, bad := range []struct {
		hour int
		zone string
	}{{24, "UTC"}, {-1, "UTC"}, {19, "Local"}, {19, ""}, {19, "Europe/Nowhere"}} {
		if err := e.SetWish(t.Context(), e.coach, bad.hour, bad.zone, false); err == nil {
			t.Errorf("%+v: taken", bad)
		}
	}
	must(t, ask("rafe@example.org"))
	due, _ := e.due(e.coach)
	if due == nil || due.Code == "" || due.To != "rafe@example.org" || due.Name != "Rafe" || due.Stop != "" {
		t.Fatalf("%+v", due)
	}
	if w := e.wish(e.coach); w.Hears() {
		t.Error("letters go to an address that nobody has confirmed")
	}
	people, since, err := e.LettersWaiting(t.Context())
	same(t, "waiting", []any{people, since, err}, []any{1, noon, error(nil)})
	must(t, e.LetterSent(t.Context(), due))
	if again, _ := e.due(e.coach); again != nil {
		t.Error("sent again")
	}
	wantNotFound(t, "no code", e.ConfirmAddress(t.Context(), e.coach, ""))
	wantNotFound(t, "another code", e.ConfirmAddress(t.Context(), e.coach, "AAAA"))
	wantNotFound(t, "the code of somebody else", e.ConfirmAddress(t.Context(), e.clinician, due.Code))
	e.wait(7*24*time.Hour - time.Second)
	must(t, e.ConfirmAddress(t.Context(), e.coach, " "+due.Code+" "))
	wish := e.wish(e.coach)
	if wish.Address != "rafe@example.org" || wish.Code != "" || wish.Stop == "" {
		t.Errorf("%+v", wish)
	}
	wantNotFound(t, "an empty secret", e.StopLettersBy(t.Context(), ""))
	must(t, e.StopLettersBy(t.Context(), wish.Stop))
	wantNotFound(t, "ended before", e.StopLettersBy(t.Context(), wish.Stop))
	if wish = e.wish(e.coach); wish.Hears() || wish.Address != "" || wish.Stop != "" {
		t.Errorf("after they ended: %+v", wish)
	}
}

// testCodes: a code ends after a week, sent or not, and who lets them go to waste waits longer
// and longer for the next.
func testCodes(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	ask := func() error { return e.AskAddress(t.Context(), e.coach, "rafe@example.org", "UTC") }
	must(t, ask())
	for _, rest := range []time.Duration{10 * time.Minute, 40 * time.Minute, 160 * time.Minute, 640 * time.Minute, 24 * time.Hour, 24 * time.Hour} {
		e.wait(rest - time.Second)
		if err := ask(); !errors.Is(err, journal.ErrTooSoon) {
			t.Fatalf("before %v: %v", rest, err)
		}
		e.wait(time.Second)
		must(t, ask())
	}
	code := e.wish(e.coach).Code
	e.wait(7 * 24 * time.Hour)
	if due, _ := e.due(e.coach); due != nil {
		t.Error("a code that is good no more is sent")
	}
	wantNotFound(t, "a code of a week ago", e.ConfirmAddress(t.Context(), e.coach, code))
	must(t, ask())
	must(t, e.ConfirmAddress(t.Context(), e.coach, e.wish(e.coach).Code))
	same(t, "after one that came back", e.wish(e.coach).Unmet, 0)
}

// testAddressChanged: until the new one is confirmed letters go to the old one, with all
// that is new.
func testAddressChanged(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	e.stands()
	e.wants(e.clinician, "cora@example.org")
	e.wait(time.Hour)
	must(t, e.AskAddress(t.Context(), e.clinician, "new@example.org", "UTC"))
	e.stands(e.spike(0))
	same(t, "evenings", e.evening(0), 1)
	code, _ := e.due(e.clinician)
	must(t, e.LetterSent(t.Context(), code))
	l, keys := e.due(e.clinician)
	same(t, "the code", []string{code.To, code.Code}, []string{"new@example.org", e.wish(e.clinician).Code})
	same(t, "news", []any{l.To, keys}, []any{"cora@example.org", []string{"finding:" + e.spike(0).ID + ":0"}})
	must(t, e.ConfirmAddress(t.Context(), e.clinician, code.Code))
	must(t, e.LetterSent(t.Context(), l)) // the old address's was under way
	again, keys := e.due(e.clinician)
	if again == nil || again.To != "new@example.org" || len(keys) != 1 {
		t.Errorf("to the new address: %+v", again)
	}
}

// testLettersEnd: a letter that is under way when letters end, the account is closed or the
// runner lets go changes nothing more, and nothing waits.
func testLettersEnd(t *testing.T, s journal.Store) {
	for name, end := range map[string]func(*evenings){
		"stop":   func(e *evenings) { must(t, e.StopLettersBy(t.Context(), e.wish(e.coach).Stop)) },
		"revoke": func(e *evenings) { must(t, e.book.Revoke(t.Context(), e.coach)) },
		"close":  func(e *evenings) { must(t, e.CloseAccount(t.Context(), e.coach, true)) },
	} {
		t.Run(name, func(t *testing.T) {
			e := newEvenings(t, s, name)
			e.stands()
			e.wants(e.coach, "rafe@example.org")
			e.stands(e.spike(0))
			e.evening(0)
			l, _ := e.due(e.coach)
			must(t, e.LetterFailed(t.Context(), l, "it hangs", false))
			end(e)
			before := e.wish(e.coach)
			if name == "stop" {
				must(t, e.LetterFailed(t.Context(), l, "it hangs still", true))
				same(t, "after the end", e.wish(e.coach), before)
			}
			e.wait(24 * time.Hour)
			if l, _ := e.due(e.coach); l != nil {
				t.Errorf("a letter all the same: %+v", l)
			}
			people, _, err := e.LettersWaiting(t.Context())
			same(t, "waiting", []any{people, err}, []any{0, error(nil)})
			must(t, e.CloseAccount(t.Context(), e.coach, true)) // of the next case
		})
	}
}
