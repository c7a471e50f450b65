package load_test

import (
	"testing"
	"time"

	"tidemark/load"
)

func TestClassify(t *testing.T) {
	tests := []struct {
		km, tidemark float64
		want         load.SpikeClass
	}{
		// Load reference 4.1: the bounds are those printed by Frandsen et al. 2025.
		{13.2, 12, load.NoSpike},
		{13.21, 12, load.SmallSpike},
		{15.6, 12, load.SmallSpike},
		{15.61, 12, load.ModerateSpike},
		{24.0, 12, load.ModerateSpike},
		{24.1, 12, load.LargeSpike},
		{13.2004, 12, load.NoSpike}, // whole metres: 0.4 m is no metre
		{3, 12, load.NoSpike},
	}
	for _, tt := range tests {
		if got := load.Classify(load.Distance, load.Distance.Of(tt.km), load.Distance.Of(tt.tidemark)); got != tt.want {
			t.Errorf("%v km against %v km: %s, want %s", tt.km, tt.tidemark, got, tt.want)
		}
	}
}

func TestSessionTidemark(t *testing.T) {
	at := func(day load.Day, hour, minute int, km float64) load.Session {
		s := run(day, km)
		s.ID += time.Duration(hour * 60).String()
		shift := load.InstantOf(day.Noon()).Add(time.Duration(hour-12)*time.Hour+time.Duration(minute)*time.Minute) - s.Start
		s.Start, s.End = s.Start+shift, s.End+shift
		return s
	}
	treadmill := run(monday, 18)
	treadmill.Surface = load.Treadmill
	unstarted := run(monday, 9)
	unstarted.NoStart, unstarted.Typed = true, true
	tests := []struct {
		name     string
		sessions []load.Session
		want     float64 // tidemark of the last row in km; 0: none
		rows     int
		sum      float64 // load of the last row
	}{
		{"the far end of 30 x 24 h counts", []load.Session{at(monday, 8, 0, 12), at(monday+30, 8, 0, 10)}, 12, 2, 10},
		{"a minute more does not", []load.Session{at(monday, 7, 59, 12), at(monday+30, 8, 0, 10)}, 0, 2, 10},
		{"the longest, not the last", []load.Session{at(monday, 8, 0, 8), at(monday+5, 8, 0, 12), at(monday+6, 8, 0, 5), at(monday+9, 8, 0, 10)}, 12, 4, 10},
		// 8 km take 48 min: the second starts 12 min later, so they are one of 14 km.
		{"under 30 min apart are one", []load.Session{at(monday, 8, 0, 8), at(monday, 9, 0, 6)}, 0, 1, 14},
		{"30 min apart are two", []load.Session{at(monday, 8, 0, 8), at(monday, 9, 18, 6)}, 8, 2, 6},
		{"a treadmill sets none", []load.Session{treadmill, at(monday+3, 8, 0, 10)}, 0, 2, 10},
		{"a row without a start is never merged", []load.Session{unstarted, at(monday, 12, 5, 6)}, 9, 2, 6},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			in := &load.Input{Sessions: tt.sessions, Today: monday + 31}
			rows := load.NewHistory(in, load.Distance).SessionRows(monday, in.Today)
			if len(rows) != tt.rows {
				t.Fatalf("%d rows, want %d", len(rows), tt.rows)
			}
			last := rows[len(rows)-1]
			if got, _ := last.Tidemark.Get(); got != tt.want {
				t.Errorf("tidemark %v km, want %v", got, tt.want)
			}
			if got := load.Distance.In(last.Load); got != tt.sum {
				t.Errorf("load %v km, want %v", got, tt.sum)
			}
			if _, ok := last.Spike.Get(); ok != (tt.want > 0) {
				t.Errorf("spike %+v with a tidemark of %v", last.Spike, tt.want)
			}
		})
	}
}

func TestTreadmillTimeSetsATidemark(t *testing.T) {
	s := run(monday, 10) // an hour: the watch knows the time
	s.Surface = load.Treadmill
	in := &load.Input{Sessions: append(daily(monday+2, 5), s), Today: monday + 2}
	rows := load.NewHistory(in, load.Time).SessionRows(monday, in.Today)
	if got := number(t, "tidemark", rows[1].Tidemark); got != 60 {
		t.Errorf("tidemark %v min, want 60", got)
	}
}
