package journal

import (
	"context"
	"fmt"

	"tidemark/load"
)

// decoded is what Rederive holds of one original: its sessions are small, its
// bytes are not.
type decoded struct {
	sessions []load.Session
	rests    []load.Day
}

// Rederive rebuilds the runner's sessions from the kept originals in one
// transaction and stamps them with the journal's versions. The decode function
// is called for one original after another, in order of arrival, outside of
// any transaction, so that others can write meanwhile. If it returns an error
// nothing changes.
//
// Zone decisions and rest days that are kept stand. Findings stay, with their
// states, until KeepFindings hears what the rules find now; the standing row
// goes stale, because the revision rises.
func (b *Book) Rederive(ctx context.Context, decode func(Original) ([]load.Session, []load.Day, error)) error {
	have := make(map[Sum]decoded)
	for {
		originals, err := b.Originals(ctx)
		if err != nil {
			return err
		}
		for _, o := range originals {
			if _, ok := have[o.Sum]; ok {
				continue
			}
			if have[o.Sum], err = b.decode(ctx, o.Sum, decode); err != nil {
				return fmt.Errorf("rederive %s: %w", o.Path, err)
			}
		}
		if done, err := b.replace(ctx, have); done || err != nil {
			return err
		}
	}
}

func (b *Book) decode(ctx context.Context, sum Sum, decode func(Original) ([]load.Session, []load.Day, error)) (d decoded, err error) {
	var o Original
	var packed []byte
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		if o, packed, err = tx.Original(b.runner, sum); err != nil {
			return err
		}
		zones, err := tx.ZonesOf(b.runner, sum)
		o.Zones = bySession(zones)
		return err
	})
	if err != nil {
		return d, err
	}
	if o.Bytes, err = o.unpack(packed); err != nil {
		return d, err
	}
	d.sessions, d.rests, err = decode(o)
	return d, err
}

// replace reports false if an original has arrived that is not decoded yet.
func (b *Book) replace(ctx context.Context, have map[Sum]decoded) (done bool, err error) {
	err = b.write(ctx, RightLoad, func(tx Tx) (bool, error) {
		done = false
		originals, err := tx.Originals(b.runner)
		if err != nil {
			return false, err
		}
		for _, o := range originals {
			if _, ok := have[o.Sum]; !ok {
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
			return fmt.Errorf("rederive %s: %w", o.Path, err)
		}
		if _, err := putRests(tx, b.runner, o.Sum, d.rests); err != nil {
			return fmt.Errorf("rederive %s: %w", o.Path, err)
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
