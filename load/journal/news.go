package journal

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"tidemark/load"
)

// NewsKind is what there is to look at.
type NewsKind string

// The kinds, besides those of what waits for a clinician.
const (
	NewsFinding NewsKind = "finding" // a warning that stands open
	NewsHeld    NewsKind = "held"    // not to run, of whom no more may be seen
)

// News is something of a runner that a person has not heard of.
type News struct {
	Runner  RunnerID
	Key     string // tells it from others of the runner as long as it stands
	Kind    NewsKind
	Day     load.Day // since when
	Medical bool
	Text    string
}

// LetterState is where the letter about an evening stands.
type LetterState string

// The states.
const (
	LetterNone    LetterState = "none"    // is wanted
	LetterWaits   LetterState = "waits"   // to be sent
	LetterSent    LetterState = "sent"    // a server took it
	LetterDropped LetterState = "dropped" // could not be sent for a week
)

// Evening is what was new to a person on one.
type Evening struct {
	ID     string
	Person Person
	Day    load.Day
	At     load.Instant
	Letter LetterState
	News   []News
}

// NewsTx keeps evenings, and what a person has heard of.
type NewsTx interface {
	AddEvening(Evening) error
	Evenings(person Person, from load.Day) ([]Evening, error) // in order of time
	WaitingEvenings(Person) ([]Evening, error)                // in order of time
	SetLetter(id string, s LetterState) error
	PutLetters(person Person, from, to LetterState) error // of all evenings in a state
	DropEvenings(before load.Day) error
	PutTold(Person, []News) error // in place of those before
	Told(Person) ([]News, error)  // runner and key only
}

// How many days evenings are kept, which is as far as a feed goes back; project default.
const eveningsKept = 30

// newsOf is what there is to look at of a runner, for whoever sees the row: warnings that
// stand open and, for a clinician, what waits for an answer.
func newsOf(row *Row, findings []Finding) (out []News) {
	add := func(kind NewsKind, key string, day load.Day, medical bool, text string) {
		out = append(out, News{row.ID, string(kind) + ":" + key, kind, day, medical, text})
	}
	for i := range findings {
		if f := &findings[i]; f.State == Open && (row.Medical || !f.Medical()) {
			add(NewsFinding, f.ID, f.Day, f.Medical(), findingText(f))
		}
	}
	s := &row.Standing
	switch {
	case !row.Medical && s.Whole.Held && s.Whole.HeldUntil > 0:
		add(NewsHeld, s.Whole.HeldUntil.String(), row.Today, false, "not to run until "+s.Whole.HeldUntil.Spoken())
	case !row.Medical && s.Whole.Held:
		add(NewsHeld, "", row.Today, false, "not to run until that is lifted")
	}
	if row.Role != RoleClinician {
		return out
	}
	for _, w := range row.Waiting() {
		of := ""
		if w.Case != nil {
			of = w.Case.ID
		}
		add(NewsKind(w.Kind), fmt.Sprintf("%s:%d:%d", of, w.Since, w.Number), w.Since, w.Kind != WaitQuiet, w.Text)
	}
	return out
}

// findingText is a finding's title, and what it rests on.
func findingText(f *Finding) string {
	text := load.FindRule(f.Rule).Title
	if i := slices.IndexFunc(f.Evidence, func(e load.Evidence) bool { return e.Rule == f.Rule }); i >= 0 {
		text += ": " + f.Evidence[i].Text
	}
	return text
}

// standingNews is everything there is to look at for a person, in order of the runners'
// names, then of the days.
func (j *Journal) standingNews(tx Tx, id Person) (out []News, rows []Row, err error) {
	rows, err = j.readRows(tx, id, ListSquad)
	if err != nil {
		return nil, nil, err
	}
	slices.SortFunc(rows, func(a, b Row) int { return strings.Compare(a.Name, b.Name) })
	for i := range rows {
		findings, err := tx.Findings(rows[i].ID)
		if err != nil {
			return nil, nil, err
		}
		news := newsOf(&rows[i], findings)
		slices.SortStableFunc(news, func(a, b News) int { return cmp.Compare(a.Day, b.Day) })
		out = append(out, news...)
	}
	return out, rows, nil
}

// beginNews keeps that what stands now is nothing new to a person.
func (j *Journal) beginNews(tx Tx, id Person) error {
	stands, _, err := j.standingNews(tx, id)
	if err != nil {
		return err
	}
	return tx.PutTold(id, stands)
}

// MakeEvenings makes the evening of everybody whose hour has come, and says how many
// have something new in them. One that fails keeps no other from being made.
func (j *Journal) MakeEvenings(ctx context.Context) (made int, err error) {
	var wishes []Wish
	err = j.store.View(ctx, func(tx Tx) error {
		wishes, err = tx.Wishes()
		return err
	})
	for i := range wishes {
		if ctx.Err() != nil || !wishes[i].due(j.clock()) {
			continue
		}
		news, fault := j.makeEvening(ctx, wishes[i].Person)
		if fault != nil {
			err = errors.Join(err, fmt.Errorf("make evening of %s: %w", wishes[i].Person, fault))
		}
		if news {
			made++
		}
	}
	return made, err
}

// due reports whether the evening of today is still to be looked at.
func (w *Wish) due(now load.Instant) bool {
	local, day := w.local(now)
	return w.Hears() && day > w.Heard && local.Hour() >= w.Hour
}

// local is the time where the person lives; a zone that this machine does not know is UTC.
func (w *Wish) local(now load.Instant) (time.Time, load.Day) {
	zone, err := time.LoadLocation(w.Zone)
	if err != nil {
		zone = time.UTC
	}
	local := now.Time().In(zone)
	return local, load.DayOf(local)
}

// makeEvening keeps what is new to a person since the evening before, in one transaction
// with that they have heard of it.
func (j *Journal) makeEvening(ctx context.Context, id Person) (news bool, err error) {
	if _, err := j.Rows(ctx, id, ListSquad); err != nil { // makes stale ones anew
		return false, err
	}
	err = j.store.Update(ctx, func(tx Tx) error {
		news = false // a store may call this again
		w, err := tx.Wish(id)
		if err != nil || !w.due(j.clock()) {
			return err
		}
		a, err := tx.Account(id)
		if err != nil || a.Closed {
			return err
		}
		stands, _, err := j.standingNews(tx, id)
		if err != nil {
			return err
		}
		fresh, err := unheard(tx, id, stands)
		if err != nil {
			return err
		}
		if _, w.Heard = w.local(j.clock()); len(fresh) > 0 {
			news = true
			e := Evening{ID: strings.ToLower(rand.Text()), Person: id, Day: w.Heard, At: j.clock(), Letter: LetterNone, News: fresh}
			if w.Letters {
				e.Letter = LetterWaits
			}
			if err := tx.AddEvening(e); err != nil {
				return err
			}
		}
		if err := tx.PutTold(id, stands); err != nil {
			return err
		}
		if err := tx.DropEvenings(w.Heard - eveningsKept); err != nil {
			return err
		}
		return tx.PutWish(w)
	})
	return news, err
}

// unheard are the news that a person has not heard of.
func unheard(tx Tx, id Person, stands []News) ([]News, error) {
	told, err := tx.Told(id)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(slices.Clone(stands), func(n News) bool {
		return slices.ContainsFunc(told, func(t News) bool { return t.Runner == n.Runner && t.Key == n.Key })
	}), nil
}

// NewsFeed is what a feed tells a person: the evenings of the last 30 days, as far as they may
// see the runners now, with the runners' names.
type NewsFeed struct {
	Wish
	Name     string // of the person
	Evenings []Evening
	Runners  map[RunnerID]string
}

// NewsBy returns the feed of a secret; ErrNotFound if it is not, or no longer, good.
func (j *Journal) NewsBy(ctx context.Context, secret string) (f NewsFeed, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		w, err := tx.WishFeed(secretHash(secret))
		if err != nil {
			return err
		}
		a, err := tx.Account(w.Person)
		if err == nil && a.Closed {
			err = notFound("feed", "that is still good")
		}
		if err != nil {
			return err
		}
		evenings, err := tx.Evenings(w.Person, w.Heard-eveningsKept)
		if err != nil {
			return err
		}
		f = NewsFeed{Wish: w, Name: a.Name}
		rows, err := j.readRows(tx, w.Person, ListSquad)
		f.Evenings, f.Runners = visible(evenings, rows, nil), namesOf(rows)
		return err
	})
	return f, err
}

func namesOf(rows []Row) map[RunnerID]string {
	names := make(map[RunnerID]string, len(rows))
	for i := range rows {
		names[rows[i].ID] = rows[i].Name
	}
	return names
}

// visible leaves of evenings what may be seen now and, where stands is given, still stands.
func visible(evenings []Evening, rows []Row, stands []News) (out []Evening) {
	medical := make(map[RunnerID]bool, len(rows))
	for i := range rows {
		medical[rows[i].ID] = rows[i].Medical
	}
	for _, e := range evenings {
		e.News = slices.DeleteFunc(e.News, func(n News) bool {
			leave, sees := medical[n.Runner]
			gone := stands != nil && !slices.ContainsFunc(stands, func(s News) bool { return s.Runner == n.Runner && s.Key == n.Key })
			return !sees || n.Medical && !leave || gone
		})
		if len(e.News) > 0 {
			out = append(out, e)
		}
	}
	return out
}
