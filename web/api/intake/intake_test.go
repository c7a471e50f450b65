package intake_test

import (
	"bytes"
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
	"tidemark/web/api/intake"
)

const diary = "date,start,distance_km,duration_min\n2026-03-02,07:30,6.2,38\n2026-03-03,,5,30\n"

var options = intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(time.Date(2026, 3, 10, 0, 0, 0, 0, time.UTC)), Home: time.UTC}

func book(t *testing.T) *journal.Book {
	t.Helper()
	store, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "a.db"), sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	j := journal.New(store, func() load.Instant { return options.Now }, journal.Versions{Decoder: 1, Model: 1, Rules: 1})
	r, err := j.AddRunner(t.Context(), "Edda", "UTC", 0)
	if err != nil {
		t.Fatal(err)
	}
	b, err := j.Open(t.Context(), journal.Local, r.ID)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// take hands the files in and returns what was reported.
func take(t *testing.T, b *journal.Book, files ...string) (told []intake.Result) {
	t.Helper()
	known, err := intake.KnownTo(t.Context(), b)
	if err != nil {
		t.Fatal(err)
	}
	group := intake.NewGroup(b, func(r intake.Result) { told = append(told, r) })
	for _, content := range files {
		for e := range intake.Read("diary.csv", strings.NewReader(content), known, options) {
			if err := group.Add(t.Context(), e); err != nil {
				t.Fatal(err)
			}
		}
	}
	if len(told) > 0 {
		t.Fatal("something was reported before its commit")
	}
	if err := group.Commit(t.Context()); err != nil {
		t.Fatal(err)
	}
	return told
}

func TestTaking(t *testing.T) {
	b := book(t)
	told := take(t, b, diary, "no recording", diary)
	if len(told) != 3 || !told[0].Added || len(told[0].Sessions) != 2 {
		t.Fatalf("told %+v, want the diary added with two sessions, first", told)
	}
	if !errors.Is(told[1].Err, ingest.ErrUnknownFormat) {
		t.Errorf("told %+v, want the second refused", told[1])
	}
	if told[2].Added || told[2].Err != nil {
		t.Errorf("told %+v, want the third kept already", told[2])
	}
	if again := take(t, b, diary); again[0].Added || len(again[0].Sessions) != 2 {
		t.Errorf("told %+v, want kept already, with its sessions", again[0])
	}
	sessions, err := b.Sessions(t.Context())
	if err != nil || len(sessions) != 2 {
		t.Errorf("%d sessions, %v; want 2", len(sessions), err)
	}
}

// A diary with one more row adds that row and keeps the names of the others.
func TestRowsKeepTheirNames(t *testing.T) {
	b := book(t)
	first := take(t, b, diary)[0].Sessions
	second := take(t, b, diary+"2026-03-04,18:00,4,25\n")[0]
	if !second.Added || len(second.Sessions) != 3 {
		t.Fatalf("told %+v, want three sessions, added", second)
	}
	for i := range first {
		if first[i].ID != second.Sessions[i].ID {
			t.Errorf("row %d was %s and is %s", i, first[i].ID, second.Sessions[i].ID)
		}
	}
}

// Redo decodes an original to the same sessions, in the zone that was decided
// even if the runner moved.
func TestRedoKeepsDecisions(t *testing.T) {
	b := book(t)
	before := take(t, b, diary)[0].Sessions
	moved := options
	moved.Home = time.FixedZone("away", -9*3600)
	if err := b.Rederive(t.Context(), intake.Redo(moved)); err != nil {
		t.Fatal(err)
	}
	after, err := b.Sessions(t.Context())
	if err != nil || len(after) != len(before) {
		t.Fatalf("%d sessions, %v", len(after), err)
	}
	for i := range after {
		if after[i].Day != before[i].Day || after[i].Zone != before[i].Zone || after[i].ID != before[i].ID || after[i].Start != before[i].Start {
			t.Errorf("session %d is %+v, was %+v", i, after[i], before[i])
		}
	}
}

func TestAFullGroupIsCommitted(t *testing.T) {
	b := book(t)
	told := 0
	group := intake.NewGroup(b, func(intake.Result) { told++ })
	for i := range 64 {
		content := bytes.Replace([]byte(diary), []byte("6.2"), []byte{'6', '.', byte('0' + i%10), byte('0' + i/10)}, 1)
		for e := range intake.Read("d.csv", bytes.NewReader(content), nil, options) {
			if err := group.Add(t.Context(), e); err != nil {
				t.Fatal(err)
			}
		}
	}
	if told != 64 {
		t.Errorf("%d reported after 64 files, want all", told)
	}
}
