package main

import (
	"context"
	"log/slog"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// TestRenewing: rows of lists are made anew by themselves, until the program ends.
func TestRenewing(t *testing.T) {
	a := quietApp(t.TempDir(), load.Date(2026, 6, 1))
	j, err := a.open(true)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	r, err := j.AddRunner(t.Context(), tove, "Europe/Oslo", a.On)
	if err != nil {
		t.Fatal(err)
	}
	b, err := j.Open(t.Context(), journal.Local, r.ID)
	if err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		renewing(ctx, j.Journal, slog.New(slog.DiscardHandler), time.Millisecond)
		close(done)
	}()
	for {
		if _, err := b.Standing(t.Context(), a.On); err == nil {
			break
		}
		time.Sleep(time.Millisecond)
	}
	end()
	<-done
}
