package journal

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"slices"
	"time"

	"tidemark/load"
)

// InvitationKind is what a link is for.
type InvitationKind string

// The kinds.
const (
	InviteHost   InvitationKind = "host"   // the first account, which looks after the program
	InviteRunner InvitationKind = "runner" // an account, with a logbook of its own or without
	InviteCare   InvitationKind = "care"   // into a runner's logbook
	InviteReset  InvitationKind = "reset"  // a new password for an account
	InviteEnter  InvitationKind = "enter"  // into an account, of the demo's people
)

// How long links are good; project defaults.
const (
	inviteTime = 7 * 24 * time.Hour
	resetTime  = 24 * time.Hour
)

// Invitation is a link that lets somebody in once.
type Invitation struct {
	Hash    string // of its secret
	Kind    InvitationKind
	Runner  RunnerID // whose logbook; empty: none yet
	Role    Role     // in it; empty: an account alone
	Medical bool
	Plan    bool
	Person  Person // of a reset
	Name    string // who is meant, as a proposal
	Home    string // zone of a logbook that is made
	By      Person
	At      load.Instant
	Until   load.Instant
	TakenBy Person // empty: nobody
	Taken   load.Instant
	Revoked bool
}

// Open reports whether the link is still good.
func (i *Invitation) Open(now load.Instant) bool {
	return !i.Revoked && i.TakenBy == "" && now < i.Until
}

// InvitationTx keeps invitations.
type InvitationTx interface {
	AddInvitation(Invitation) error
	Invitation(hash string) (Invitation, error)
	Invitations(RunnerID) ([]Invitation, error) // of a runner's logbook, in order of entry
	AllInvitations() ([]Invitation, error)      // in order of entry
	// TakeInvitation marks one as taken; ErrConflict if it is so or revoked already.
	TakeInvitation(hash string, by Person, at load.Instant) error
	RevokeInvitation(hash string) error
	// RevokeInvitations revokes those of a kind that nobody has taken: of a person, or of
	// all if it is empty.
	RevokeInvitations(InvitationKind, Person) error
}

// Invite keeps an invitation and returns its secret, which is told once and not kept. Of
// set-up links and of links to a new password the last alone is good. Whoever calls it sees
// to it that the person may.
func (j *Journal) Invite(ctx context.Context, i Invitation) (secret string, err error) {
	secret = rand.Text()
	i.Hash, i.At = secretHash(secret), j.clock()
	i.Until = i.At.Add(inviteTime)
	if i.Kind == InviteReset {
		i.Until = i.At.Add(resetTime)
	}
	i.Name = cleanName(i.Name)
	err = j.store.Update(ctx, func(tx Tx) error {
		if i.Kind == InviteReset || i.Kind == InviteHost {
			if err := tx.RevokeInvitations(i.Kind, i.Person); err != nil {
				return err
			}
		}
		return tx.AddInvitation(i)
	})
	return secret, err
}

// Invite makes a link into the logbook.
func (b *Book) Invite(ctx context.Context, name string, role Role, medical, plan bool) (secret string, err error) {
	if _, ok := granted[role]; !ok {
		return "", fmt.Errorf("invite: %.20q is no role", string(role))
	}
	if err := b.read(ctx, RightShare, func(Tx) error { return nil }); err != nil {
		return "", err
	}
	return b.journal.Invite(ctx, Invitation{Kind: InviteCare, Runner: b.runner, Role: role, Medical: medical, Plan: plan, Name: name, By: b.person})
}

// Invitations returns the links into the logbook that there ever were, in order of entry.
func (b *Book) Invitations(ctx context.Context) (out []Invitation, err error) {
	err = b.read(ctx, RightShare, func(tx Tx) error {
		out, err = tx.Invitations(b.runner)
		return err
	})
	return out, err
}

// RevokeInvitation makes a link into the logbook useless, at once.
func (b *Book) RevokeInvitation(ctx context.Context, hash string) error {
	return b.write(ctx, RightShare, func(tx Tx) (bool, error) {
		i, err := tx.Invitation(hash)
		if err == nil && i.Runner != b.runner {
			err = notFound("invitation", hash)
		}
		if err != nil {
			return false, err
		}
		return true, tx.RevokeInvitation(hash)
	})
}

// Invitation returns what a secret is for; ErrNotFound if it is not, or no longer, good.
func (j *Journal) Invitation(ctx context.Context, secret string) (i Invitation, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		i, err = tx.Invitation(secretHash(secret))
		return err
	})
	if err == nil && !i.Open(j.clock()) {
		return Invitation{}, notFound("invitation", "that is still good")
	}
	return i, err
}

// Newcomer is what somebody says who makes an account.
type Newcomer struct {
	Name     string
	Password string   // its hash
	Runner   RunnerID // of a host: the logbook that is theirs already; empty: none
	Home     string   // zone of a logbook that is made; empty: as invited
	Logbook  bool     // of a host: make one
}

// Join makes an account by an invitation, lets it in, and returns it. It is ErrConflict if
// the name is taken, ErrNotFound if the link is not good, and ErrOwned if a host takes a
// logbook for theirs that is somebody's.
func (j *Journal) Join(ctx context.Context, secret string, n Newcomer) (a Account, err error) {
	now := j.clock()
	err = j.store.Update(ctx, func(tx Tx) error {
		i, err := openInvitation(tx, secret, now)
		if err != nil {
			return err
		}
		if i.Person != "" {
			return errors.New("join: the link is for an account that there is")
		}
		if a, err = newAccount(n.Name, n.Password, now); err != nil {
			return err
		}
		a.Host = i.Kind == InviteHost
		if _, err := tx.AccountNamed(folded(a.Name)); !isNotFound(err) {
			if err == nil {
				err = fmt.Errorf("join: the name %q is taken: %w", a.Name, ErrConflict)
			}
			return err
		}
		if err := tx.PutAccount(a, folded(a.Name)); err != nil {
			return err
		}
		return j.letIn(tx, i, n, a, now)
	})
	return a, err
}

// letIn takes an invitation for an account.
func (j *Journal) letIn(tx Tx, i Invitation, n Newcomer, a Account, now load.Instant) error {
	if err := tx.TakeInvitation(i.Hash, a.ID, now); err != nil {
		return err
	}
	g := Grant{Person: a.ID, Role: i.Role, Medical: i.Medical, Plan: i.Plan, By: i.By, At: now}
	runner := i.Runner
	if i.Kind == InviteHost {
		g.Role, runner = RoleRunner, n.Runner
		own, err := owners(tx, runner)
		if err == nil && len(own) > 0 {
			err = ErrOwned
		}
		if err != nil {
			return fmt.Errorf("take a logbook: %w", err)
		}
	}
	makes := i.Kind == InviteRunner && i.Runner == "" && i.Role != "" || i.Kind == InviteHost && n.Logbook
	if makes {
		home := i.Home
		if n.Home != "" {
			home = n.Home
		}
		name := a.Name
		if i.Role == RoleGuardian {
			name = i.Name
		}
		r, err := makeRunner(tx, name, home, now)
		if err != nil {
			return err
		}
		runner = r.ID
	}
	if runner == "" {
		return nil
	}
	return admit(tx, runner, g)
}

// admit keeps the grant of somebody new to a logbook. It touches the runner: who is in charge
// is a part of how they stand.
func admit(tx Tx, runner RunnerID, g Grant) error {
	if err := putGrant(tx, runner, g); err != nil {
		return err
	}
	_, err := tx.Touch(runner)
	return err
}

// makeRunner adds a runner whose first day is today where they live.
func makeRunner(tx Tx, name, home string, now load.Instant) (Runner, error) {
	r, err := newRunner(name, home, 0)
	if err != nil {
		return r, err
	}
	if r.FirstUse, err = r.Today(now); err != nil {
		return r, err
	}
	return r, tx.AddRunner(r)
}

// Accept takes an invitation into a logbook for an account that there is; ErrOwned if the
// logbook is their own.
func (j *Journal) Accept(ctx context.Context, secret string, id Person) (runner RunnerID, err error) {
	now := j.clock()
	err = j.store.Update(ctx, func(tx Tx) error {
		i, err := openInvitation(tx, secret, now)
		if err != nil {
			return err
		}
		if i.Kind != InviteCare {
			return fmt.Errorf("accept: the link is not into a logbook: %w", ErrConflict)
		}
		a, err := tx.Account(id)
		if err != nil {
			return err
		}
		runner = i.Runner
		own, err := owners(tx, runner)
		if err == nil && slices.Contains(own, id) {
			err = ErrOwned
		}
		if err != nil {
			return fmt.Errorf("accept: %w", err)
		}
		return j.letIn(tx, i, Newcomer{}, a, now)
	})
	return runner, err
}

// Reset takes a link to a new password: it keeps the hash, drops one-time codes, and ends
// every sign-in of the account.
func (j *Journal) Reset(ctx context.Context, secret, password string) (a Account, err error) {
	now := j.clock()
	err = j.store.Update(ctx, func(tx Tx) error {
		i, err := openInvitation(tx, secret, now)
		if err != nil {
			return err
		}
		if i.Kind != InviteReset {
			return fmt.Errorf("reset: the link is for something else: %w", ErrConflict)
		}
		if a, err = tx.Account(i.Person); err != nil {
			return err
		}
		a.Password, a.Second, a.SecondUsed, a.Closed = password, "", 0, false
		if err := tx.PutAccount(a, folded(a.Name)); err != nil {
			return err
		}
		if err := tx.DropSignIns(a.ID); err != nil {
			return err
		}
		return tx.TakeInvitation(i.Hash, a.ID, now)
	})
	return a, err
}

// Enter takes a link into an account and returns whose it is.
func (j *Journal) Enter(ctx context.Context, secret string) (id Person, err error) {
	now := j.clock()
	err = j.store.Update(ctx, func(tx Tx) error {
		i, err := openInvitation(tx, secret, now)
		if err != nil {
			return err
		}
		if id = i.Person; i.Kind != InviteEnter {
			return fmt.Errorf("enter: the link is for something else: %w", ErrConflict)
		}
		return tx.TakeInvitation(i.Hash, id, now)
	})
	return id, err
}

func openInvitation(tx Tx, secret string, now load.Instant) (Invitation, error) {
	i, err := tx.Invitation(secretHash(secret))
	if err == nil && !i.Open(now) {
		err = notFound("invitation", "that is still good")
	}
	return i, err
}

// KeepChild makes a logbook of a child, which the person owns as guardian.
func (j *Journal) KeepChild(ctx context.Context, guardian Person, name, home string) (r Runner, err error) {
	now := j.clock()
	err = j.store.Update(ctx, func(tx Tx) error {
		if r, err = makeRunner(tx, name, home, now); err != nil {
			return err
		}
		return admit(tx, r.ID, Grant{Person: guardian, Role: RoleGuardian, By: guardian, At: now})
	})
	return r, err
}
