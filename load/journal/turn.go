package journal

import (
	"context"
	"sync"
)

// turns lets those who would do the same work about a runner share it: one does it
// at a time, and whoever waited while it was begun and ended finds it done.
type turns struct {
	mu sync.Mutex
	of map[RunnerID]*turn // a few bytes for each runner that was looked at
}

type turn struct {
	free  chan struct{} // holds one token
	begun int           // times the work was begun; this and done under turns.mu
	done  int           // which of them was the last that ended well
}

// do calls work in the runner's turn, unless it was begun since do was called, and
// ended well. It waits until ctx ends.
func (t *turns) do(ctx context.Context, id RunnerID, work func() error) error {
	mine, before := t.line(id)
	select {
	case <-mine.free:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { mine.free <- struct{}{} }()
	n, done := t.begin(mine, before)
	if done {
		return nil
	}
	if err := work(); err != nil {
		return err
	}
	t.mu.Lock()
	mine.done = n
	t.mu.Unlock()
	return nil
}

// line is the runner's turn, and how often the work was begun until now.
func (t *turns) line(id RunnerID) (*turn, int) {
	t.mu.Lock()
	defer t.mu.Unlock()
	mine := t.of[id]
	if mine == nil {
		mine = &turn{free: make(chan struct{}, 1)}
		mine.free <- struct{}{}
		if t.of == nil {
			t.of = make(map[RunnerID]*turn)
		}
		t.of[id] = mine
	}
	return mine, mine.begun
}

// begin counts the work as begun, unless what was begun after before is done.
func (t *turns) begin(mine *turn, before int) (n int, done bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if mine.done > before {
		return 0, true
	}
	mine.begun++
	return mine.begun, false
}
