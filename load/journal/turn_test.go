package journal

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
)

// TestTurns lets several wait while one works: one of them works again, because the
// first may have looked before what they know was written, and the others find it
// done. Of work that failed nobody takes advantage.
func TestTurns(t *testing.T) {
	broken := errors.New("broken")
	for _, c := range []struct {
		name  string
		fails int // the first so many times
		works int
		wrong int // of the five who wait
	}{
		{"all goes well", 0, 2, 0},
		{"the first fails", 1, 2, 0},
		{"the second fails too", 2, 3, 1},
		{"all fail", 100, 6, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				var turns turns
				works, gate := 0, make(chan struct{})
				work := func() error {
					works++
					n := works
					<-gate
					if n <= c.fails {
						return broken
					}
					return nil
				}
				go func() { _ = turns.do(t.Context(), "a", work) }()
				synctest.Wait()
				wrong := make(chan error, 5)
				for range 5 {
					go func() { wrong <- turns.do(t.Context(), "a", work) }()
				}
				synctest.Wait()
				close(gate)
				n := 0
				for range 5 {
					if <-wrong != nil {
						n++
					}
				}
				if works != c.works || n != c.wrong {
					t.Errorf("%d times worked, %d failed; want %d and %d", works, n, c.works, c.wrong)
				}
			})
		})
	}
}

// Other runners have turns of their own, and who goes away waits no longer.
func TestTurnsOfOthers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var turns turns
		hold := make(chan struct{})
		go func() { _ = turns.do(t.Context(), "a", func() error { <-hold; return nil }) }()
		synctest.Wait()
		worked := false
		if err := turns.do(t.Context(), "b", func() error { worked = true; return nil }); err != nil || !worked {
			t.Errorf("another runner: %v, %v", worked, err)
		}
		gone, cancel := context.WithCancel(t.Context())
		cancel()
		if err := turns.do(gone, "a", func() error { return nil }); !errors.Is(err, context.Canceled) {
			t.Errorf("gone away: %v", err)
		}
		close(hold)
	})
}
