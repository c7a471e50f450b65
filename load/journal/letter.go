package journal

import (
	"context"
	"crypto/subtle"
	"time"

	"tidemark/load"
)

// Letter is what is to be sent to a person: a code that shows that the address is theirs,
// or what was new on evenings.
type Letter struct {
	To       Wish
	Name     string // of the person
	Code     string // empty: it is about evenings
	Evenings []Evening
	Runners  map[RunnerID]string
	ids      []string // of all evenings that it answers, also those of which nothing is left
}

// How long a letter is tried, and how long it rests after one failure more than the one
// before; the last holds from then on. Project defaults.
const letterLasts = 7 * 24 * time.Hour

var letterRests = []time.Duration{time.Minute, 5 * time.Minute, 15 * time.Minute, time.Hour, 3 * time.Hour, 6 * time.Hour}

// refusedRest is how long a letter rests that a server refused for good; project default.
const refusedRest = 24 * time.Hour

// Letters returns what is to be sent now. What was new and stands no more, or may not be
// seen any more, is left out; evenings that nothing is left of need no letter.
func (j *Journal) Letters(ctx context.Context) (out []Letter, err error) {
	var due []Person
	now := j.clock()
	err = j.store.View(ctx, func(tx Tx) error {
		due = nil
		wishes, err := tx.Wishes()
		for i := range wishes {
			if w := &wishes[i]; w.Address != "" && w.Next <= now && (w.Letters || w.Code != "" && !w.CodeOut) {
				due = append(due, w.Person)
			}
		}
		return err
	})
	for _, id := range due {
		l, is, fault := j.letterTo(ctx, id)
		if fault != nil {
			return out, fault
		}
		if is {
			out = append(out, l)
		}
	}
	return out, err
}

// letterTo is the letter to one person, if there is one to send.
func (j *Journal) letterTo(ctx context.Context, id Person) (l Letter, is bool, err error) {
	empty := false
	err = j.store.View(ctx, func(tx Tx) error {
		l, is, empty = Letter{}, false, false
		w, err := tx.Wish(id)
		if err != nil {
			return err
		}
		a, err := tx.Account(id)
		if err != nil || a.Closed {
			return err
		}
		l.To, l.Name = w, a.Name
		if w.Code != "" && !w.CodeOut {
			l.Code, is = w.Code, true
			return nil
		}
		if !w.Letters {
			return nil
		}
		waiting, err := tx.WaitingEvenings(id)
		if err != nil || len(waiting) == 0 {
			return err
		}
		for _, e := range waiting {
			l.ids = append(l.ids, e.ID)
		}
		stands, rows, err := j.standingNews(tx, id)
		if err != nil {
			return err
		}
		l.Evenings, l.Runners = visible(waiting, rows, stands), namesOf(rows)
		is = len(l.Evenings) > 0
		empty = !is
		return nil
	})
	if err == nil && empty { // nothing of it is left to look at
		err = j.settleLetter(ctx, l, LetterNone, func(*Wish) {})
	}
	return l, is, err
}

// LetterSent keeps that a server took a letter.
func (j *Journal) LetterSent(ctx context.Context, l Letter) error {
	return j.settleLetter(ctx, l, LetterSent, func(w *Wish) {
		w.Tries, w.Next, w.Fault = 0, 0, ""
		if l.Code != "" {
			w.CodeOut = true
		}
	})
}

// LetterFailed keeps why a letter did not go, and when it is tried again: a minute later,
// then less and less often, or a day later where it was refused for good. What could not be
// sent for a week is dropped; if it was refused to the end, letters end until the person
// wants them again.
func (j *Journal) LetterFailed(ctx context.Context, l Letter, fault string, refused bool) error {
	now := j.clock()
	state := LetterWaits
	if now.Sub(l.since()) >= letterLasts {
		state = LetterDropped
	}
	return j.settleLetter(ctx, l, state, func(w *Wish) {
		rest := letterRests[min(w.Tries, len(letterRests)-1)]
		if refused {
			rest = refusedRest
		}
		w.Tries, w.Next, w.Fault = w.Tries+1, now.Add(rest), fault
		if state == LetterDropped && (refused || l.Code != "") {
			w.Letters, w.Code = false, ""
		}
	})
}

// since is when the oldest of what a letter says was to be sent.
func (l *Letter) since() load.Instant {
	if l.Code != "" {
		return l.To.Asked
	}
	return l.Evenings[0].At
}

// settleLetter keeps what became of a letter, unless its person wants no more of it.
func (j *Journal) settleLetter(ctx context.Context, l Letter, state LetterState, change func(*Wish)) error {
	return j.store.Update(ctx, func(tx Tx) error {
		w, err := tx.Wish(l.To.Person)
		if err != nil || w.Address != l.To.Address || w.Code != l.To.Code {
			return err
		}
		for _, id := range l.ids {
			if err := tx.SetLetter(id, state); err != nil {
				return err
			}
		}
		change(&w)
		return tx.PutWish(w)
	})
}

// LettersWaiting returns of how many people a letter waits, and since when the longest of
// them; 0: none.
func (j *Journal) LettersWaiting(ctx context.Context) (people int, since load.Instant, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		people, since = 0, 0
		wishes, err := tx.Wishes()
		if err != nil {
			return err
		}
		for i := range wishes {
			from, err := waitsFrom(tx, &wishes[i])
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
func waitsFrom(tx Tx, w *Wish) (load.Instant, error) {
	if a, err := tx.Account(w.Person); err != nil || a.Closed {
		return 0, err
	}
	if w.Address != "" && w.Code != "" && !w.CodeOut {
		return w.Asked, nil
	}
	if !w.Letters {
		return 0, nil
	}
	waiting, err := tx.WaitingEvenings(w.Person)
	if err != nil || len(waiting) == 0 {
		return 0, err
	}
	return waiting[0].At, nil
}

// sameSecret compares without telling by its time how much is right.
func sameSecret(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }
