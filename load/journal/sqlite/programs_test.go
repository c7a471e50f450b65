package sqlite_test

import (
	"context"
	"path/filepath"
	"sync"
	"testing"

	"tidemark/load/journal"
)

// TestTwoPrograms reads and then writes on two stores of one file, as two
// programs do. A transaction that took its lock only when it writes would fail
// at once if the other had written since it read.
func TestTwoPrograms(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	first := open(t, path)
	addRunner(t, first, "a")
	const each = 100
	var wait sync.WaitGroup
	for _, s := range []journal.Store{first, open(t, path)} {
		wait.Go(func() {
			for range each {
				err := s.Update(context.Background(), func(tx journal.Tx) error {
					if _, err := tx.Runner("a"); err != nil {
						return err
					}
					_, err := tx.Touch("a")
					return err
				})
				if err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	wait.Wait()
	must(t, first.View(t.Context(), func(tx journal.Tx) error {
		r, err := tx.Runner("a")
		if r.Revision != 1+2*each {
			t.Errorf("revision %d after %d writes", r.Revision, 2*each)
		}
		return err
	}))
}
