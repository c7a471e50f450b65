package journal_test

import (
	"context"
	"crypto/sha256"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

// An evening run is kept, and handed in a second time.
func ExampleBook_Add() {
	ctx := context.Background()
	dir, err := os.MkdirTemp("", "journal")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	store, err := sqlite.Open(ctx, filepath.Join(dir, "edda.db"), sqlite.Options{})
	if err != nil {
		log.Fatal(err)
	}
	defer store.Close()

	clock := func() load.Instant { return load.Unix(1_772_474_400) }
	j := journal.New(store, clock, journal.Versions{Decoder: 1, Model: 1, Rules: 1})
	runner, err := j.AddRunner(ctx, "Edda", "Europe/Vienna", load.Date(2026, time.March, 1))
	if err != nil {
		log.Fatal(err)
	}
	book, err := j.Open(ctx, journal.Local, runner.ID)
	if err != nil {
		log.Fatal(err)
	}

	file := []byte("what the watch wrote")
	start := load.Unix(1_772_470_800) // 18:00 in Vienna
	evening := journal.Recording{
		Sum: sha256.Sum256(file), Path: "evening.fit", Format: "fit",
		Size: int64(len(file)), Packed: journal.Pack(file),
		Sessions: []load.Session{{
			Day: load.Date(2026, time.March, 2), Start: start, End: start.Add(time.Hour),
			Zone:  load.Zone{Name: "Europe/Vienna", Offset: time.Hour, Source: load.ZoneFromHome},
			Sport: load.Running, Distance: 9800,
		}},
	}
	for range 2 {
		outcomes, err := book.Add(ctx, []journal.Recording{evening})
		if err != nil {
			log.Fatal(err)
		}
		o := outcomes[0]
		fmt.Println("added:", o.Added, o.Sessions[0].Day, o.Sessions[0].Distance, "m")
	}
	// Output:
	// added: true 2026-03-02 9800 m
	// added: false 2026-03-02 9800 m
}

// A run 32 % over the longest of 30 days is found; the runner has a reason; a
// late upload then shows that it was longer than thought.
func ExampleReconcile() {
	firstUse := load.Date(2026, time.March, 1)
	day := firstUse + 9
	spike := load.Finding{
		ID: "session-spike/long-run", Rule: "session-spike", Level: load.Remark,
		Day: day, LastDay: day, Value: 14.5, Limit: 11, Unit: "km",
	}
	tell := func(on load.Day, all []journal.Finding) {
		f := all[0]
		fmt.Printf("%v %v %s %s by %s %q\n", on, f.Value, f.Unit, f.State, f.By, f.Why)
	}

	kept := journal.Reconcile(nil, []load.Finding{spike}, day, firstUse)
	tell(day, kept)

	kept[0].State, kept[0].By, kept[0].Why = journal.SetAside, journal.Local, "a race"
	kept = journal.Reconcile(kept, []load.Finding{spike}, day+1, firstUse)
	tell(day+1, kept)

	spike.Value, spike.Level = 22.5, load.Caution
	kept = journal.Reconcile(kept, []load.Finding{spike}, day+2, firstUse)
	tell(day+2, kept)

	kept = journal.Reconcile(kept, []load.Finding{spike}, day+16, firstUse)
	tell(day+16, kept)

	kept = journal.Reconcile(kept, nil, day+17, firstUse)
	tell(day+17, kept)
	// Output:
	// 2026-03-10 14.5 km open by rules ""
	// 2026-03-11 14.5 km set-aside by local "a race"
	// 2026-03-12 22.5 km open by rules "level rose from note to caution"
	// 2026-03-26 22.5 km closed by rules "quiet for 14 days"
	// 2026-03-27 22.5 km withdrawn by rules "its cause is gone"
}
