package journal

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"tidemark/load"
)

// Grant is what a person may do with a runner's logbook, or that it is over.
type Grant struct {
	Person  Person
	Role    Role
	Medical bool // of a coach: sees medical detail
	Plan    bool // of a coach: may set the ramp downwards
	Revoked bool
	By      Person
	At      load.Instant
}

// GrantTx keeps grants.
type GrantTx interface {
	PutGrant(RunnerID, Grant) error
	Grants(RunnerID) ([]Grant, error)   // in order of entry
	RunnersOf(Person) ([]Runner, error) // those with a grant that stands, in no order
}

// standingGrants returns the last grant of each person that was not revoked, in order of
// entry.
func standingGrants(grants []Grant) (stand []Grant) {
	for i, g := range grants {
		later := func(o Grant) bool { return o.Person == g.Person }
		if !g.Revoked && !slices.ContainsFunc(grants[i+1:], later) {
			stand = append(stand, g)
		}
	}
	return stand
}

// owners returns who owns a logbook.
func owners(tx Tx, runner RunnerID) (own []Person, err error) {
	grants, err := tx.Grants(runner)
	for _, g := range standingGrants(grants) {
		if g.Role.Owns() {
			own = append(own, g.Person)
		}
	}
	return own, err
}

// Ownerless returns the runners whose logbook nobody owns, in order of name.
func (j *Journal) Ownerless(ctx context.Context) (out []Runner, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		all, err := tx.Runners()
		if err != nil {
			return err
		}
		out = nil
		for _, r := range all {
			own, err := owners(tx, r.ID)
			if err != nil {
				return err
			}
			if len(own) == 0 {
				out = append(out, r)
			}
		}
		return nil
	})
	slices.SortFunc(out, func(a, b Runner) int { return strings.Compare(a.Name, b.Name) })
	return out, err
}

// Member is somebody of a runner's care team, or who owns the logbook.
type Member struct {
	Grant
	Name string
}

// Role returns what the person is to the runner; empty: nothing but at the machine.
func (b *Book) Role(ctx context.Context) (role Role, err error) {
	err = b.read(ctx, 0, func(tx Tx) error {
		grants, err := tx.Grants(b.runner)
		for _, g := range standingGrants(grants) {
			if g.Person == b.person {
				role = g.Role
			}
		}
		return err
	})
	return role, err
}

// Team returns who may see the logbook, in order of entry.
func (b *Book) Team(ctx context.Context) (team []Member, err error) {
	err = b.read(ctx, RightShare, func(tx Tx) error {
		team = nil
		grants, err := tx.Grants(b.runner)
		if err != nil {
			return err
		}
		for _, g := range standingGrants(grants) {
			a, err := tx.Account(g.Person)
			if err != nil {
				return err
			}
			team = append(team, Member{g, a.Name})
		}
		return nil
	})
	return team, err
}

// Grants returns everything that was ever granted and revoked, in order of entry.
func (b *Book) Grants(ctx context.Context) (out []Grant, err error) {
	err = b.read(ctx, RightShare, func(tx Tx) error {
		out, err = tx.Grants(b.runner)
		return err
	})
	return out, err
}

// errLastOwner keeps a logbook from being nobody's.
var errLastOwner = errors.New("somebody must own the logbook")

// Grant lets a person in, or changes what they may; the last owner stays one.
func (b *Book) Grant(ctx context.Context, to Person, role Role, medical, plan bool) error {
	return b.write(ctx, RightShare, func(tx Tx) (bool, error) {
		return true, putGrant(tx, b.runner, Grant{to, role, medical, plan, false, b.person, b.now()})
	})
}

// Revoke ends what a person may, at once; ErrNotFound if they may nothing. Whoever is let
// in may also leave by themselves.
func (b *Book) Revoke(ctx context.Context, from Person) error {
	need := RightShare
	if from == b.person {
		need = 0
	}
	return b.write(ctx, need, func(tx Tx) (bool, error) {
		grants, err := tx.Grants(b.runner)
		if err != nil {
			return false, err
		}
		stand := standingGrants(grants)
		i := slices.IndexFunc(stand, func(g Grant) bool { return g.Person == from })
		if i < 0 {
			return false, notFound("person", string(from))
		}
		g := stand[i]
		g.Revoked, g.By, g.At = true, b.person, b.now()
		return true, putGrant(tx, b.runner, g)
	})
}

// putGrant keeps a grant, unless it would leave the logbook without an owner who had one.
func putGrant(tx Tx, runner RunnerID, g Grant) error {
	if _, ok := granted[g.Role]; !ok {
		return fmt.Errorf("grant: %.20q is no role", string(g.Role))
	}
	before, err := tx.Grants(runner)
	if err != nil {
		return err
	}
	owns := func(g Grant) bool { return g.Role.Owns() }
	had := slices.ContainsFunc(standingGrants(before), owns)
	if had && !slices.ContainsFunc(standingGrants(append(before, g)), owns) {
		return fmt.Errorf("grant: %w", errLastOwner)
	}
	return tx.PutGrant(runner, g)
}

// IsLastOwner reports whether an error says that a logbook would be nobody's.
func IsLastOwner(err error) bool { return errors.Is(err, errLastOwner) }

// Logbook is a runner with what a person is to them.
type Logbook struct {
	Runner
	Role    Role // empty at the machine
	Medical bool
	Plan    bool
}

// Logbooks returns the runners that a person may see, with what they are to them, in order
// of name.
func (j *Journal) Logbooks(ctx context.Context, person Person) (out []Logbook, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		all, err := runnersOf(tx, person)
		if err != nil {
			return err
		}
		out = nil
		for _, r := range all {
			book := Logbook{Runner: r}
			grants, err := tx.Grants(r.ID)
			if err != nil {
				return err
			}
			for _, g := range standingGrants(grants) {
				if g.Person == person {
					book.Role, book.Medical, book.Plan = g.Role, g.rights().Has(RightMedical), g.rights().Has(RightPlan)
				}
			}
			out = append(out, book)
		}
		return nil
	})
	slices.SortFunc(out, func(a, b Logbook) int { return strings.Compare(a.Name, b.Name) })
	return out, err
}

// ChangeCoach changes what a coach may; ErrNotFound if the person is none.
func (b *Book) ChangeCoach(ctx context.Context, coach Person, medical, plan bool) error {
	return b.write(ctx, RightShare, func(tx Tx) (bool, error) {
		grants, err := tx.Grants(b.runner)
		if err != nil {
			return false, err
		}
		if !slices.ContainsFunc(standingGrants(grants), func(g Grant) bool { return g.Person == coach && g.Role == RoleCoach }) {
			return false, notFound("coach", string(coach))
		}
		return true, tx.PutGrant(b.runner, Grant{coach, RoleCoach, medical, plan, false, b.person, b.now()})
	})
}
