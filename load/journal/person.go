package journal

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"

	"golang.org/x/text/cases"

	"tidemark/load"
)

// Person names who is asking: the ID of an account, or one of those that are nobody's.
type Person string

// Persons that are nobody's account.
const (
	Local Person = "local" // whoever can open the file at the machine
	Rules Person = "rules" // the program itself, where a finding changes its state
)

// Account is a person who signs in.
type Account struct {
	ID         Person
	Name       string // unique, whatever the case
	Host       bool   // looks after the program, and sees no logbook by that
	Password   string // an argon2id hash
	Second     string // the key of one-time codes, in base 32; empty: none
	SecondUsed int64  // the time step of the last code: each is good once
	Closed     bool
	Made       load.Instant
}

// AccountTx keeps accounts.
type AccountTx interface {
	PutAccount(a Account, folded string) error // adds it, or replaces it
	Account(Person) (Account, error)
	AccountNamed(folded string) (Account, error)
	Accounts() ([]Account, error) // in order of making
}

// newAccount makes an account with a new ID; the name is trimmed and normalised to NFC.
func newAccount(name, password string, at load.Instant) (Account, error) {
	a := Account{ID: Person(strings.ToLower(rand.Text()[:13])), Name: cleanName(name), Password: password, Made: at}
	if err := checkName(a.Name); err != nil {
		return a, fmt.Errorf("add account: %w", err)
	}
	return a, nil
}

// folded is a name without case, by which accounts are told apart.
func folded(name string) string { return cases.Fold().String(cleanName(name)) }

func secretHash(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// Accounts returns everybody who signs in, in order of making.
func (j *Journal) Accounts(ctx context.Context) (out []Account, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		out, err = tx.Accounts()
		return err
	})
	return out, err
}

// Account returns who an account is.
func (j *Journal) Account(ctx context.Context, id Person) (a Account, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		a, err = tx.Account(id)
		return err
	})
	return a, err
}

// AccountNamed finds an account by its name, whatever the case.
func (j *Journal) AccountNamed(ctx context.Context, name string) (a Account, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		a, err = tx.AccountNamed(folded(name))
		return err
	})
	return a, err
}

// changeAccount changes an account and ends every sign-in of it.
func (j *Journal) changeAccount(ctx context.Context, id Person, change func(*Account) error) error {
	return j.store.Update(ctx, func(tx Tx) error {
		a, err := tx.Account(id)
		if err != nil {
			return err
		}
		if err := change(&a); err != nil {
			return err
		}
		if err := tx.PutAccount(a, folded(a.Name)); err != nil {
			return err
		}
		return tx.DropSignIns(id)
	})
}

// SetPassword keeps a hash of a password, and ends every sign-in of the account.
func (j *Journal) SetPassword(ctx context.Context, id Person, hash string) error {
	return j.changeAccount(ctx, id, func(a *Account) error {
		a.Password = hash
		return nil
	})
}

// SetSecond keeps the key of one-time codes, or drops it if it is empty, and ends every
// sign-in of the account. A code of the step, which showed that the key has arrived, is not
// taken again.
func (j *Journal) SetSecond(ctx context.Context, id Person, key string, step int64) error {
	return j.changeAccount(ctx, id, func(a *Account) error {
		a.Second, a.SecondUsed = key, step
		return nil
	})
}

// UseSecond keeps that a code of a time step was used. One of the same step or before is
// ErrConflict: a code is good once.
func (j *Journal) UseSecond(ctx context.Context, id Person, step int64) error {
	return j.store.Update(ctx, func(tx Tx) error {
		a, err := tx.Account(id)
		if err != nil {
			return err
		}
		if step <= a.SecondUsed {
			return fmt.Errorf("use code: it was used before: %w", ErrConflict)
		}
		a.SecondUsed = step
		return tx.PutAccount(a, folded(a.Name))
	})
}

// CloseAccount keeps an account from signing in, and opens it again. What it may do with
// logbooks is left as it is.
func (j *Journal) CloseAccount(ctx context.Context, id Person, closed bool) error {
	return j.changeAccount(ctx, id, func(a *Account) error {
		a.Closed = closed
		return nil
	})
}

// spoken names who did something: an account by its name.
func (b *Book) spoken(tx Tx, by Person) string {
	if a, err := tx.Account(by); err == nil {
		return a.Name
	}
	return string(by)
}

// Names returns the name of everybody who has an account.
func (j *Journal) Names(ctx context.Context) (map[Person]string, error) {
	all, err := j.Accounts(ctx)
	names := make(map[Person]string, len(all))
	for _, a := range all {
		names[a.ID] = a.Name
	}
	return names, err
}
