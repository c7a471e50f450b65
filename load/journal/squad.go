package journal

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"tidemark/load"
)

// Row is a runner as lists show them, as far as the person may see.
type Row struct {
	Logbook
	Today    load.Day
	Standing Standing
	Visit    *Note   // of the last one; nil: none, or not for the person to see
	Word     *Note   // the last to the runner by a clinician; nil: none, or not for the person to see
	Group    string  // that the person put them in
	Before   *Glance // how they stood when the person last looked; nil: never
	last     *Glance // as it is kept
}

// ListKind is a list over runners.
type ListKind string

// The lists.
const (
	ListSquad    ListKind = "squad"
	ListCaseload ListKind = "caseload"
)

// SquadTx keeps what a person has of many runners.
type SquadTx interface {
	// AllGrantsOf returns the last grant of a person for each runner, if it was not revoked.
	AllGrantsOf(Person) (map[RunnerID]Grant, error)
	PutGroup(Person, RunnerID, string) error // an empty name takes it back
	Groups(Person) (map[RunnerID]string, error)
}

// Rows returns the runners that a person may see, with how they stand today and what they
// last saw of them, in order of name. Rows that went stale are made anew first.
func (j *Journal) Rows(ctx context.Context, person Person, list ListKind) (rows []Row, err error) {
	if rows, err = j.rows(ctx, person, list); err != nil {
		return nil, err
	}
	stale, err := j.renew(ctx, person, rows)
	if err != nil || !stale {
		return rows, err
	}
	return j.rows(ctx, person, list)
}

func (j *Journal) rows(ctx context.Context, person Person, list ListKind) (rows []Row, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		rows, err = j.readRows(tx, person, list)
		return err
	})
	slices.SortFunc(rows, func(a, b Row) int { return strings.Compare(a.Name, b.Name) })
	return rows, err
}

// readRows joins what there is of many runners, each kind with one query.
func (j *Journal) readRows(tx Tx, person Person, list ListKind) (rows []Row, err error) {
	runners, err := runnersOf(tx, person)
	if err != nil {
		return nil, err
	}
	grants, err := tx.AllGrantsOf(person)
	if err != nil {
		return nil, err
	}
	standings, err := tx.Standings(person)
	if err != nil {
		return nil, err
	}
	groups, err := tx.Groups(person)
	if err != nil {
		return nil, err
	}
	glances, err := tx.Glances(person, list)
	if err != nil {
		return nil, err
	}
	visits, err := tx.LastVisits(person)
	if err != nil {
		return nil, err
	}
	words, err := tx.LastWords(person)
	if err != nil {
		return nil, err
	}
	of := make(map[RunnerID]Standing, len(standings))
	for _, s := range standings {
		of[s.Runner] = s
	}
	for _, r := range runners {
		g, granted := grants[r.ID]
		row := Row{Logbook: Logbook{Runner: r}, Standing: of[r.ID], Group: groups[r.ID]}
		if row.Today, err = r.Today(j.clock()); err != nil {
			return nil, err
		}
		rights := AllRights
		if granted {
			rights, row.Role = g.rights(), g.Role
		}
		row.Medical, row.Plan = rights.Has(RightMedical), rights.Has(RightPlan)
		if !row.Medical {
			row.Standing = row.Standing.shared()
		} else {
			row.Visit, row.Word = noteIn(visits, r.ID), noteIn(words, r.ID)
		}
		if seen, ok := glances[r.ID]; ok {
			row.last, row.Before = &seen, seen.before(j.clock())
		}
		rows = append(rows, row)
	}
	return rows, nil
}

func noteIn(of map[RunnerID]Note, id RunnerID) *Note {
	n, ok := of[id]
	if !ok {
		return nil
	}
	return &n
}

// renewAtOnce is how many runners are made anew at the same time; project default.
const renewAtOnce = 4

// renew makes rows anew that went stale, and reports whether there were any. What cannot be
// written is shown as it was.
func (j *Journal) renew(ctx context.Context, person Person, rows []Row) (stale bool, err error) {
	var working sync.WaitGroup
	turns := make(chan struct{}, renewAtOnce)
	faults := make([]error, len(rows))
	for i := range rows {
		row := &rows[i]
		if row.Standing.fresh(row.Runner, row.Today, j.versions) {
			continue
		}
		stale = true
		turns <- struct{}{}
		working.Go(func() {
			defer func() { <-turns }()
			b := &Book{j, person, row.ID}
			if err := b.Refresh(ctx, row.Today); err != nil && !passes(err) {
				faults[i] = fmt.Errorf("renew standing: %w", err)
			}
		})
	}
	working.Wait()
	return stale, errors.Join(faults...)
}

// PutGroup puts a runner in a group of the person's own; an empty name takes them out.
func (b *Book) PutGroup(ctx context.Context, name string) error {
	name = cleanName(name)
	if name != "" {
		if err := checkName(name); err != nil {
			return fmt.Errorf("group: %w", err)
		}
	}
	return b.write(ctx, RightLoad, func(tx Tx) (bool, error) { return false, tx.PutGroup(b.person, b.runner, name) })
}
