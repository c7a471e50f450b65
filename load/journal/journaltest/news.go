package journaltest

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

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
		same(t, "old ones", []bool{get[bool](t)(tx.HasEvenings(firstUse + 1)), get[bool](t)(tx.HasEvenings(firstUse))}, []bool{true, false})
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
	cases            []assess.Case
}

// newEvenings makes them; several in one store are told apart by a word after their names.
func newEvenings(t *testing.T, s journal.Store, word ...string) *evenings {
	t.Helper()
	j, w := watched(s)
	name := func(name string) string {
		for _, one := range word {
			name += " " + one
		}
		return name
	}
	e := &evenings{T: t, watch: w, Journal: j, book: book(t, j, name("Ada"))}
	e.runner = get[journal.Runner](t)(e.book.Runner(t.Context())).ID
	e.coach, e.clinician = join(t, j, name("Rafe"), "").ID, join(t, j, name("Cora"), "").ID
	must(t, e.book.Grant(t.Context(), e.coach, journal.RoleCoach, false, false))
	must(t, e.book.Grant(t.Context(), e.clinician, journal.RoleClinician, false, false))
	e.cases = []assess.Case{{
		ID: "ach-mid-left", Site: rehab.AchillesMid, Side: rehab.Left, Status: rehab.Open,
		Waits: []assess.Wait{{Kind: assess.WaitStage, Since: firstUse, Number: 2, Text: "stage 2 of the way back"}},
	}}
	return e
}

func (*evenings) spike(n int) load.Finding { return spike(n, load.Caution) }

func (*evenings) flare(n int) load.Finding {
	f := spike(n, load.Stop)
	f.ID, f.Rule = string(load.RuleMorningFlared)+"/"+f.Day.String(), load.RuleMorningFlared
	return f
}

// stands keeps findings of today, and a row for lists that needs not be made anew.
func (e *evenings) stands(findings ...load.Finding) {
	e.Helper()
	today := load.DayOf(e.now.Time())
	must(e.T, e.book.KeepFindings(e.Context(), findings, today))
	e.row(today, journal.Sight{})
}

// row keeps a row for lists; bare is what who may not see what hurts sees.
func (e *evenings) row(last load.Day, bare journal.Sight) {
	e.Helper()
	row := journal.Standing{
		Revision: get[journal.Runner](e.T)(e.book.Runner(e.Context())).Revision, Day: load.DayOf(e.now.Time()), LastRecord: last, HasRecord: true,
		Bare: bare, Cases: e.cases,
	}
	must(e.T, e.book.PutStanding(e.Context(), row))
}

// evening waits until seven in the evening of a day in Vienna, and makes the evenings.
func (e *evenings) evening(n int) (made int) {
	e.Helper()
	e.now = noon.Add(time.Duration(24*n+6) * time.Hour)
	return get[int](e.T)(e.MakeEvenings(e.Context()))
}

// dawn goes on to noon of a day.
func (e *evenings) dawn(n int) { e.now = noon.Add(time.Duration(24*n) * time.Hour) }

// hears opens a feed for somebody.
func (e *evenings) hears(id journal.Person) (secret string) {
	e.Helper()
	return get[string](e.T)(e.OpenNews(e.Context(), id, "Europe/Vienna"))
}

// feed are the keys of what a feed tells, in order.
func (e *evenings) feed(secret string) (keys []string) {
	e.Helper()
	for _, one := range get[journal.NewsFeed](e.T)(e.NewsBy(e.Context(), secret)).Evenings {
		for _, n := range one.News {
			keys = append(keys, n.Key)
		}
	}
	return keys
}

// testEvenings: once in the evening a person hears of what is new and theirs to see.
func testEvenings(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	e.stands(e.spike(0))
	coach, clinician := e.hears(e.coach), e.hears(e.clinician)
	same(t, "at noon", get[int](t)(e.MakeEvenings(t.Context())), 0)
	same(t, "what stood before", e.evening(0), 0)
	e.dawn(1)
	e.stands(e.spike(0), e.spike(1), e.flare(1))
	same(t, "with something new", e.evening(1), 2)
	same(t, "again in the same evening", get[int](t)(e.MakeEvenings(t.Context())), 0)
	same(t, "the coach hears", e.feed(coach), []string{"finding:" + e.spike(1).ID + ":0"})
	same(t, "the clinician hears", e.feed(clinician), []string{"finding:" + e.flare(1).ID + ":0", "finding:" + e.spike(1).ID + ":0"})

	e.dawn(2)
	must(t, e.book.Answer(t.Context(), e.spike(0).ID, journal.Seen, ""))
	e.stands(e.spike(0), e.spike(1), e.flare(1))
	same(t, "with less than before", e.evening(2), 0)
	must(t, e.book.Answer(t.Context(), e.spike(0).ID, journal.Open, ""))
	e.dawn(3)
	e.stands(e.spike(0), e.spike(1), e.flare(1))
	same(t, "opened again", e.evening(3), 2)
	e.dawn(4)
	e.stands(e.spike(0), spike(1, load.Stop), e.flare(1))
	same(t, "one that rose", e.evening(4), 2)
	e.dawn(5)
	e.stands(e.spike(0), spike(1, load.Stop), e.flare(1), e.flare(5))
	same(t, "what the coach may not see", e.evening(5), 1)
	same(t, "the coach's", len(e.feed(coach)), 3)

	again := e.hears(e.coach)
	_, err := e.NewsBy(t.Context(), coach)
	wantNotFound(t, "the address before", err)
	same(t, "under the new one", len(e.feed(again)), 3)
	must(t, e.book.Revoke(t.Context(), e.coach))
	same(t, "of a runner who let them in no more", len(e.feed(again)), 0)
	must(t, e.CloseNews(t.Context(), e.coach))
	_, err = e.NewsBy(t.Context(), again)
	wantNotFound(t, "a feed that was ended", err)
	_, err = e.NewsBy(t.Context(), "")
	wantNotFound(t, "no secret", err)
	same(t, "the clinician's before a month has passed", len(e.feed(clinician)), 5)
	e.dawn(36)
	same(t, "who hears nothing new", get[int](t)(e.MakeEvenings(t.Context())), 0)
	same(t, "after a month", len(e.feed(clinician)), 0)
	view(t, s, func(tx journal.Tx) error {
		same(t, "what is kept of it", get[bool](t)(tx.HasEvenings(firstUse+6)), false)
		return nil
	})
	must(t, e.CloseAccount(t.Context(), e.clinician, true))
	_, err = e.NewsBy(t.Context(), clinician)
	wantNotFound(t, "the feed of an account that is closed", err)
	e.stands(e.flare(36))
	same(t, "the evening of an account that is closed", e.evening(36), 0)
}

// testEveningsLeave: what hurts is told as long as the runner lets it be seen, and what waits
// to a clinician alone.
func testEveningsLeave(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	must(t, e.book.ChangeCoach(t.Context(), e.coach, true, false))
	coach, clinician := e.hears(e.coach), e.hears(e.clinician)
	e.stands(e.flare(0))
	same(t, "evenings", e.evening(0), 2)
	flared := "finding:" + e.flare(0).ID + ":0"
	same(t, "the coach hears", e.feed(coach), []string{flared})
	same(t, "the clinician hears", e.feed(clinician), []string{flared, fmt.Sprintf("stage::%d:2", firstUse)})
	must(t, e.book.ChangeCoach(t.Context(), e.coach, false, false))
	same(t, "without leave", len(e.feed(coach)), 0)
}

// testEveningsKinds: what each kind says, and when it does.
func testEveningsKinds(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	coach, clinician := e.hears(e.coach), e.hears(e.clinician)
	said := func(secret string) (texts []string) {
		f := get[journal.NewsFeed](t)(e.NewsBy(t.Context(), secret))
		for _, n := range f.Evenings[len(f.Evenings)-1].News {
			texts = append(texts, n.Text)
		}
		return texts
	}
	both := e.cases[0]
	both.ID, both.Side = "ach-mid-right", rehab.Right
	wait := func(kind assess.WaitKind, n int, text string) assess.Wait {
		return assess.Wait{Kind: kind, Since: firstUse, Number: n, Text: text}
	}
	e.cases[0].Waits = []assess.Wait{wait(assess.WaitStage, 2, "stage 2"), wait(assess.WaitPhase, 3, "phase 3"), wait(assess.WaitFlare, 0, "it flared"), wait(assess.WaitReview, 0, "12 weeks")}
	e.cases = append(e.cases, both)
	e.row(firstUse-journal.QuietDays, journal.Sight{Held: true})
	same(t, "evenings", e.evening(0), 2)
	same(t, "a hold, and what hurts not", said(coach), []string{"no run until the hold is lifted"})
	same(t, "what waits", said(clinician), []string{
		"waits for an answer: stage 2", "left Achilles tendon waits for an answer: phase 3", "left Achilles tendon: it flared", "left Achilles tendon: 12 weeks", "no run was added for 7 days",
	})
	e.dawn(1)
	must(t, e.book.PutNote(t.Context(), journal.Note{Kind: journal.NoteVisit, Day: firstUse + 1, Next: firstUse + 2, HasNext: true, Text: "calm"}))
	e.cases = e.cases[:1]
	e.row(firstUse-journal.QuietDays, journal.Sight{Held: true, HeldUntil: firstUse + 9})
	same(t, "the same hold until a day, one that ended, and what a visit answered", e.evening(1), 0)
	e.dawn(2)
	e.row(firstUse-journal.QuietDays, journal.Sight{})
	same(t, "a visit that is due", e.evening(2), 1)
	same(t, "it says", said(clinician), []string{"a visit is due"})
	e.dawn(3)
	e.cases[0].Waits = []assess.Wait{{Kind: assess.WaitFlare, Since: firstUse + 3, Text: "it flared"}}
	flare := e.flare(3)
	must(t, e.book.KeepFindings(t.Context(), []load.Finding{flare}, firstUse+3))
	e.row(firstUse+3, journal.Sight{})
	same(t, "a flare", e.evening(3), 1)
	same(t, "is said once", said(clinician), []string{"A morning that flared"})
}

// testEveningsStale: who begins to hear is held against today, and not against rows that
// nobody has looked at since yesterday.
func testEveningsStale(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	e.stands() // with a stage that waits, which is in no plan
	e.wait(24 * time.Hour)
	e.hears(e.clinician)
	e.stands()
	same(t, "what did not stand when they began", e.evening(1), 1)
}

// testEveningsClock: a clock that was ahead keeps nobody from hearing once it is right.
func testEveningsClock(t *testing.T, s journal.Store) {
	e := newEvenings(t, s)
	e.stands()
	e.hears(e.coach)
	e.evening(700)
	e.dawn(1)
	e.stands(e.spike(1))
	same(t, "evenings", e.evening(1), 1)
}
