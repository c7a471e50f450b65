package journal

import (
	"cmp"
	"context"
	"crypto/rand"
	"crypto/subtle"
	"errors"
	"fmt"
	"net/mail"
	"strings"
	"time"

	"tidemark/load"
)

// Wish is how a person wants to hear, once in the evening, of what is new.
type Wish struct {
	Person  Person
	Address string   // where letters go, which was shown to be theirs; empty: nowhere
	Detail  bool     // a letter says what it is, and not only of whom
	Hour    int      // of the evening in Zone, 0 to 23
	Zone    string   // an IANA name; empty: they never said
	Stop    string   // the secret that ends letters
	Feed    string   // the hash of the secret of the feed's address; empty: there is none
	Heard   load.Day // the last evening that was looked at; 0: none
	Letter  Delivery // of the letter about evenings
	Dropped load.Day // the last evening that could not be sent for a week, since one was; 0: none

	Asks   string       // an address that is to be shown to be theirs; empty: none
	Code   string       // that shows it when it comes back
	Asked  load.Instant // when it was made; 0: never
	Asking Delivery     // of the letter with the code
	Out    bool         // that letter was sent
	Unmet  int          // codes that were asked for and have not come back
}

// Delivery is how the sending of a letter goes.
type Delivery struct {
	Tries int
	Next  load.Instant // before which it is not tried again
	Fault string       // why the last try failed; empty: there was none, or it went
}

// WishTx keeps wishes.
type WishTx interface {
	PutWish(Wish) error        // adds it, or replaces it
	Wish(Person) (Wish, error) // ErrNotFound: they never said
	Wishes() ([]Wish, error)   // in order of person
	WishStop(stop string) (Wish, error)
	WishFeed(hash string) (Wish, error)
}

// Hears reports whether the person hears of an evening at all.
func (w *Wish) Hears() bool { return w.Address != "" || w.Feed != "" }

// waits reports whether a letter with a code is to be sent: one that is too old is not.
func (w *Wish) waits(now load.Instant) bool {
	return w.Code != "" && !w.Out && now.Sub(w.Asked) < codeLasts
}

// Longest of an address (RFC 5321, 4.5.3.1.3: a path of 256 octets, its brackets left out),
// how long a code is good, how long after a first code the next may be asked for, four times
// as long after each one more that has not come back, and how long at most; the latter are
// project defaults.
const (
	maxAddress = 254
	codeLasts  = 7 * 24 * time.Hour
	codeAgain  = 10 * time.Minute
	codeAtMost = 24 * time.Hour
)

// Errors of an address.
var (
	ErrTooSoon   = errors.New("a letter was asked for a short time ago")
	ErrNoAddress = errors.New("it is no address for letters")
)

// DefaultHour is the hour of the evening at which a person hears; project default.
const DefaultHour = 19

// checkAddress returns the address as it is written to: one, and without a name.
func checkAddress(text string) (string, error) {
	a, err := mail.ParseAddress(text)
	if err != nil || a.Name != "" || a.Address != strings.TrimSpace(text) || len(a.Address) > maxAddress {
		return "", fmt.Errorf("read address: %w", ErrNoAddress)
	}
	return a.Address, nil
}

// Wish returns how a person wants to hear; who never said so hears nothing.
func (j *Journal) Wish(ctx context.Context, id Person) (w Wish, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		w, err = wishOf(tx, id)
		return err
	})
	return w, err
}

func wishOf(tx Tx, id Person) (Wish, error) {
	w, err := tx.Wish(id)
	if !isNotFound(err) {
		return w, err
	}
	return Wish{Person: id, Hour: DefaultHour}, nil
}

// changeWish changes how somebody with an account wants to hear.
func (j *Journal) changeWish(ctx context.Context, id Person, change func(Tx, *Wish) error) error {
	return j.store.Update(ctx, func(tx Tx) error {
		if _, err := tx.Account(id); err != nil {
			return err
		}
		w, err := wishOf(tx, id)
		if err != nil {
			return err
		}
		if err := change(tx, &w); err != nil {
			return err
		}
		return tx.PutWish(w)
	})
}

// beginWish is changeWish of what may begin to be heard: what stands then is not news.
func (j *Journal) beginWish(ctx context.Context, id Person, change func(*Wish) error) error {
	if _, err := j.Rows(ctx, id, ListSquad); err != nil { // makes stale ones anew
		return err
	}
	return j.changeWish(ctx, id, func(tx Tx, w *Wish) error {
		heard := w.Hears()
		if err := change(w); err != nil || heard || !w.Hears() {
			return err
		}
		return j.beginNews(tx, id)
	})
}

// SetWish keeps when a person wants to hear, and how much a letter says. The hour is 0 to
// 23, the zone an IANA name.
func (j *Journal) SetWish(ctx context.Context, id Person, hour int, zone string, detail bool) error {
	if _, err := time.LoadLocation(zone); err != nil || zone == "" || zone == "Local" {
		return fmt.Errorf("set wish: %.60q is no time zone", zone)
	}
	if hour < 0 || hour > 23 {
		return fmt.Errorf("set wish: hour %d: want 0 to 23", hour)
	}
	return j.changeWish(ctx, id, func(_ Tx, w *Wish) error {
		w.Hour, w.Zone, w.Detail = hour, zone, detail
		return nil
	})
}

// AskAddress wants letters sent to an address, once a code that is sent there has come
// back; until then they go where they went. Who never said where they live hears by the
// zone. It is ErrNoAddress where it is none, and ErrTooSoon ten minutes after the code
// before, or longer where several have not come back: nobody's mailbox is to be filled.
func (j *Journal) AskAddress(ctx context.Context, id Person, address, zone string) error {
	address, err := checkAddress(address)
	if err != nil {
		return err
	}
	now := j.clock()
	return j.changeWish(ctx, id, func(_ Tx, w *Wish) error {
		rest := min(codeAgain<<min(2*max(0, w.Unmet-1), 16), codeAtMost)
		if w.Asked != 0 && now.Sub(w.Asked) < rest {
			return ErrTooSoon
		}
		w.Zone = cmp.Or(w.Zone, zone)
		w.Asks, w.Code, w.Asked, w.Asking, w.Out, w.Unmet = address, rand.Text(), now, Delivery{}, false, w.Unmet+1
		return nil
	})
}

// ConfirmAddress begins letters to the address that a code was sent to; ErrNotFound if it
// is not that code, or too old.
func (j *Journal) ConfirmAddress(ctx context.Context, id Person, code string) error {
	now := j.clock()
	return j.beginWish(ctx, id, func(w *Wish) error {
		if w.Code == "" || !sameSecret(w.Code, strings.ToUpper(strings.TrimSpace(code))) || now.Sub(w.Asked) >= codeLasts {
			return notFound("code", "that is still good")
		}
		w.Address, w.Stop, w.Letter, w.Dropped = w.Asks, rand.Text(), Delivery{}, 0
		w.Asks, w.Code, w.Asking, w.Out, w.Unmet = "", "", Delivery{}, false, 0
		return nil
	})
}

// sameSecret compares without telling by its time how much is right.
func sameSecret(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// StopLetters forgets the addresses of a person, and what waits to be sent there.
func (j *Journal) StopLetters(ctx context.Context, id Person) error {
	return j.store.Update(ctx, func(tx Tx) error {
		w, err := tx.Wish(id)
		if err != nil {
			return err
		}
		return stopLetters(tx, w)
	})
}

// StopLettersBy is StopLetters by the secret that every letter holds; ErrNotFound if it is
// none, or letters have ended.
func (j *Journal) StopLettersBy(ctx context.Context, secret string) error {
	return j.store.Update(ctx, func(tx Tx) error {
		w, err := wishStop(tx, secret)
		if err != nil {
			return err
		}
		return stopLetters(tx, w)
	})
}

// LettersStopBy reports whether a secret still ends letters.
func (j *Journal) LettersStopBy(ctx context.Context, secret string) (is bool, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		_, err := wishStop(tx, secret)
		if is = err == nil; isNotFound(err) {
			err = nil
		}
		return err
	})
	return is, err
}

func wishStop(tx Tx, secret string) (Wish, error) {
	if secret == "" {
		return Wish{}, notFound("letters", "of that address")
	}
	return tx.WishStop(secret)
}

func stopLetters(tx Tx, w Wish) error {
	w.Address, w.Stop, w.Letter, w.Dropped = "", "", Delivery{}, 0
	w.Asks, w.Code, w.Asking, w.Out = "", "", Delivery{}, false // but not when, and how many, were asked for
	if err := tx.PutLetters(w.Person, LetterWaits, LetterNone); err != nil {
		return err
	}
	return tx.PutWish(w)
}

// OpenNews makes the secret of a feed's address, which is told once; one of before ends.
// Who never said where they live hears by the zone.
func (j *Journal) OpenNews(ctx context.Context, id Person, zone string) (secret string, err error) {
	secret = rand.Text()
	return secret, j.beginWish(ctx, id, func(w *Wish) error {
		w.Feed, w.Zone = secretHash(secret), cmp.Or(w.Zone, zone)
		return nil
	})
}

// CloseNews ends a person's feed, at once.
func (j *Journal) CloseNews(ctx context.Context, id Person) error {
	return j.changeWish(ctx, id, func(_ Tx, w *Wish) error {
		w.Feed = ""
		return nil
	})
}
