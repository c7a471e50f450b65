package sqlite_test

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

func BenchmarkOpenEmpty(b *testing.B) {
	dir := b.TempDir()
	for n := 0; b.Loop(); n++ {
		s := openBench(b, filepath.Join(dir, fmt.Sprint(n)))
		s.Close()
	}
}

func BenchmarkOpen(b *testing.B) {
	path := filepath.Join(b.TempDir(), "a.db")
	openBench(b, path).Close()
	for b.Loop() {
		openBench(b, path).Close()
	}
}

// BenchmarkAdd keeps recordings of 60 kB, in groups; an operation is a commit.
func BenchmarkAdd(b *testing.B) {
	for _, group := range []int{1, 20, 50} {
		b.Run(fmt.Sprint(group), func(b *testing.B) {
			s := openBench(b, filepath.Join(b.TempDir(), "a.db"))
			defer s.Close()
			j := newJournal(s)
			r, err := j.AddRunner(b.Context(), "Ada", "UTC", 0)
			if err != nil {
				b.Fatal(err)
			}
			book, err := j.Open(b.Context(), journal.Local, r.ID)
			if err != nil {
				b.Fatal(err)
			}
			packed := make([]byte, 60_000)
			rand.NewChaCha8([32]byte{}).Read(packed)
			n := 0
			for b.Loop() {
				recordings := make([]journal.Recording, group)
				for i := range recordings {
					n++
					recordings[i] = journal.Recording{
						Sum: journal.Sum{byte(n), byte(n >> 8), byte(n >> 16)}, Packed: packed,
						Sessions: []load.Session{{Start: load.Unix(int64(n)), Sport: load.Running}},
					}
				}
				if _, err := book.Add(b.Context(), recordings); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "recordings/s")
		})
	}
}

func openBench(b *testing.B, path string) *sqlite.Store {
	b.Helper()
	s, err := sqlite.Open(b.Context(), path, sqlite.Options{})
	if err != nil {
		b.Fatal(err)
	}
	return s
}
