package journal

import (
	"context"
	"errors"
	"sync"

	"tidemark/load"
	"tidemark/load/assess"
)

// DaysAhead is how many days, today included, a session can be asked about; project default.
const DaysAhead = 8

// Room is what limits leave a runner of a day for one more session.
type Room struct {
	State   load.HeadroomState
	Amount  load.Amount // in the measure's smallest part
	Decides string      // the limit with the least room
}

// Over returns by how much a session is over what is left; false: it is not, or a race is
// planned and no limit speaks.
func (r Room) Over(session load.Amount) (by load.Amount, over bool) {
	if r.State == load.RaceDay || session <= r.Amount {
		return 0, false
	}
	return session - r.Amount, true
}

// fresh reports whether it is of the runner as they are, on a day.
func (a *daysAhead) fresh(r Runner, today load.Day) bool {
	return a.revision == r.Revision && a.today == today
}

// aheadMeasures are the measures in which a session can be asked about.
var aheadMeasures = [...]load.Measure{load.Distance, load.RunTime}

// keptAhead is how many days are worked out: where a coach lives it may be two days later.
const keptAhead = DaysAhead + 2

// daysAhead is what limits leave a runner of the next days.
type daysAhead struct {
	revision int64
	today    load.Day
	whole    [len(aheadMeasures)][keptAhead]Room // with leave for medical detail
	bare     [len(aheadMeasures)][keptAhead]Room // without
}

// Rooms returns what limits leave each runner of rows for a session of a day, as Imagine holds
// it and as far as the person may see; where the day is over at a runner's home, of their
// today. Who may not be seen any more is left out. It panics for a measure other than distance
// and minutes of running, and for a day that is more than DaysAhead ahead.
func (j *Journal) Rooms(ctx context.Context, person Person, rows []Row, m load.Measure, day load.Day) (map[RunnerID]Room, error) {
	at := -1
	for i, one := range aheadMeasures {
		if one == m {
			at = i
		}
	}
	if at < 0 {
		panic("journal: Rooms: no limits ahead for " + m.String())
	}
	all, err := j.aheadOf(ctx, person, rows)
	out := make(map[RunnerID]Room, len(rows))
	for i := range rows {
		row := &rows[i]
		a := all[i]
		if a == nil {
			continue
		}
		days := max(0, day-row.Today)
		if out[row.ID] = a.bare[at][days]; row.Medical {
			out[row.ID] = a.whole[at][days]
		}
	}
	return out, err
}

// aheadOf takes what is known of the days ahead of each row, and works out the rest, some at
// the same time; nil: the runner is not to be seen any more.
func (j *Journal) aheadOf(ctx context.Context, person Person, rows []Row) ([]*daysAhead, error) {
	out, faults := make([]*daysAhead, len(rows)), make([]error, len(rows))
	var working sync.WaitGroup
	turns := make(chan struct{}, renewAtOnce)
	for i := range rows {
		row := &rows[i]
		if a := j.aheads.get(row.ID); a != nil && a.fresh(row.Runner, row.Today) {
			out[i] = a
			continue
		}
		turns <- struct{}{}
		working.Go(func() {
			defer func() { <-turns }()
			b := &Book{j, person, row.ID}
			if out[i], faults[i] = b.lookAhead(ctx, row.Today); errors.Is(faults[i], ErrNotFound) {
				out[i], faults[i] = nil, nil
			}
		})
	}
	working.Wait()
	return out, errors.Join(faults...)
}

// lookAhead works out what the days ahead of today leave, and holds it.
func (b *Book) lookAhead(ctx context.Context, today load.Day) (a *daysAhead, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		r, err := tx.Runner(b.runner)
		if err != nil {
			return err
		}
		last, err := b.lastInput(tx, r)
		if err != nil {
			return err
		}
		a = &daysAhead{revision: r.Revision, today: today}
		in, _ := last.followed(today)
		var cares [keptAhead]*assess.Care
		for i := range cares {
			_, cares[i] = last.followed(today + load.Day(i))
		}
		for m, measure := range aheadMeasures {
			h := load.NewHistory(in, measure)
			for i, care := range cares {
				day := today + load.Day(i)
				h = h.Until(day)
				a.whole[m][i], a.bare[m][i] = roomOf(care.Beforehand(h, day)), roomOf(care.BeforehandShared(h, day))
			}
		}
		b.journal.aheads.put(b.runner, a)
		return nil
	})
	return a, err
}

func roomOf(h load.Headroom) Room { return Room{h.State, h.Amount, h.Decides} }

// aheads holds what the days ahead leave, of as many runners as mostAhead.
type aheads struct {
	mu sync.Mutex
	of map[RunnerID]*daysAhead
}

// mostAhead is of how many runners the days ahead are held, of 1.3 kB each; project default.
const mostAhead = 5000

func (c *aheads) get(id RunnerID) *daysAhead {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.of[id]
}

// put drops whichever others are in the way.
func (c *aheads) put(id RunnerID, a *daysAhead) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.of == nil {
		c.of = make(map[RunnerID]*daysAhead)
	}
	for other := range c.of {
		if len(c.of) < mostAhead {
			break
		}
		delete(c.of, other)
	}
	c.of[id] = a
}
