package journal

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"tidemark/load"
)

// Scope is what a token may.
type Scope string

// The scopes.
const (
	ScopeRead  Scope = "read"
	ScopeWrite Scope = "write" // reads too
)

// The longest that a token is good, and how often that it was used is written; project
// defaults.
const (
	tokenLongest = 366 * 24 * time.Hour
	tokenTouch   = time.Hour
)

// Token is what a program signs in with as a person.
type Token struct {
	Hash    string // of its secret
	Person  Person
	Name    string // what it is for
	Scope   Scope
	Made    load.Instant
	Until   load.Instant
	Used    load.Instant // last; 0: never
	Revoked bool
}

// TokenTx keeps tokens.
type TokenTx interface {
	AddToken(Token) error
	Token(hash string) (Token, error)
	Tokens(Person) ([]Token, error) // in order of making
	UseToken(hash string, at load.Instant) error
	RevokeToken(hash string) error
}

// tokenPrefix makes a token recognisable where it was left by mistake.
const tokenPrefix = "tidemark-"

// MakeToken keeps a token of a person and returns its secret, which is told once.
func (j *Journal) MakeToken(ctx context.Context, id Person, name string, scope Scope, good time.Duration) (secret string, err error) {
	name = cleanName(name)
	switch err := checkName(name); {
	case err != nil:
		return "", fmt.Errorf("make token: %w", err)
	case scope != ScopeRead && scope != ScopeWrite:
		return "", fmt.Errorf("make token: %.20q: want read or write", string(scope))
	case good <= 0 || good > tokenLongest:
		return "", errors.New("make token: it must end within a year")
	}
	now := j.clock()
	secret = tokenPrefix + strings.ToLower(rand.Text())
	err = j.store.Update(ctx, func(tx Tx) error {
		if _, err := tx.Account(id); err != nil {
			return err
		}
		return tx.AddToken(Token{Hash: secretHash(secret), Person: id, Name: name, Scope: scope, Made: now, Until: now.Add(good)})
	})
	return secret, err
}

// TokenOf returns the token of a secret and whose it is; ErrNotFound if it is not, or no
// longer, good.
func (j *Journal) TokenOf(ctx context.Context, secret string) (t Token, a Account, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		if t, err = tx.Token(secretHash(secret)); err != nil {
			return err
		}
		a, err = tx.Account(t.Person)
		return err
	})
	now := j.clock()
	switch {
	case err != nil:
		return Token{}, Account{}, err
	case t.Revoked || a.Closed || now >= t.Until:
		return Token{}, Account{}, notFound("token", "that is still good")
	case now.Sub(t.Used) >= tokenTouch:
		err = j.store.Update(ctx, func(tx Tx) error { return tx.UseToken(t.Hash, now) })
	}
	return t, a, err
}

// Tokens returns every token that a person ever made, in order.
func (j *Journal) Tokens(ctx context.Context, id Person) (out []Token, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		out, err = tx.Tokens(id)
		return err
	})
	return out, err
}

// RevokeToken makes a person's token useless, at once.
func (j *Journal) RevokeToken(ctx context.Context, id Person, hash string) error {
	return j.store.Update(ctx, func(tx Tx) error {
		all, err := tx.Tokens(id)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(all, func(t Token) bool { return t.Hash == hash }) {
			return notFound("token", hash)
		}
		return tx.RevokeToken(hash)
	})
}
