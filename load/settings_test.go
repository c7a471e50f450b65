package load_test

import (
	"math"
	"sync"
	"testing"

	"tidemark/load"
)

func TestSettingTable(t *testing.T) {
	seen := make(map[string]bool)
	for _, def := range load.SettingTable {
		if seen[def.Key] || def.Unit == "" || def.What == "" || def.Source == "" {
			t.Errorf("setting %+v is doubled or lacks a text", def)
		}
		seen[def.Key] = true
		if err := def.Check(def.Default); err != nil {
			t.Errorf("default: %v", err)
		}
		for _, v := range []float64{def.Min - 1, -1, def.Max + 1, math.NaN(), math.Inf(1)} {
			if unsaid := def.Optional && v == 0; !unsaid && def.Check(v) == nil {
				t.Errorf("%s took %v, outside %v to %v", def.Key, v, def.Min, def.Max)
			}
		}
	}
}

func TestScheduleOrders(t *testing.T) {
	sched, err := load.NewSchedule([]load.Change{
		{Key: "week-share", From: 20, Value: 0.2},
		{Key: "assumed-rest-days", From: 10, Value: 5},
		{Key: "week-share", From: 20, Value: 0.25}, // the later word of one day
	})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		day        load.Day
		rest, week float64
	}{{9, 10, 0.3}, {10, 5, 0.3}, {19, 5, 0.3}, {20, 5, 0.25}, {99, 5, 0.25}}
	for _, tt := range tests {
		if got := sched.On(tt.day); got.AssumedRestDays != tt.rest || got.WeekShare != tt.week {
			t.Errorf("day %d: %v, %v; want %v, %v", tt.day, got.AssumedRestDays, got.WeekShare, tt.rest, tt.week)
		}
	}
	for _, bad := range []load.Change{{Key: "week-share", Value: 3}, {Key: "no-such", Value: 1}, {Key: "novice", Value: 0.5}} {
		if _, err := load.NewSchedule([]load.Change{bad}); err == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
}

// One input may be looked at by many at a time; the race detector watches.
func TestInputIsOnlyRead(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, 5, 0, 8), Today: monday + 3}
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() { load.NewHistory(in, load.Distance).DayRows(monday, in.Today) })
	}
	all.Wait()
}
