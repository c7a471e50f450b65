package journal

import (
	"context"
	"errors"
	"fmt"
	"time"

	"tidemark/load"
)

// LetterState is where the letter about an evening stands.
type LetterState string

// The states.
const (
	LetterNone    LetterState = "none"    // is wanted, or nothing was left to tell
	LetterWaits   LetterState = "waits"   // to be sent
	LetterSent    LetterState = "sent"    // a server took it
	LetterDropped LetterState = "dropped" // could not be sent for a week
)

// Letter is what is to be sent to a person: a code that shows that the address is theirs,
// or what was new on evenings.
type Letter struct {
	Person   Person
	Name     string // of the person
	To       string // the address
	Code     string // empty: it is about evenings
	Detail   bool
	Stop     string // the secret that ends letters; empty with a code
	Evenings []Evening
	Runners  map[RunnerID]string

	waiting []Evening // all that it answers, also those of which nothing is left
}

// How long a letter is tried, how long it rests after a first try, a second and so on, of
// which the last holds from then on, and how long after a server refused it for good.
// Project defaults.
const (
	letterLasts = 7 * 24 * time.Hour
	refusedRest = 24 * time.Hour
)

var letterRests = []time.Duration{time.Minute, 5 * time.Minute, 15 * time.Minute, time.Hour, 3 * time.Hour, 6 * time.Hour}

// tried is the delivery after one more try, before it is known how that went.
func (d Delivery) tried(now load.Instant) Delivery {
	return Delivery{d.Tries + 1, now.Add(letterRests[min(d.Tries, len(letterRests)-1)]), d.Fault}
}

// failed is a delivery of which a try has failed.
func (d Delivery) failed(now load.Instant, fault string, refused bool) Delivery {
	d.Fault = fault
	if refused {
		d.Next = now.Add(refusedRest)
	}
	return d
}

// LettersDue returns to whom a letter may be due.
func (j *Journal) LettersDue(ctx context.Context) (due []Person, err error) {
	now := j.clock()
	err = j.store.View(ctx, func(tx Tx) error {
		due = nil
		wishes, err := tx.Wishes()
		for i := range wishes {
			if w := &wishes[i]; w.waits(now) && w.Asking.Next <= now || w.Address != "" && w.Letter.Next <= now {
				due = append(due, w.Person)
			}
		}
		return err
	})
	return due, err
}

// TakeLetter returns the letter that is due to a person, if there is one. That it is being
// tried is kept before it is: nobody else takes it, and where nothing can be kept nothing is
// sent. What was new and stands no more, or may not be seen any more, is left out; evenings
// that nothing is left of need no letter.
func (j *Journal) TakeLetter(ctx context.Context, id Person) (l Letter, is bool, err error) {
	err = j.store.Update(ctx, func(tx Tx) error {
		l, is = Letter{}, false // a store may call this again
		w, err := tx.Wish(id)
		if err != nil {
			return err
		}
		a, err := tx.Account(id)
		if err != nil || a.Closed {
			return err
		}
		now := j.clock()
		if w.waits(now) && w.Asking.Next <= now {
			l, is = Letter{Person: id, Name: a.Name, To: w.Asks, Code: w.Code}, true
			w.Asking = w.Asking.tried(now)
			return tx.PutWish(w)
		}
		if w.Address == "" || w.Letter.Next > now {
			return nil
		}
		l = Letter{Person: id, Name: a.Name, To: w.Address, Detail: w.Detail, Stop: w.Stop}
		is, err = j.fillLetter(tx, &l, &w)
		return err
	})
	return l, is, err
}

// fillLetter puts in a letter what waits and may still be told, and keeps that it is tried,
// or that nothing is left.
func (j *Journal) fillLetter(tx Tx, l *Letter, w *Wish) (is bool, err error) {
	if l.waiting, err = tx.WaitingEvenings(l.Person); err != nil || len(l.waiting) == 0 {
		return false, err
	}
	stands, rows, err := j.standingNews(tx, l.Person)
	if err != nil {
		return false, err
	}
	l.Evenings, l.Runners = stillNews(visible(l.waiting, rows), stands), namesOf(rows)
	if len(l.Evenings) > 0 {
		w.Letter = w.Letter.tried(j.clock())
		return true, tx.PutWish(*w)
	}
	w.Letter = Delivery{}
	return false, errors.Join(tx.PutLetters(l.Person, LetterWaits, LetterNone), tx.PutWish(*w))
}

// LetterSent keeps that a server took a letter.
func (j *Journal) LetterSent(ctx context.Context, l *Letter) error {
	return j.settle(ctx, l, func(tx Tx, w *Wish) error {
		if l.Code != "" {
			w.Asking, w.Out = Delivery{}, true
			return nil
		}
		w.Letter, w.Dropped = Delivery{}, 0
		return setLetters(tx, l.waiting, LetterSent)
	})
}

// LetterFailed keeps why a letter did not go. It is tried again a minute after a first try,
// then less and less often, or a day later where it was refused for good. What could not be
// sent for a week is dropped; if it was refused to the end, letters end until the person
// wants them again.
func (j *Journal) LetterFailed(ctx context.Context, l *Letter, fault string, refused bool) error {
	now := j.clock()
	return j.settle(ctx, l, func(tx Tx, w *Wish) error {
		if l.Code != "" {
			w.Asking = w.Asking.failed(now, fault, refused)
			return nil
		}
		w.Letter = w.Letter.failed(now, fault, refused)
		var old []Evening
		for _, e := range l.waiting {
			if now.Sub(e.At) >= letterLasts {
				old, w.Dropped = append(old, e), max(w.Dropped, e.Day)
			}
		}
		if len(old) > 0 && refused {
			w.Address, w.Stop = "", ""
			return tx.PutLetters(w.Person, LetterWaits, LetterDropped)
		}
		return setLetters(tx, old, LetterDropped)
	})
}

func setLetters(tx Tx, of []Evening, s LetterState) error {
	for _, e := range of {
		if err := tx.SetLetter(e.ID, s); err != nil {
			return err
		}
	}
	return nil
}

// settle keeps what became of a letter, unless its person wants no more of it.
func (j *Journal) settle(ctx context.Context, l *Letter, change func(Tx, *Wish) error) error {
	return j.store.Update(ctx, func(tx Tx) error {
		w, err := tx.Wish(l.Person)
		if err != nil || l.Code != "" && w.Code != l.Code || l.Code == "" && (w.Address != l.To || w.Stop != l.Stop) {
			return err
		}
		if err := change(tx, &w); err != nil {
			return fmt.Errorf("settle letter: %w", err)
		}
		return tx.PutWish(w)
	})
}

// LettersWaiting returns for how many people a letter waits, and since when the longest of
// them; 0: none.
func (j *Journal) LettersWaiting(ctx context.Context) (people int, since load.Instant, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		people, since = 0, 0
		wishes, err := tx.Wishes()
		if err != nil {
			return err
		}
		for i := range wishes {
			from, err := j.waitsFrom(tx, &wishes[i])
			if err != nil {
				return err
			}
			if from != 0 {
				people++
				if since == 0 || from < since {
					since = from
				}
			}
		}
		return nil
	})
	return people, since, err
}

// waitsFrom is since when a letter to a person waits; 0: none does.
func (j *Journal) waitsFrom(tx Tx, w *Wish) (from load.Instant, err error) {
	if a, err := tx.Account(w.Person); err != nil || a.Closed {
		return 0, err
	}
	if w.waits(j.clock()) {
		from = w.Asked
	}
	if w.Address == "" {
		return from, nil
	}
	waiting, err := tx.WaitingEvenings(w.Person)
	if len(waiting) > 0 && (from == 0 || waiting[0].At < from) {
		from = waiting[0].At
	}
	return from, err
}
