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
	"tidemark/load/assess"
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
	HasEvenings(before load.Day) (bool, error)
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
			// One that rose or was opened again is news again.
			add(NewsFinding, fmt.Sprintf("%s:%d", f.ID, f.Reopened), f.Day, f.Medical(), findingText(f))
		}
	}
	s := &row.Standing
	switch {
	case !row.Medical && s.Whole.Held && s.Whole.HeldUntil > 0:
		add(NewsHeld, "", row.Today, false, "no run until "+s.Whole.HeldUntil.Spoken())
	case !row.Medical && s.Whole.Held:
		add(NewsHeld, "", row.Today, false, "no run until the hold is lifted")
	}
	if row.Role != RoleClinician {
		return out
	}
	for _, w := range row.Waiting() {
		if w.Kind == assess.WaitFlare && warned(findings, w.Since) {
			continue // it is said as a warning
		}
		of := ""
		if w.Case != nil && w.Kind != assess.WaitStage { // the way back is one for all
			of = w.Case.ID
		}
		add(NewsKind(w.Kind), fmt.Sprintf("%s:%d:%d", of, w.Since, w.Number), w.Since, w.Kind != WaitQuiet, w.spoken())
	}
	return out
}

// warned reports whether an open warning says that the morning of a day flared.
func warned(findings []Finding, day load.Day) bool {
	return slices.ContainsFunc(findings, func(f Finding) bool {
		return f.State == Open && f.Rule == load.RuleMorningFlared && f.Day <= day && day <= f.LastDay
	})
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
	old := false
	err = j.store.View(ctx, func(tx Tx) error {
		if wishes, err = tx.Wishes(); err != nil {
			return err
		}
		old, err = tx.HasEvenings(j.today() - eveningsKept)
		return err
	})
	if old {
		err = errors.Join(err, j.store.Update(ctx, func(tx Tx) error { return tx.DropEvenings(j.today() - eveningsKept) }))
	}
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

// today is the day in UTC, near enough for what is kept for a month.
func (j *Journal) today() load.Day { return load.DayOf(j.clock().Time().UTC()) }

// due reports whether the evening of today is still to be looked at.
func (w *Wish) due(now load.Instant) bool {
	local, day := w.local(now)
	return w.Hears() && day != w.Heard && local.Hour() >= w.Hour
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
	a, err := j.Account(ctx, id)
	if err == nil && !a.Closed {
		_, err = j.Rows(ctx, id, ListSquad) // makes stale ones anew
	}
	if err != nil {
		return false, err
	}
	err = j.store.Update(ctx, func(tx Tx) error {
		news = false // a store may call this again
		w, err := tx.Wish(id)
		if err != nil || !w.due(j.clock()) {
			return err
		}
		_, w.Heard = w.local(j.clock())
		a, err := tx.Account(id)
		if err != nil || a.Closed {
			return errors.Join(err, tx.PutWish(w))
		}
		stands, _, err := j.standingNews(tx, id)
		if err != nil {
			return err
		}
		fresh, err := unheard(tx, id, stands)
		if err != nil {
			return err
		}
		if len(fresh) > 0 {
			news = true
			e := Evening{ID: strings.ToLower(rand.Text()), Person: id, Day: w.Heard, At: j.clock(), Letter: LetterNone, News: fresh}
			if w.Address != "" {
				e.Letter = LetterWaits
			}
			if err := tx.AddEvening(e); err != nil {
				return err
			}
		}
		if err := tx.PutTold(id, stands); err != nil {
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
	Hash     string // of the secret
	Name     string // of the person
	Detail   bool   // it says what there is to look at, and not only of whom
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
		evenings, err := tx.Evenings(w.Person, j.today()-eveningsKept)
		if err != nil {
			return err
		}
		f = NewsFeed{Hash: w.Feed, Name: a.Name, Detail: w.Detail}
		rows, err := j.readRows(tx, w.Person, ListSquad)
		f.Evenings, f.Runners = visible(evenings, rows), namesOf(rows)
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

// visible leaves of evenings what may be seen now.
func visible(evenings []Evening, rows []Row) []Evening {
	medical := make(map[RunnerID]bool, len(rows))
	for i := range rows {
		medical[rows[i].ID] = rows[i].Medical
	}
	return leaving(evenings, func(n *News) bool {
		leave, sees := medical[n.Runner]
		return sees && (leave || !n.Medical)
	})
}

// stillNews leaves of evenings what still stands.
func stillNews(evenings []Evening, stands []News) []Evening {
	return leaving(evenings, func(n *News) bool {
		return slices.ContainsFunc(stands, func(s News) bool { return s.Runner == n.Runner && s.Key == n.Key })
	})
}

// leaving returns the evenings of which something is left, with that alone.
func leaving(evenings []Evening, stays func(*News) bool) (out []Evening) {
	for _, e := range evenings {
		var left []News
		for i := range e.News {
			if stays(&e.News[i]) {
				left = append(left, e.News[i])
			}
		}
		if e.News = left; len(left) > 0 {
			out = append(out, e)
		}
	}
	return out
}
