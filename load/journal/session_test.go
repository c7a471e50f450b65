package journal_test

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

func TestID(t *testing.T) {
	var sum journal.Sum
	copy(sum[:], []byte{0x01, 0x23, 0x45, 0x67, 0x89, 0xab, 0xcd, 0xef, 0xff})
	for _, c := range []struct {
		start load.Instant
		n     int
		want  string
	}{
		{load.Unix(1_772_470_800), 1, "0123456789abcdef-1772470800"},
		{load.Unix(1_772_470_800) + 999, 1, "0123456789abcdef-1772470800"},
		{load.Unix(1_772_470_800), 2, "0123456789abcdef-1772470800-2"},
		{-1, 1, "0123456789abcdef--1"}, // a millisecond before second 0
	} {
		if got := journal.ID(sum, c.start, c.n); got != c.want {
			t.Errorf("ID(%d, %d) = %s, want %s", c.start, c.n, got, c.want)
		}
	}
}

func typed(change func(*load.Activity)) *load.Activity {
	a := &load.Activity{
		Sport: load.Running, Start: 500, Typed: &load.Typed{Day: 20000},
		Totals: load.Totals{Elapsed: 30 * time.Minute, Distance: 5000},
	}
	change(a)
	return a
}

// TestRowID changes one value after another: the five that make a row the same
// give another name, the rest do not.
func TestRowID(t *testing.T) {
	id := journal.RowID(typed(func(*load.Activity) {}))
	// Day, no start, kind, 5 km in millimetres, 30 min in milliseconds.
	sum := sha256.Sum256([]byte("20000 - running 5000000 1800000"))
	if want := "row-" + hex.EncodeToString(sum[:8]); id != want {
		t.Errorf("RowID = %s, want %s", id, want)
	}
	for name, c := range map[string]struct {
		change func(*load.Activity)
		same   bool
	}{
		"date":                 {func(a *load.Activity) { a.Typed.Day++ }, false},
		"start":                {func(a *load.Activity) { a.Typed.HasStart = true }, false},
		"time of day":          {func(a *load.Activity) { a.Typed.HasStart, a.Typed.Clock = true, 7*time.Hour }, false},
		"home zone":            {func(a *load.Activity) { a.Start += 3_600_000 }, true},
		"kind":                 {func(a *load.Activity) { a.Sport = load.Walking }, false},
		"distance":             {func(a *load.Activity) { a.Totals.Distance += 0.001 }, false},
		"distance, less":       {func(a *load.Activity) { a.Totals.Distance += 0.0001 }, true},
		"duration":             {func(a *load.Activity) { a.Totals.Elapsed += time.Millisecond }, false},
		"duration as timer":    {func(a *load.Activity) { a.Totals.Timer, a.Totals.Elapsed = a.Totals.Elapsed, 0 }, true},
		"note, race, exertion": {func(a *load.Activity) { a.Typed.Note, a.Typed.Race, a.Exertion = "x", true, 5 }, true},
		"steps, ascent":        {func(a *load.Activity) { a.Totals.Steps, a.Totals.Ascent = 5, 5 }, true},
		"noon by convention":   {func(a *load.Activity) { a.Start++ }, true},
	} {
		if got := journal.RowID(typed(c.change)); (got == id) != c.same {
			t.Errorf("%s: same name is %v", name, got == id)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("RowID of a recording did not panic")
		}
	}()
	journal.RowID(&load.Activity{})
}

func TestOn(t *testing.T) {
	settings := []journal.Setting{
		{Key: "hr-max", From: 20, Value: "b"},
		{Key: "other", From: 15, Value: "x"},
		{Key: "hr-max", From: 10, Value: "a"},
		{Key: "hr-max", From: 20, Value: "c"},
	}
	for _, c := range []struct {
		day  load.Day
		want string
	}{{9, ""}, {10, "a"}, {19, "a"}, {20, "c"}, {99, "c"}} {
		got, ok := journal.On(settings, "hr-max", c.day)
		if got.Value != c.want || ok != (c.want != "") {
			t.Errorf("On day %d: %q, %v; want %q", c.day, got.Value, ok, c.want)
		}
	}
}

func TestPack(t *testing.T) {
	for _, b := range [][]byte{nil, {0}, make([]byte, 1<<20)} {
		packed := journal.Pack(b)
		got, err := journal.Unpack(packed)
		if err != nil || string(got) != string(b) {
			t.Errorf("%d bytes came back as %d, %v", len(b), len(got), err)
		}
		if len(b) > 1000 && len(packed) > len(b)/100 {
			t.Errorf("%d zeros are packed in %d bytes", len(b), len(packed))
		}
	}
	for _, bad := range [][]byte{{1}, []byte("not packed"), journal.Pack(make([]byte, 100))[:8]} {
		if _, err := journal.Unpack(bad); !errors.Is(err, journal.ErrDamaged) {
			t.Errorf("Unpack(%x): %v", bad, err)
		}
	}
}
