package journal

import (
	"context"
	"fmt"
	"slices"

	"tidemark/load"
)

// decoded is what Rederive holds of one original: its sessions are small, its
// bytes are not.
type decoded struct {
	sessions []load.Session // named
	rests    []load.Day
	edits    int // how many of the runner's were known to it
}

// has reports whether the session with the ID is one of them.
func (d *decoded) has(session string) bool {
	return slices.ContainsFunc(d.sessions, func(s load.Session) bool { return s.ID == session })
}

// outdated reports whether one of them was edited since.
func (d *decoded) outdated(edits []Edit) bool {
	return slices.ContainsFunc(edits[d.edits:], func(e Edit) bool { return d.has(e.Session) })
}

// Rederive rebuilds the runner's sessions from the kept originals in one
// transaction and stamps them with the journal's versions. The decode function
// is called for one original after another, in order of arrival, outside of
// any transaction, so that others can write meanwhile; what was edited meanwhile
// is decoded once more. If it returns an error nothing changes.
//
// Edits, zone decisions and rest days that are kept stand. Findings stay, with their
// states, until KeepFindings hears what the rules find now; the standing row
// goes stale, because the revision rises.
func (b *Book) Rederive(ctx context.Context, decode func(Original) ([]load.Session, []load.Day, error)) error {
	have := make(map[Sum]decoded)
	for {
		originals, edits, err := b.sources(ctx)
		if err != nil {
			return err
		}
		applied, err := Applied(edits)
		if err != nil {
			return err
		}
		for _, o := range originals {
			if d, ok := have[o.Sum]; ok && !d.outdated(edits) {
				continue
			}
			d, err := b.decode(ctx, o.Sum, applied, decode)
			if err != nil {
				return fmt.Errorf("rederive %s: %w", o.Sum, err)
			}
			d.edits = len(edits)
			have[o.Sum] = d
		}
		if done, err := b.replace(ctx, have); done || err != nil {
			return err
		}
	}
}

// sources returns what the runner's sessions are derived from.
func (b *Book) sources(ctx context.Context) (originals []Original, edits []Edit, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		if originals, err = tx.Originals(b.runner); err != nil {
			return err
		}
		edits, err = tx.Edits(b.runner)
		return err
	})
	return originals, edits, err
}

// decode decodes a recording with edits as they are, or will be.
func (b *Book) decode(ctx context.Context, sum Sum, edits map[string]load.Edit, decode func(Original) ([]load.Session, []load.Day, error)) (d decoded, err error) {
	var o Original
	var packed []byte
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		o, packed, err = b.original(tx, sum, edits)
		return err
	})
	if err != nil {
		return d, err
	}
	if o.Bytes, err = o.unpack(packed); err != nil {
		return d, err
	}
	sessions, rests, err := decode(o)
	return decoded{sessions: named(sum, sessions), rests: rests}, err
}

// replace reports false if an original has arrived or was edited since it was
// decoded.
func (b *Book) replace(ctx context.Context, have map[Sum]decoded) (done bool, err error) {
	err = b.write(ctx, RightLoad, func(tx Tx) (bool, error) {
		done = false
		originals, err := tx.Originals(b.runner)
		if err != nil {
			return false, err
		}
		edits, err := tx.Edits(b.runner)
		if err != nil {
			return false, err
		}
		for _, o := range originals {
			if d, ok := have[o.Sum]; !ok || d.outdated(edits) {
				return false, nil
			}
		}
		done = true
		return true, b.rebuild(tx, originals, have)
	})
	return done, err
}

func (b *Book) rebuild(tx Tx, originals []Original, have map[Sum]decoded) error {
	zones, err := tx.Zones(b.runner)
	if err != nil {
		return err
	}
	decided := bySession(zones)
	if err := tx.DropSessions(b.runner); err != nil {
		return err
	}
	for _, o := range originals {
		d := have[o.Sum]
		if _, err := putSessions(tx, b.runner, o.Sum, named(o.Sum, d.sessions), decided); err != nil {
			return fmt.Errorf("rederive %s: %w", o.Sum, err)
		}
		if _, err := putRests(tx, b.runner, o.Sum, d.rests); err != nil {
			return fmt.Errorf("rederive %s: %w", o.Sum, err)
		}
	}
	return tx.PutStamp(b.runner, SessionPart, b.journal.versions)
}

func bySession(zones []ZoneDecision) map[string]ZoneDecision {
	out := make(map[string]ZoneDecision, len(zones))
	for _, z := range zones {
		out[z.Session] = z
	}
	return out
}
