package journal

import (
	"context"
	"fmt"

	"tidemark/load"
)

// Recording is one file, decoded and reduced, to be kept.
type Recording struct {
	Sum    Sum
	Path   string // where it came from
	Format string
	Size   int64  // inflated, in bytes
	Packed []byte // what Pack made of the inflated bytes

	Sessions []load.Session // typed ones with the ID that RowID gives
	Rests    []load.Day     // rest days of a diary
}

// Outcome says what became of a recording.
type Outcome struct {
	// Added is false if the recording brought nothing new.
	Added bool
	// Sessions are the recording's sessions as they are kept now.
	Sessions []load.Session
	// NewSessions and NewRests count what was not there before. In a diary
	// that was handed in with more rows the others were.
	NewSessions, NewRests int
}

// Add keeps a group of recordings in one commit: all of them or, with an
// error, none. Outcomes are in the order of the group. A recording whose sum is
// there is left as it is; so is a typed row whose ID is there. Original bytes
// with a new sum are always kept.
//
// If sessions of the runner were made by other versions, Add is ErrStale.
func (b *Book) Add(ctx context.Context, group []Recording) ([]Outcome, error) {
	out := make([]Outcome, len(group))
	err := b.write(ctx, RightRecord, func(tx Tx) (changed bool, err error) {
		if err := b.checkFresh(tx); err != nil {
			return false, fmt.Errorf("add recordings: %w", err)
		}
		for i := range group {
			var wrote bool
			if out[i], wrote, err = b.add(tx, &group[i]); err != nil {
				return false, fmt.Errorf("keep %s: %w", group[i].Sum, err)
			}
			changed = changed || wrote
		}
		if changed {
			err = tx.PutStamp(b.runner, SessionPart, b.journal.versions)
		}
		return changed, err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

func (b *Book) add(tx Tx, r *Recording) (o Outcome, wrote bool, err error) {
	if has, err := tx.HasOriginal(b.runner, r.Sum); err != nil {
		return o, false, err
	} else if has {
		o.Sessions, err = tx.SessionsOf(b.runner, r.Sum)
		return o, false, err
	}
	original := Original{Sum: r.Sum, Path: r.Path, Format: r.Format, Size: r.Size, Added: b.now()}
	if err := tx.PutOriginal(b.runner, original, r.Packed); err != nil {
		return o, false, err
	}
	o.Sessions = named(r.Sum, r.Sessions)
	if o.NewSessions, err = putSessions(tx, b.runner, r.Sum, o.Sessions, nil); err != nil {
		return o, false, err
	}
	o.NewRests, err = putRests(tx, b.runner, r.Sum, r.Rests)
	o.Added = o.NewSessions > 0 || o.NewRests > 0
	return o, true, err
}

// putSessions writes the named sessions of one recording and brings each to
// what is kept: a decided zone and day stand over what the decoder says now, though
// not over a date that the runner gave, and a typed row that is there stands over its repetition.
func putSessions(tx Tx, runner RunnerID, sum Sum, sessions []load.Session, decided map[string]ZoneDecision) (added int, err error) {
	for i := range sessions {
		s := &sessions[i]
		if s.Typed {
			if has, err := tx.HasSession(runner, s.ID); err != nil {
				return added, err
			} else if has {
				if *s, err = tx.Session(runner, s.ID); err != nil {
					return added, err
				}
				continue
			}
		}
		if d, ok := decided[s.ID]; ok {
			s.Zone = d.Zone
			if !s.Notes.Has(load.NoteDay) {
				s.Day = d.Day
			}
		} else if err := tx.PutZone(runner, ZoneDecision{s.ID, sum, s.Zone, s.Day}); err != nil {
			return added, err
		}
		if err := tx.AddSession(runner, sum, *s); err != nil {
			return added, err
		}
		added++
	}
	return added, nil
}
