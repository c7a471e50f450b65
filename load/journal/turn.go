package journal

import (
	"context"
	"hash/maphash"
)

// turns lets those who would do the same work about a runner do it one after the
// other, so that all but the first find it done. Runners share turns by chance.
type turns struct {
	seed maphash.Seed
	free [64]chan struct{} // project default: few runners meet
}

func newTurns() turns {
	t := turns{seed: maphash.MakeSeed()}
	for i := range t.free {
		t.free[i] = make(chan struct{}, 1)
	}
	return t
}

// wait waits for the runner's turn until ctx ends; done gives it on.
func (t *turns) wait(ctx context.Context, id RunnerID) (done func(), err error) {
	turn := t.free[maphash.String(t.seed, string(id))%uint64(len(t.free))]
	select {
	case turn <- struct{}{}:
		return func() { <-turn }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}
