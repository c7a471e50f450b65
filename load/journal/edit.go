package journal

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"tidemark/load"
)

// Edit is one thing that a person said of a session which its recording could
// not know. Rows are added, never changed; the last one of a session and field
// holds. They stay when sessions are derived anew.
type Edit struct {
	Session string // ID
	Field   string // a key of load.EditTable
	Value   string // in the words of its load.EditField; empty: taken back
	By      Person
	At      load.Instant
}

// EditTx keeps edits.
type EditTx interface {
	PutEdit(RunnerID, Edit) error
	Edits(RunnerID) ([]Edit, error)           // in order of entry
	EditsOf(RunnerID, string) ([]Edit, error) // of a session, in order of entry
}

// Applied returns what edits, which are in order of entry, say of each session,
// by its ID. Fields that this version does not know are left out; a value that
// its field cannot have is ErrDamaged.
func Applied(edits []Edit) (map[string]load.Edit, error) {
	out := make(map[string]load.Edit)
	for _, e := range edits {
		if _, err := load.FindEditField(e.Field); err != nil {
			continue
		}
		said := out[e.Session]
		if err := said.Set(e.Field, e.Value); err != nil {
			return nil, fmt.Errorf("read edit of session %s: %w: %w", e.Session, ErrDamaged, err)
		}
		out[e.Session] = said
	}
	return out, nil
}

// Edits returns everything that was ever said of a session, in order of entry.
// Of a session that is not there nothing was.
func (b *Book) Edits(ctx context.Context, session string) (out []Edit, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		out, err = tx.EditsOf(b.runner, session)
		return err
	})
	return out, err
}

// Edit keeps new values for fields of a session, by the keys of load.EditTable,
// and derives the sessions of its recording anew with them. An empty value takes
// a field back to what the file says; a value that holds already is not written
// again, and if none is new nothing is. The decode function is called outside of
// any transaction, once more for each time that the runner changed meanwhile.
// Findings stay until KeepFindings hears what the rules find now.
//
// seen is how many edits of the session the person knew of: with another number
// it is ErrConflict. A session that is not there is ErrNotFound. If sessions of
// the runner were made by other versions, it is ErrStale. A field or value that
// cannot be is an error, too. With any error nothing changes.
func (b *Book) Edit(ctx context.Context, session string, seen int, changes map[string]string, decode func(Original) ([]load.Session, []load.Day, error)) error {
	if err := checkChanges(changes); err != nil {
		return fmt.Errorf("edit session %s: %w", session, err)
	}
	for {
		done, err := b.tryEdit(ctx, session, seen, changes, decode)
		if err != nil {
			return fmt.Errorf("edit session %s: %w", session, err)
		}
		if done {
			return nil
		}
	}
}

func checkChanges(changes map[string]string) error {
	var said load.Edit
	for _, key := range slices.Sorted(maps.Keys(changes)) {
		if err := said.Set(key, changes[key]); err != nil {
			return err
		}
	}
	return nil
}

// tryEdit reports false if the runner changed between reading and writing.
func (b *Book) tryEdit(ctx context.Context, session string, seen int, changes map[string]string, decode func(Original) ([]load.Session, []load.Day, error)) (done bool, err error) {
	p, err := b.planEdit(ctx, session, seen, changes)
	if err != nil || len(p.rows) == 0 {
		return true, err
	}
	d, err := b.decode(ctx, p.sum, p.applied, decode)
	switch {
	case err != nil:
		return false, err
	case !d.has(session):
		return false, fmt.Errorf("decode recording %v: it holds no such session any more", p.sum)
	}
	return b.keepEdit(ctx, p, d.sessions)
}

// editPlan is what an edit comes to, as of one revision of the runner.
type editPlan struct {
	revision int64
	sum      Sum                  // of the session's recording
	rows     []Edit               // to be added
	applied  map[string]load.Edit // all of the runner's, with those
}

func (b *Book) planEdit(ctx context.Context, session string, seen int, changes map[string]string) (p editPlan, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		if p.sum, err = tx.SumOf(b.runner, session); err != nil {
			return err
		}
		if err := b.checkFresh(tx); err != nil {
			return err
		}
		r, err := tx.Runner(b.runner)
		if err != nil {
			return err
		}
		p.revision = r.Revision
		edits, err := tx.Edits(b.runner)
		if err != nil {
			return err
		}
		if there := countOf(edits, session); there != seen {
			return fmt.Errorf("%d edits are there, %d were seen: %w", there, seen, ErrConflict)
		}
		if p.applied, err = Applied(edits); err != nil {
			return err
		}
		p.rows, err = newRows(Edit{Session: session, By: b.person, At: b.now()}, p.applied[session], changes)
		if err != nil {
			return err
		}
		p.applied, err = Applied(append(edits, p.rows...))
		return err
	})
	return p, err
}

func countOf(edits []Edit, session string) (n int) {
	for _, e := range edits {
		if e.Session == session {
			n++
		}
	}
	return n
}

// newRows returns a row for each change of what holds, in the order of the table
// of fields. of is what the rows share.
func newRows(of Edit, holds load.Edit, changes map[string]string) (rows []Edit, err error) {
	said := holds
	for _, f := range load.EditTable {
		value, ok := changes[f.Key]
		if !ok {
			continue
		}
		if err := said.Set(f.Key, value); err != nil {
			return nil, err
		}
		before, after := f.Of(holds), f.Of(said)
		if before == after {
			continue
		}
		if value == "" {
			after = ""
		}
		of.Field, of.Value = f.Key, after
		rows = append(rows, of)
	}
	return rows, nil
}

func (b *Book) keepEdit(ctx context.Context, p editPlan, sessions []load.Session) (done bool, err error) {
	err = b.write(ctx, RightRecord, func(tx Tx) (bool, error) {
		done = false
		r, err := tx.Runner(b.runner)
		if err != nil || r.Revision != p.revision {
			return false, err
		}
		done = true
		for _, row := range p.rows {
			if err := tx.PutEdit(b.runner, row); err != nil {
				return false, err
			}
		}
		return true, b.replaceSessions(tx, p.sum, sessions)
	})
	return done, err
}

// replaceSessions puts sessions in the place of those that are of the recording.
// Typed rows that another recording brought stand over their repetition.
func (b *Book) replaceSessions(tx Tx, sum Sum, sessions []load.Session) error {
	zones, err := tx.Zones(b.runner)
	if err != nil {
		return err
	}
	if err := tx.DropSessionsOf(b.runner, sum); err != nil {
		return err
	}
	_, err = putSessions(tx, b.runner, sum, named(sum, sessions), bySession(zones))
	return err
}
