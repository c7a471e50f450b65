package load_test

import (
	"maps"
	"slices"
	"testing"

	"tidemark/load"
)

// A watch that was ten years behind dates one run of three years of them.
func TestStrays(t *testing.T) {
	sessions := []load.Session{{ID: "behind", Day: 20000 - 3650}}
	for i := range 10 {
		sessions = append(sessions, load.Session{ID: string(rune('a' + i)), Day: 20000 - load.Day(100*i)})
	}
	strays := load.Strays(sessions)
	if got := slices.Collect(maps.Keys(strays)); len(got) != 1 || got[0] != "behind" || strays["behind"] != 2750 {
		t.Errorf("strays %v, want the one that is 2750 days from the next", strays)
	}
	twice := append(sessions, load.Session{ID: "too", Day: 20000 - 3650})
	if got := load.Strays(twice); len(got) > 0 {
		t.Errorf("two of one day vouch for each other: %v", got)
	}
	if got := load.Strays(sessions[:2]); len(got) > 0 {
		t.Errorf("of two nobody knows which: %v", got)
	}
}
