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

func testWishFields(t *testing.T, s journal.Store) {
	j := newJournal(s)
	a, b := join(t, j, "Rafe", ""), join(t, j, "Ada", "")
	want := journal.Wish{
		Person: a.ID, Address: "rafe@example.org", Code: "X", Asked: 1, CodeOut: true, Letters: true, Detail: true, Hour: 19, Zone: "Europe/Vienna",
		Stop: "stop", Feed: "hash", Heard: firstUse, Tries: 2, Next: 3, Fault: "450 \"later\"",
	}
	wantEveryField(t, want)
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

func testEveningFields(t *testing.T, s journal.Store) {
	a, r := join(t, newJournal(s), "Rafe", ""), runner(t, s, "r")
	news := journal.News{Runner: r, Key: "finding:x", Kind: journal.NewsFinding, Day: firstUse, Medical: true, Text: "14.0 km is 27 % over \"11.0 km\""}
	first := journal.Evening{ID: "e", Person: a.ID, Day: firstUse, At: noon, Letter: journal.LetterWaits, News: []journal.News{news, {Runner: r, Key: "b"}}}
	wantEveryField(t, news)
	wantEveryField(t, first)
	second := journal.Evening{ID: "d", Person: a.ID, Day: firstUse + 1, At: noon + 1, Letter: journal.LetterNone, News: []journal.News{news}}
	update(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.AddEvening(second), tx.AddEvening(first), tx.PutTold(a.ID, []journal.News{{Runner: r, Key: "old"}}),
			tx.PutTold(a.ID, []journal.News{news}))
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "in order", get[[]journal.Evening](t)(tx.Evenings(a.ID, 0)), []journal.Evening{first, second})
		same(t, "from a day on", get[[]journal.Evening](t)(tx.Evenings(a.ID, firstUse+1)), []journal.Evening{second})
		same(t, "that wait", get[[]journal.Evening](t)(tx.WaitingEvenings(a.ID)), []journal.Evening{first})
		same(t, "told", get[[]journal.News](t)(tx.Told(a.ID)), []journal.News{{Runner: r, Key: "finding:x"}})
		return nil
	})
	update(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.SetLetter("e", journal.LetterSent), tx.DropEvenings(firstUse+1))
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "after a month", get[[]journal.Evening](t)(tx.Evenings(a.ID, 0)), []journal.Evening{second})
		return nil
	})
}

// evenings is a journal with a runner whom a coach and a clinician follow.
type evenings struct {
	*testing.T
	*watch
	*journal.Journal
	book             *journal.Book // of the runner, at the machine
	runner           journal.RunnerID
	coach, clinician journal.Person
}

// flareRule is about what hurts, the rule of spike about load.
const flareRule = load.RuleMorningFlared

func newEvenings(t *testing.T, s journal.Store) *evenings {
	t.Helper()
	j, w := watched(s)
	e := &evenings{T: t, watch: w, Journal: j, book: book(t, j, "Ada")}
	e.runner = get[journal.Runner](t)(e.book.Runner(t.Context())).ID
	e.coach, e.clinician = join(t, j, "Rafe", "").ID, join(t, j, "Cora", "").ID
	must(t, e.book.Grant(t.Context(), e.coach, journal.RoleCoach, false, false))
	must(t, e.book.Grant(t.Context(), e.clinician, journal.RoleClinician, false, false))
	return e
}

// stands keeps findings of today, and a row for lists that needs not be made anew.
func (e *evenings) stands(findings ...load.Finding) {
	e.Helper()
	today := load.DayOf(e.now.Time())
	must(e.T, e.book.KeepFindings(e.Context(), findings, today))
	row := journal.Standing{Revision: get[journal.Runner](e.T)(e.book.Runner(e.Context())).Revision, Day: today, LastRecord: today, HasRecord: true}
	row.Whole, row.Bare = journal.Sight{Headroom: journal.Headroom{State: "open"}}, journal.Sight{Headroom: journal.Headroom{State: "held"}, Held: true, HeldUntil: firstUse + 9}
	row.Cases = []assess.Case{{ID: "ach-mid-left", Status: rehab.Open, Waits: []assess.Wait{{Kind: assess.WaitStage, Since: firstUse, Number: 2, Text: "stage 2 of the way back"}}}}
	must(e.T, e.book.PutStanding(e.Context(), row))
}

// evening waits until seven in the evening of a day in Vienna, and makes the evenings.
func (e *evenings) evening(n int) (made int) {
	e.Helper()
	e.now = noon + load.Instant(n)*load.Instant(24*time.Hour/time.Millisecond) + load.Instant(6*time.Hour/time.Millisecond)
	return get[int](e.T)(e.MakeEvenings(e.Context()))
}

func (e *evenings) feed(secret string) (keys []string) {
	e.Helper()
	for _, one := range get[journal.NewsFeed](e.T)(e.NewsBy(e.Context(), secret)).Evenings {
		for _, n := range one.News {
			keys = append(keys, n.Day.String()+" "+n.Key)
		}
	}
	return keys
}

func flare(n int) load.Finding {
	f := spike(n, load.Stop)
	f.ID, f.Rule = string(flareRule)+"/"+f.Day.String(), flareRule
	return f
}

// testEvenings: once in the evening a person hears of what is new and theirs to see.
func testEvenings(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	e.stands(spike(0, load.Caution))
	secrets := make(map[journal.Person]string)
	for _, person := range []journal.Person{e.coach, e.clinician} {
		must(t, e.SetWish(t.Context(), person, 19, "Europe/Vienna", true))
		secrets[person] = get[string](t)(e.OpenNews(t.Context(), person, "UTC"))
	}
	same(t, "at noon", get[int](t)(e.MakeEvenings(t.Context())), 0)
	same(t, "what stood before", e.evening(0), 0)
	e.now += load.Instant(18 * time.Hour / time.Millisecond)
	e.stands(spike(0, load.Caution), spike(1, load.Caution), flare(1))
	same(t, "with something new", e.evening(1), 2)
	same(t, "again in the same evening", get[int](t)(e.MakeEvenings(t.Context())), 0)
	same(t, "the coach hears", e.feed(secrets[e.coach]), []string{"2026-03-02 finding:session-spike/2026-03-02"})
	same(t, "the clinician hears", e.feed(secrets[e.clinician]), []string{"2026-03-02 finding:" + flare(1).ID, "2026-03-02 finding:session-spike/2026-03-02"})

	e.now += load.Instant(18 * time.Hour / time.Millisecond)
	must(t, e.book.Answer(t.Context(), spike(0, load.Caution).ID, journal.Seen, ""))
	e.stands(spike(0, load.Caution), spike(1, load.Caution), flare(1))
	same(t, "with less than before", e.evening(2), 0)
	must(t, e.book.Answer(t.Context(), spike(0, load.Caution).ID, journal.Open, ""))
	e.now += load.Instant(18 * time.Hour / time.Millisecond)
	e.stands(spike(0, load.Caution), spike(1, load.Caution), flare(1))
	same(t, "opened again", e.evening(3), 2)

	again := get[string](t)(e.OpenNews(t.Context(), e.coach, "UTC"))
	_, err := e.NewsBy(t.Context(), secrets[e.coach])
	wantNotFound(t, "the address before", err)
	same(t, "under the new one", len(e.feed(again)), 2)
	must(t, e.book.Revoke(t.Context(), e.coach))
	same(t, "of a runner who let them in no more", len(e.feed(again)), 0)
	must(t, e.CloseNews(t.Context(), e.coach))
	_, err = e.NewsBy(t.Context(), again)
	wantNotFound(t, "a feed that was ended", err)
	must(t, e.CloseAccount(t.Context(), e.clinician, true))
	_, err = e.NewsBy(t.Context(), secrets[e.clinician])
	wantNotFound(t, "the feed of an account that is closed", err)
	_, err = e.NewsBy(t.Context(), "")
	wantNotFound(t, "no secret", err)
}

// testEveningsStale: who begins to hear is held against today, and not against rows that
// nobody has looked at since yesterday.
func testEveningsStale(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	e.stands() // with a stage that waits, which is in no plan
	e.wait(24 * time.Hour)
	get[string](t)(e.OpenNews(t.Context(), e.clinician, "Europe/Vienna"))
	e.stands()
	same(t, "what did not stand when they began", e.evening(1), 1)
}

// testAddress: letters go only where a code that was sent there has come back from.
func testAddress(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	for _, bad := range []string{"", "rafe", "Rafe <rafe@example.org>", "a@b.example, c@d.example", "rafe@example.org\r\nBcc: x@example.org"} {
		if err := e.AskAddress(t.Context(), e.coach, bad, "UTC"); !errors.Is(err, journal.ErrNoAddress) {
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
	must(t, e.AskAddress(t.Context(), e.coach, "rafe@example.org", "UTC"))
	if err := e.AskAddress(t.Context(), e.coach, "other@example.org", "UTC"); !errors.Is(err, journal.ErrTooSoon) {
		t.Errorf("a second letter at once: %v", err)
	}
	due := get[[]journal.Letter](t)(e.Letters(t.Context()))
	if len(due) != 1 || due[0].Code == "" || due[0].To.Address != "rafe@example.org" || due[0].Name != "Rafe" {
		t.Fatalf("%+v", due)
	}
	waiting := func(want int) {
		t.Helper()
		people, since, err := e.LettersWaiting(t.Context())
		same(t, "waiting", []any{people, since, err}, []any{want, noon * load.Instant(want), error(nil)})
	}
	waiting(1)
	must(t, e.CloseAccount(t.Context(), e.coach, true))
	waiting(0)
	same(t, "to a closed account", len(get[[]journal.Letter](t)(e.Letters(t.Context()))), 0)
	must(t, e.CloseAccount(t.Context(), e.coach, false))
	must(t, e.LetterSent(t.Context(), due[0]))
	same(t, "after it was sent", len(get[[]journal.Letter](t)(e.Letters(t.Context()))), 0)
	wantNotFound(t, "no code", e.ConfirmAddress(t.Context(), e.coach, ""))
	wantNotFound(t, "another code", e.ConfirmAddress(t.Context(), e.coach, "AAAA"))
	wantNotFound(t, "the code of somebody else", e.ConfirmAddress(t.Context(), e.clinician, due[0].Code))
	e.wait(8 * 24 * time.Hour)
	wantNotFound(t, "a code of a week ago", e.ConfirmAddress(t.Context(), e.coach, due[0].Code))
	must(t, e.AskAddress(t.Context(), e.coach, "rafe@example.org", "UTC"))
	code := get[[]journal.Letter](t)(e.Letters(t.Context()))[0].Code
	must(t, e.ConfirmAddress(t.Context(), e.coach, " "+code+" "))
	wish := get[journal.Wish](t)(e.Wish(t.Context(), e.coach))
	if !wish.Letters || wish.Code != "" || wish.Stop == "" {
		t.Errorf("%+v", wish)
	}
	wantNotFound(t, "an empty secret", e.StopLettersBy(t.Context(), ""))
	must(t, e.StopLettersBy(t.Context(), wish.Stop))
	wantNotFound(t, "ended before", e.StopLettersBy(t.Context(), wish.Stop))
	if wish = get[journal.Wish](t)(e.Wish(t.Context(), e.coach)); wish.Letters || wish.Address != "" {
		t.Errorf("after they ended: %+v", wish)
	}
}

// wants begins letters to somebody.
func (e *evenings) wants(person journal.Person, address string) {
	e.Helper()
	must(e.T, e.SetWish(e.Context(), person, 19, "Europe/Vienna", true))
	must(e.T, e.AskAddress(e.Context(), person, address, "UTC"))
	must(e.T, e.ConfirmAddress(e.Context(), person, get[[]journal.Letter](e.T)(e.Letters(e.Context()))[0].Code))
}

// due are the keys of the only letter that is to be sent; none: there is no letter.
func (e *evenings) due() (l journal.Letter, keys []string) {
	e.Helper()
	all := get[[]journal.Letter](e.T)(e.Letters(e.Context()))
	if len(all) > 1 {
		e.Fatalf("%d letters", len(all))
	}
	for _, l = range all {
		for _, one := range l.Evenings {
			for _, n := range one.News {
				keys = append(keys, n.Key)
			}
		}
	}
	return l, keys
}

// testLetters: what could not be sent is tried again, less and less often, goes with what
// is new meanwhile, and is sent once.
func testLetters(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	first, second, third := spike(0, load.Caution), spike(1, load.Caution), spike(2, load.Caution)
	e.stands()
	e.wants(e.clinician, "cora@example.org")
	e.stands(first)
	same(t, "evenings", e.evening(0), 1)
	l, keys := e.due()
	same(t, "news", keys, []string{"finding:" + first.ID})
	for _, rest := range []time.Duration{time.Minute, 5 * time.Minute, 15 * time.Minute, time.Hour, 3 * time.Hour, 6 * time.Hour, 6 * time.Hour} {
		must(t, e.LetterFailed(t.Context(), l, "it hangs", false))
		same(t, "fault", get[journal.Wish](t)(e.Wish(t.Context(), e.clinician)).Fault, "it hangs")
		e.wait(rest - time.Second)
		if _, keys := e.due(); keys != nil {
			t.Fatalf("tried again before %v", rest)
		}
		e.wait(time.Second)
		if l, keys = e.due(); len(keys) != 1 {
			t.Fatalf("not tried again after %v", rest)
		}
	}
	e.stands(first, second)
	must(t, e.book.Answer(t.Context(), second.ID, journal.Seen, ""))
	e.stands(first, second, third)
	same(t, "the next evening", e.evening(1), 1)
	_, keys = e.due()
	same(t, "with what waits", keys, []string{"finding:" + first.ID, "finding:" + third.ID})
	must(t, e.book.Answer(t.Context(), first.ID, journal.Seen, ""))
	l, keys = e.due()
	same(t, "without what was answered", keys, []string{"finding:" + third.ID})
	must(t, e.LetterSent(t.Context(), l))
	_, keys = e.due()
	same(t, "sent once", keys, []string(nil))
	same(t, "fault", get[journal.Wish](t)(e.Wish(t.Context(), e.clinician)).Fault, "")

	e.wait(18 * time.Hour)
	e.stands(first, second, third, flare(2))
	same(t, "a third", e.evening(2), 1)
	l, keys = e.due()
	same(t, "news", keys, []string{"finding:" + flare(2).ID})
	must(t, e.LetterFailed(t.Context(), l, "550 nobody", true))
	e.wait(24*time.Hour - time.Second)
	if _, keys := e.due(); keys != nil {
		t.Error("what was refused for good is tried again on the same day")
	}
	e.wait(6*24*time.Hour + time.Second)
	l, _ = e.due()
	must(t, e.LetterFailed(t.Context(), l, "550 nobody", true))
	if w := get[journal.Wish](t)(e.Wish(t.Context(), e.clinician)); w.Letters || w.Fault != "550 nobody" || w.Address == "" {
		t.Errorf("refused for a week: %+v", w)
	}
	must(t, e.book.Revoke(t.Context(), e.clinician))
}

// testLettersRevoked: who is let in no more gets no letter of what waited.
func testLettersRevoked(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	e.stands()
	e.wants(e.coach, "rafe@example.org")
	e.stands(spike(0, load.Caution))
	same(t, "evenings", e.evening(0), 1)
	must(t, e.book.Revoke(t.Context(), e.coach))
	if all := get[[]journal.Letter](t)(e.Letters(t.Context())); len(all) > 0 {
		t.Errorf("%+v", all)
	}
	people, _, err := e.LettersWaiting(t.Context())
	same(t, "waiting", []any{people, err}, []any{0, error(nil)})
}
