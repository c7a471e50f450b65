package journal

import (
	"context"
	"fmt"
	"slices"

	"tidemark/load"
)

// TakeOverRights are what a person needs to take a whole logbook into another one.
const TakeOverRights = RightLoad | RightMedical | RightRecord | RightTreat | RightShare

// Taken says what became of a logbook from elsewhere.
type Taken struct {
	// Originals are those that are new here.
	Originals []Sum
	// Rows are new here; There were there already, which is said of originals too.
	Rows, There int
	// Left were left out: what is said of recordings that did not come along.
	Left int
}

// Changed reports whether anything is new.
func (t *Taken) Changed() bool { return t.Rows > 0 || len(t.Originals) > 0 }

// TakeOver puts what was kept of a runner elsewhere into the runner's book, in one commit.
// packed returns the bytes of an original as Pack makes them; it is called for each original
// that is not there. One that it answers with ErrNotFound is left out, and with it what was
// said of its sessions.
//
// Who entered a row is named as a person of elsewhere. What is there already is not
// put again, and what differs stands beside it: rows of a history by when they were entered,
// so that the later one stands; a complaint or a routine of the same name under the next
// name. A zone that was decided here stands. If nothing is kept of the runner yet, home zone
// and first use are those of k. Sessions are stale afterwards (see Rederive), as far as
// anything of theirs is new.
//
// What k holds is checked first (see Kept.Check): what does not fit is ErrUnfit. With any
// error nothing changes.
func (b *Book) TakeOver(ctx context.Context, k *Kept, packed func(Sum) ([]byte, error)) (t Taken, err error) {
	if err := k.Check(b.now()); err != nil {
		return Taken{}, fmt.Errorf("%w: %w", ErrUnfit, err)
	}
	err = b.write(ctx, TakeOverRights, func(tx Tx) (bool, error) {
		t = Taken{}
		err := b.takeOver(tx, *k, packed, &t)
		return t.Changed(), err
	})
	if err != nil {
		return Taken{}, fmt.Errorf("take over logbook: %w", err)
	}
	return t, nil
}

// TakeOver makes a runner of what was kept of one elsewhere, all in one commit (see
// Book.TakeOver). Without a name it is the runner's own. It is for whoever can open the file
// of the journal.
func (j *Journal) TakeOver(ctx context.Context, name string, k *Kept, packed func(Sum) ([]byte, error)) (r Runner, t Taken, err error) {
	if name == "" {
		name = k.Name
	}
	if err = k.Check(j.clock()); err == nil {
		r, err = newRunner(name, k.Home, k.FirstUse)
	}
	if err != nil {
		return Runner{}, Taken{}, fmt.Errorf("%w: %w", ErrUnfit, err)
	}
	b := &Book{journal: j, person: Local, runner: r.ID}
	err = j.store.Update(ctx, func(tx Tx) error {
		t = Taken{}
		if err := tx.AddRunner(r); err != nil {
			return err
		}
		return b.takeOver(tx, *k, packed, &t)
	})
	if err != nil {
		return Runner{}, Taken{}, fmt.Errorf("take over logbook: %w", err)
	}
	return r, t, nil
}

// takeOver writes what is new and counts it. k is a copy, of which lists are replaced and
// never changed.
func (b *Book) takeOver(tx Tx, k Kept, packed func(Sum) ([]byte, error), t *Taken) error {
	here, err := readKept(tx, b.runner)
	if err != nil {
		return err
	}
	if here.empty() {
		if err := tx.Settle(b.runner, k.Home, k.FirstUse); err != nil {
			return err
		}
	}
	speak, err := speaker(tx)
	if err != nil {
		return err
	}
	names := namesFor(&here, &k, speak)
	names.rename(&k)
	for i := range histories {
		histories[i].mark(&k, fromElsewhere)
	}
	for _, take := range []func(Tx, *Kept, *Kept, *Taken) error{
		func(tx Tx, here, k *Kept, t *Taken) error { return b.takeOriginals(tx, here, k, packed, t) },
		b.takeZones, b.takeRests, b.takeNamed, b.takeFindings,
	} {
		if err := take(tx, &here, &k, t); err != nil {
			return err
		}
	}
	for i := range histories {
		n, err := histories[i].take(tx, b.runner, &k, speak)
		if err != nil {
			return fmt.Errorf("%s: %w", histories[i].name, err)
		}
		t.Rows, t.There = t.Rows+n.added, t.There+n.there
	}
	settings, err := tx.Settings(b.runner)
	if err == nil {
		_, err = schedule(settings)
	}
	switch {
	case err != nil:
		return fmt.Errorf("%w: the settings of both cannot hold together: %w", ErrUnfit, err)
	case !t.Changed() || len(here.Originals)+len(k.Originals) == 0:
		return nil
	}
	// No version, so that whoever opens the book next derives them.
	return tx.PutStamp(b.runner, SessionPart, Versions{})
}

// empty reports whether nothing is kept of the runner yet.
func (k *Kept) empty() bool {
	return len(k.Originals)+len(k.Settings)+len(k.Gaps)+len(k.Races)+len(k.Complaints)+len(k.RedFlags)+len(k.Results)+
		len(k.Plan.Aways)+len(k.Plan.Routines)+len(k.Ramps)+len(k.Gates)+len(k.Notes) == 0
}

func (b *Book) takeOriginals(tx Tx, here, k *Kept, packed func(Sum) ([]byte, error), t *Taken) error {
	there := make(map[Sum]bool, len(here.Originals))
	for _, o := range here.Originals {
		there[o.Sum] = true
	}
	for _, o := range k.Originals {
		if there[o.Sum] {
			t.There++
			continue
		}
		bytes, err := packed(o.Sum)
		if isNotFound(err) {
			t.Left++
			continue
		}
		if err == nil {
			err = tx.PutOriginal(b.runner, o, bytes)
		}
		if err != nil {
			return fmt.Errorf("keep original %s: %w", o.Path, err)
		}
		there[o.Sum] = true
		t.Originals = append(t.Originals, o.Sum)
	}
	k.Zones = leaveOut(t, k.Zones, func(z ZoneDecision) bool { return there[z.Sum] })
	k.Rests = leaveOut(t, k.Rests, func(r Rest) bool { return there[r.Sum] })
	decided := bySession(slices.Concat(here.Zones, k.Zones))
	k.Edits = leaveOut(t, k.Edits, func(e Edit) bool { _, ok := decided[e.Session]; return ok })
	return nil
}

// leaveOut returns the rows that come along.
func leaveOut[T any](t *Taken, rows []T, comes func(T) bool) (out []T) {
	for _, r := range rows {
		if comes(r) {
			out = append(out, r)
		}
	}
	t.Left += len(rows) - len(out)
	return out
}

func (b *Book) takeZones(tx Tx, here, k *Kept, t *Taken) error {
	decided := bySession(here.Zones)
	for _, z := range k.Zones {
		if _, ok := decided[z.Session]; ok {
			t.There++
			continue
		}
		if err := tx.PutZone(b.runner, z); err != nil {
			return fmt.Errorf("zone of session %s: %w", z.Session, err)
		}
		t.Rows++
	}
	return nil
}

func (b *Book) takeRests(tx Tx, _, k *Kept, t *Taken) error {
	for _, r := range k.Rests {
		added, err := tx.PutRest(b.runner, r.Sum, r.Day)
		if err != nil {
			return fmt.Errorf("rest on %v: %w", r.Day, err)
		}
		t.count(added)
	}
	return nil
}

func (t *Taken) count(added bool) {
	if added {
		t.Rows++
	} else {
		t.There++
	}
}

// takeNamed adds complaints and routines, whose names are those that they have here.
func (b *Book) takeNamed(tx Tx, here, k *Kept, t *Taken) error {
	for _, c := range k.Complaints {
		there := slices.ContainsFunc(here.Complaints, func(old Complaint) bool { return old.ID == c.ID })
		t.count(!there)
		if !there {
			if err := tx.AddComplaint(b.runner, c); err != nil {
				return fmt.Errorf("complaint %s: %w", c.ID, err)
			}
		}
	}
	for _, r := range k.Plan.Routines {
		there := slices.ContainsFunc(here.Plan.Routines, func(old Routine) bool { return old.ID == r.ID })
		t.count(!there)
		if !there {
			r.By = fromElsewhere(r.By)
			if err := tx.AddRoutine(b.runner, r); err != nil {
				return fmt.Errorf("routine %s: %w", r.ID, err)
			}
		}
	}
	return nil
}

// takeFindings adds what findings say. One that is there says it as the rules do here.
func (b *Book) takeFindings(tx Tx, here, k *Kept, t *Taken) error {
	for _, f := range k.Findings {
		there := slices.ContainsFunc(here.Findings, func(old load.Finding) bool { return old.ID == f.ID })
		t.count(!there)
		if there {
			continue
		}
		if err := tx.PutFinding(b.runner, f); err != nil {
			return fmt.Errorf("finding %s: %w", f.ID, err)
		}
	}
	return nil
}

// SessionsOf returns the sessions of a recording, in order of start.
func (b *Book) SessionsOf(ctx context.Context, sum Sum) (out []load.Session, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		out, err = tx.SessionsOf(b.runner, sum)
		return err
	})
	return out, err
}
