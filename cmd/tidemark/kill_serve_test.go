package main

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"tidemark/load"
)

// serveKills is how often the server is killed in a usual run of the tests;
// TIDEMARK_KILLS names another number.
const serveKills = 12

func killsWanted(t *testing.T) int {
	t.Helper()
	text := os.Getenv("TIDEMARK_KILLS")
	if text == "" {
		return serveKills
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatalf("TIDEMARK_KILLS: %v", err)
	}
	return n
}

// TestKilledServe kills the server again and again at chance moments while four
// people write: forms, and uploads of three files each. Whatever was acknowledged
// before any of the kills must be in the journal after each, and the journal sound.
func TestKilledServe(t *testing.T) {
	kills := killsWanted(t)
	db := filepath.Join(t.TempDir(), "a.db")
	diary := filepath.Join(t.TempDir(), "diary.csv")
	put(t, diary, []byte("date,start,distance_km,duration_min\n2026-05-01,07:30,6.2,38\n"))
	if _, errs, code := command(t.Context(), "import", "--db", db, "--zone", "UTC", diary); code != exitDone {
		t.Fatal(errs)
	}
	today := load.Date(2026, time.June, 1)
	book := openBook(t, db)
	runner, err := book.Runner(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	book.Close()

	rng := rand.New(rand.NewPCG(3, 4))
	kept := newLedger()
	var next atomic.Int64
	followed := false
	for round := range kills {
		p := started(t, "serve", "--solo", "--quiet", "--on", today.String(), "--addr", "127.0.0.1:0", "--db", db)
		h := newHand(p.address, string(runner.ID), today, kept)
		if !followed {
			if err := h.follow(); err != nil {
				t.Fatal(err)
			}
			followed = true
		}
		var wait sync.WaitGroup
		var killed atomic.Bool
		for _, write := range []func(int) error{h.race, h.morning, h.exercise, func(n int) error { return h.upload(n, 3) }} {
			wait.Go(func() { writeUntil(t, &killed, write, &next) })
		}
		time.Sleep(time.Duration(rng.Int64N(int64(250 * time.Millisecond))))
		killed.Store(true)
		if err := p.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		wait.Wait()
		_ = p.Wait() // says that it was killed
		h.client.CloseIdleConnections()

		book := openBook(t, db)
		if missing := kept.lost(t, book.Book); len(missing) > 0 {
			t.Fatalf("after kill %d, acknowledged and lost: %q", round+1, missing)
		}
		never := newLedger()
		never.put(raceWritten(h.runner, "never written"))
		if len(never.lost(t, book.Book)) != 1 {
			t.Fatal("what was never written is found")
		}
		book.Close()
	}
	t.Logf("%d kills, %d writes were acknowledged, none is lost", kills, kept.total())
	if n := kept.total(); n < kills {
		t.Errorf("only %d writes were acknowledged: the server was hardly under load", n)
	}
}

// writeUntil writes until it is ended, or until nobody answers any more after that. An
// answer that is no acknowledgement is a fault, and so is none before the end.
func writeUntil(t *testing.T, ended *atomic.Bool, write func(int) error, next *atomic.Int64) {
	for !ended.Load() {
		err := write(int(next.Add(1)))
		if _, answered := errors.AsType[errAnswer](err); answered || err != nil && !ended.Load() {
			t.Error(err)
			return
		}
	}
}
