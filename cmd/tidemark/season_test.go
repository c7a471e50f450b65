package main

import (
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// independent is what season.py computed of the invented diary of 420 days.
type independent struct {
	AsOf     string                    `json:"as_of"`
	Measures map[string]map[string]any `json:"measures"`
	// Headrooms are of other days, by day and measure.
	Headrooms map[string]map[string]map[string]any `json:"extra_headroom"`
}

const seasonFiles = "../../testdata/load/"

func readSeason(t *testing.T) (s independent) {
	t.Helper()
	f, err := os.Open(seasonFiles + "season.json.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &s); err != nil {
		t.Fatal(err)
	}
	return s
}

// TestSeason holds every cell of load --json over an invented diary of 420 days against
// an independent computation, to a millionth.
func TestSeason(t *testing.T) {
	want := readSeason(t)
	db := filepath.Join(t.TempDir(), "a.db")
	if _, errs, code := command(t.Context(), "import", "--zone", "UTC", "--db", db, "--on", want.AsOf, seasonFiles+"season.csv"); code != exitDone {
		t.Fatal(errs)
	}
	answer := func(on string, args ...string) map[string]any {
		out, errs, code := command(t.Context(), append([]string{"load", "--json", "--db", db, "--on", on}, args...)...)
		if code != exitDone {
			t.Fatal(errs)
		}
		var got map[string]any
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatal(err)
		}
		return got
	}
	cells := 0
	for measure, m := range want.Measures {
		got := answer(want.AsOf, "--measure", measure, "--from", "2024-12-01")
		cells += compareRows(t, measure+" day", m["days"].([]any), got["days"].([]any), func(row map[string]any) string { return row["date"].(string) })
		cells += compareRows(t, measure+" session", m["sessions"].([]any), got["sessions"].([]any), startOf)
		if m["headroom"] != nil {
			cells += compareRoom(t, want.AsOf+" "+measure, m["headroom"].(map[string]any), got["headroom"].(map[string]any))
		}
	}
	for day, rooms := range want.Headrooms {
		for measure, room := range rooms {
			cells += compareRoom(t, day+" "+measure, room, answer(day, "--measure", measure)["headroom"].(map[string]any))
		}
	}
	if cells < 70_000 {
		t.Errorf("only %d cells were compared", cells)
	}
}

// startOf names a session by its day and time of day: no two of the diary share them.
func startOf(row map[string]any) string {
	start := row["start"].(string)
	if len(start) > 5 {
		start = start[11:16] // of RFC 3339
	}
	return row["day"].(string) + " " + start
}

// compareRows holds rows against others by name, and each cell of those that are
// wanted.
func compareRows(t *testing.T, what string, want, got []any, name func(map[string]any) string) (cells int) {
	t.Helper()
	rows := make(map[string]map[string]any, len(got))
	for _, row := range got {
		rows[name(row.(map[string]any))] = row.(map[string]any)
	}
	if len(rows) != len(want) || len(got) != len(want) {
		t.Errorf("%ss: %d rows, want %d", what, len(got), len(want))
	}
	for _, row := range want {
		w := row.(map[string]any)
		id := name(w)
		cells += compareCells(t, what+" "+id, w, rows[id], "start")
	}
	return cells
}

// compareCells holds what is wanted against what is there, but for the fields left out.
func compareCells(t *testing.T, what string, want, got map[string]any, leave ...string) (cells int) {
	t.Helper()
	for field, w := range want {
		if len(leave) > 0 && field == leave[0] {
			continue
		}
		cells++
		g, there := got[field]
		if inner, ok := w.(map[string]any); ok {
			other, _ := g.(map[string]any)
			if len(inner) != len(other) {
				t.Errorf("%s: %s is %v, want %v", what, field, g, w)
			}
			cells += compareCells(t, what+" "+field, inner, other)
			continue
		}
		a, isNumber := w.(float64)
		b, alike := g.(float64)
		switch {
		case !there, isNumber != alike, !isNumber && fmt.Sprint(w) != fmt.Sprint(g):
			t.Errorf("%s: %s is %v, want %v", what, field, g, w)
		case isNumber && math.Abs(a-b) > 1e-6*max(1, math.Abs(a)):
			t.Errorf("%s: %s is %v, want %v", what, field, b, a)
		}
	}
	return cells
}

// compareRoom holds a headroom and its limits, by rule. Words and what the computation
// says of its own steps are left out. On the day of a race there is a number only of
// what the other computation calls a race: one that was run.
func compareRoom(t *testing.T, what string, want, got map[string]any) (cells int) {
	t.Helper()
	if want["state"] == "race" {
		return 0
	}
	pick := func(from map[string]any, fields ...string) map[string]any {
		out := make(map[string]any, len(fields))
		for _, f := range fields {
			out[f] = from[f]
		}
		return out
	}
	cells += compareCells(t, what, pick(want, "state", "amount", "unit", "decides", "usual"), got)
	limits := func(room map[string]any) []any { return room["limits"].([]any) }
	if len(limits(want)) != len(limits(got)) {
		t.Errorf("%s: %d limits, want %d", what, len(limits(got)), len(limits(want)))
		return cells
	}
	rows := make(map[string]map[string]any)
	for _, l := range limits(got) {
		rows[l.(map[string]any)["rule"].(string)] = l.(map[string]any)
	}
	for _, l := range limits(want) {
		w := l.(map[string]any)
		cells += compareCells(t, what+" "+w["rule"].(string), pick(w, "amount", "value", "limit"), rows[w["rule"].(string)])
	}
	return cells
}
