package wire_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/web/api/wire"
)

func TestCompare(t *testing.T) {
	one := func(id string, day load.Day, metres load.Metres) load.Session {
		return load.Session{ID: id, Day: day, Sport: load.Running, Distance: metres, DistanceSource: load.DistanceFromDevice}
	}
	before := []load.Session{one("a", 20000, 5000), one("b", 20001, 6000), one("c", 20002, 7000)}
	after := []load.Session{one("a", 20000, 5000), one("b", 20001, 6100), one("d", 20003, 8000)}
	line := func(id string, day load.Day) wire.ActivityLine {
		return wire.ActivityLine{ID: id, Day: day, Sport: "running"}
	}
	want := wire.Rederived{
		Sessions: 3,
		Changed:  []wire.Changed{{ActivityLine: line("b", 20001), Fields: map[string]wire.Change{"distance_m": {Before: 6000.0, After: 6100.0}}}},
		Added:    []wire.ActivityLine{line("d", 20003)},
		Gone:     []wire.ActivityLine{line("c", 20002)},
	}
	if diff := cmp.Diff(want, wire.Compare(before, after)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
