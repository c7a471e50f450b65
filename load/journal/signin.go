package journal

import (
	"context"
	"crypto/rand"
	"fmt"
	"time"

	"tidemark/load"
)

// How long a browser stays signed in: unused, at most, and how often that it was used is
// written. Project defaults: a morning is scored in two taps, so nobody is asked daily.
const (
	signInIdle    = 30 * 24 * time.Hour
	signInLongest = 90 * 24 * time.Hour
	signInTouch   = time.Hour
)

// SignIn is a browser that is signed in.
type SignIn struct {
	Hash              string // of its secret
	Person            Person
	Made, Seen, Until load.Instant
}

// SignInTx keeps sign-ins.
type SignInTx interface {
	AddSignIn(SignIn) error
	SignIn(hash string) (SignIn, error)
	SignIns(Person) ([]SignIn, error) // the latest seen first
	// SeeSignIn sets when one was seen, and does nothing if there is none: a request that
	// began before a sign-out does not undo it.
	SeeSignIn(hash string, at load.Instant) error
	DropSignIn(hash string) error
	DropSignIns(Person) error
	DropSignInsUntil(load.Instant) error // those that have ended
}

// SignIn signs an account in and returns the secret, which is told once and not kept.
// Those that have ended are forgotten.
func (j *Journal) SignIn(ctx context.Context, id Person) (secret string, until load.Instant, err error) {
	now := j.clock()
	secret, until = rand.Text(), now.Add(signInLongest)
	err = j.store.Update(ctx, func(tx Tx) error {
		a, err := tx.Account(id)
		if err != nil {
			return err
		}
		if a.Closed {
			return fmt.Errorf("sign in: the account is closed: %w", ErrNotFound)
		}
		if err := tx.DropSignInsUntil(now); err != nil {
			return err
		}
		return tx.AddSignIn(SignIn{secretHash(secret), id, now, now, until})
	})
	return secret, until, err
}

// SignedIn returns who signed in with a secret, and when; ErrNotFound if nobody did, or if
// it has ended since.
func (j *Journal) SignedIn(ctx context.Context, secret string) (a Account, made load.Instant, err error) {
	var s SignIn
	err = j.store.View(ctx, func(tx Tx) error {
		if s, err = tx.SignIn(secretHash(secret)); err != nil {
			return err
		}
		a, err = tx.Account(s.Person)
		return err
	})
	if err != nil {
		return Account{}, 0, err
	}
	now := j.clock()
	if a.Closed || now >= s.Until || now.Sub(s.Seen) >= signInIdle {
		return Account{}, 0, notFound("sign-in", "that has not ended")
	}
	if now.Sub(s.Seen) >= signInTouch {
		err = j.store.Update(ctx, func(tx Tx) error { return tx.SeeSignIn(s.Hash, now) })
	}
	return a, s.Made, err
}

// SignOut ends the sign-in of a secret.
func (j *Journal) SignOut(ctx context.Context, secret string) error {
	return j.store.Update(ctx, func(tx Tx) error { return tx.DropSignIn(secretHash(secret)) })
}

// SignOutEverywhere ends every sign-in of a person.
func (j *Journal) SignOutEverywhere(ctx context.Context, id Person) error {
	return j.store.Update(ctx, func(tx Tx) error { return tx.DropSignIns(id) })
}

// SignIns returns where a person is signed in, the latest seen first.
func (j *Journal) SignIns(ctx context.Context, id Person) (out []SignIn, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		out, err = tx.SignIns(id)
		return err
	})
	return out, err
}
