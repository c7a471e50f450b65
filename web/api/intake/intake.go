// Package intake is the way from bytes to the journal: unpack, decode, reduce,
// pack, and keep in groups of one commit. The import command and the upload page
// both go it, so that a file means the same wherever it was handed in.
//
// It judges nothing itself. What a file holds is the business of ingest, what a
// run asks of the tendon that of load, what is kept that of load/journal.
package intake

import (
	"context"
	"fmt"
	"iter"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
)

// Options are what reading a file needs to know besides its bytes.
type Options struct {
	Limits ingest.Limits
	Now    load.Instant
	Home   *time.Location // of the runner
}

// Entry is one recording on its way: what there is to keep of it, or why it is
// refused.
type Entry struct {
	File      int // which of the files it is from, from 0; set by Take
	Path      string
	Recording journal.Recording // meaningless with Err, and with Mornings
	Mornings  []journal.Morning
	Err       error
}

// Known is the recordings that a journal holds already, which need no decoding.
type Known map[journal.Sum]bool

// KnownTo lists what book holds now. What is added by somebody else meanwhile is
// only decoded in vain: the journal keeps nothing twice.
func KnownTo(ctx context.Context, book *journal.Book) (Known, error) {
	originals, err := book.Originals(ctx)
	if err != nil {
		return nil, err
	}
	known := make(Known, len(originals))
	for _, o := range originals {
		known[o.Sum] = true
	}
	return known, nil
}

// Read yields every recording of a member of a file in order. One that is known
// comes without sessions.
func Read(m ingest.Member, known Known, opt Options) iter.Seq[Entry] {
	return func(yield func(Entry) bool) {
		for rec, err := range m.Recordings() {
			e := Entry{Path: rec.Path, Err: err}
			if err == nil {
				e = read(rec, known, opt)
			}
			if !yield(e) {
				return
			}
		}
	}
}

func read(rec ingest.Recording, known Known, opt Options) Entry {
	e := Entry{Path: rec.Path, Recording: journal.Recording{Sum: rec.Sum(), Path: rec.Path, Size: int64(len(rec.Data))}}
	if known[e.Recording.Sum] {
		return e
	}
	if rec.IsMornings() {
		e.Mornings, e.Err = morningsOf(rec, opt)
		return e
	}
	format, sessions, rests, err := Decode(rec, opt, nil)
	if err != nil {
		e.Err = err
		return e
	}
	e.Recording.Format = string(format)
	e.Recording.Sessions, e.Recording.Rests = sessions, rests
	e.Recording.Packed = journal.Pack(rec.Data)
	return e
}

// morningsOf reads what a file says of mornings.
func morningsOf(rec ingest.Recording, opt Options) (out []journal.Morning, err error) {
	got, err := rec.Decode(ingest.Options{Limits: opt.Limits, Now: opt.Now, Home: opt.Home})
	for _, row := range got.Mornings {
		out = append(out, journal.Morning{Morning: row.Morning, Entered: row.Entered})
	}
	return out, err
}

// Decided is what was decided of a recording's sessions since it came, by session
// ID: zones that stand, and what the runner said. Nil is nothing.
type Decided struct {
	Zones map[string]journal.ZoneDecision
	Edits map[string]load.Edit
}

// Decode reads a recording and reduces its activities to sessions, named as the
// journal names them.
func Decode(rec ingest.Recording, opt Options, decided *Decided) (ingest.Format, []load.Session, []load.Day, error) {
	if decided == nil {
		decided = new(Decided)
	}
	got, err := decode(rec, opt, decided.Zones)
	if err != nil {
		return "", nil, nil, err
	}
	sessions := make([]load.Session, len(got.named))
	for i, n := range got.named {
		sessions[i] = decided.Edits[n.id].Reduce(n.id, n.activity, n.zone)
	}
	return got.Format, sessions, got.Rests, nil
}

// Redo returns what Rederive and Edit ask for: an original decoded anew, in the
// zones that were decided when it came, with what the runner said of it.
func Redo(opt Options) func(journal.Original) ([]load.Session, []load.Day, error) {
	return func(o journal.Original) ([]load.Session, []load.Day, error) {
		_, sessions, rests, err := Decode(recordingOf(&o), opt, &Decided{o.Zones, o.Edits})
		return sessions, rests, err
	}
}

// Activity decodes an original as OriginalOf returns it, and returns the one
// activity that became the session, as the file tells it. It is
// journal.ErrNotFound if none did.
func Activity(o journal.Original, session string, opt Options) (load.Activity, error) {
	got, err := decode(recordingOf(&o), opt, o.Zones)
	if err != nil {
		return load.Activity{}, err
	}
	for _, n := range got.named {
		if n.id == session {
			return *n.activity, nil
		}
	}
	return load.Activity{}, fmt.Errorf("find session %q in %s: %w", session, o.Sum, journal.ErrNotFound)
}

func recordingOf(o *journal.Original) ingest.Recording {
	return ingest.Recording{Path: o.Path, Data: o.Bytes}
}

// decoded is a recording with its activities named.
type decoded struct {
	ingest.Decoded
	named []named
}

// named is an activity with the name and zone of its session.
type named struct {
	id       string
	zone     load.Zone
	activity *load.Activity
}

// decode reads a recording. A zone that was decided before stands, and a typed row
// starts by its clock.
func decode(rec ingest.Recording, opt Options, zones map[string]journal.ZoneDecision) (decoded, error) {
	got, err := rec.Decode(ingest.Options{Limits: opt.Limits, Now: opt.Now, Home: opt.Home})
	if err != nil {
		return decoded{}, err
	}
	out := decoded{got, make([]named, 0, len(got.Activities))}
	sum := rec.Sum()
	starts := make(map[int64]int)
	for i := range got.Activities {
		a := &got.Activities[i]
		second := int64(a.Start) / 1000
		starts[second]++
		id := journal.ID(sum, a.Start, starts[second])
		if a.Typed != nil {
			id = journal.RowID(a)
		}
		zone := zones[id].Zone
		if _, ok := zones[id]; !ok {
			zone = ingest.ZoneOf(a, opt.Home)
		} else if a.Typed != nil {
			a.Start = a.Typed.On(zone.Offset)
		}
		out.named = append(out.named, named{id, zone, a})
	}
	return out, nil
}
