package load_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"tidemark/load"
)

func TestDoubles(t *testing.T) {
	watch := run(monday, 10) // 07:00 to 08:00
	watch.ID, watch.HeartMean, watch.Points = "watch", 150, 3600
	shifted := func(id string, minutes time.Duration, km float64) load.Session {
		s := run(monday, km)
		s.ID = id
		s.Start, s.End = s.Start.Add(minutes*time.Minute), s.End.Add(minutes*time.Minute)
		return s
	}
	typed := func(id string, km float64) load.Session {
		s := run(monday, km)
		s.ID, s.Typed, s.NoStart, s.HasPositions = id, true, true, false
		return s
	}
	chosen := func(s load.Session, as load.DoubleChoice) load.Session {
		s.Double = as
		return s
	}
	ride := shifted("ride", 0, 10)
	ride.Sport = load.Cycling
	tests := []struct {
		name  string
		other []load.Session
		want  map[string]string
	}{
		{"overlap of 59 min in 60", []load.Session{shifted("phone", 1, 10)}, map[string]string{"phone": "watch"}},
		{"overlap of 48 min in 60 is not above 80 %", []load.Session{shifted("phone", 12, 10)}, nil},
		{"the shorter one decides", []load.Session{shifted("phone", 20, 5)}, map[string]string{"phone": "watch"}},
		{"two that another one stands for", []load.Session{shifted("phone", 1, 10), shifted("band", 2, 10)}, map[string]string{"phone": "watch", "band": "watch"}},
		{"a ride is no double of a run", []load.Session{ride}, nil},
		{"typed within 10 %", []load.Session{typed("row", 10.9)}, map[string]string{"row": "watch"}},
		{"typed, 11 % more", []load.Session{typed("row", 11.1)}, nil},
		{"the phone was chosen", []load.Session{chosen(shifted("phone", 1, 10), load.DoubleCounts)}, map[string]string{"watch": "phone"}},
		{
			"chosen among three",
			[]load.Session{shifted("band", 1, 10), chosen(shifted("phone", 2, 10), load.DoubleCounts)},
			map[string]string{"watch": "phone", "band": "phone"},
		},
		{"two runs after all", []load.Session{chosen(shifted("phone", 1, 10), load.DoubleApart)}, nil},
		{"the row was chosen", []load.Session{chosen(typed("row", 10.9), load.DoubleCounts)}, map[string]string{"watch": "row"}},
		{"the row is another run", []load.Session{chosen(typed("row", 10.9), load.DoubleApart)}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			sessions := append(tt.other, watch)
			for range 5 { // in any order
				rand.Shuffle(len(sessions), func(i, j int) { sessions[i], sessions[j] = sessions[j], sessions[i] })
				got := load.Doubles(sessions)
				if len(got) != len(tt.want) {
					t.Fatalf("doubles %v, want %v", got, tt.want)
				}
				for id, counts := range tt.want {
					if got[id] != counts {
						t.Errorf("%s stands for %s, want %s", got[id], id, counts)
					}
				}
			}
		})
	}
}

func TestRicherCounts(t *testing.T) {
	tests := []struct {
		name string
		edit func(poor, rich *load.Session)
	}{
		{"positions before heart rate", func(poor, rich *load.Session) { poor.HasPositions, poor.HeartMean = false, 150 }},
		{"heart rate before cadence", func(poor, rich *load.Session) { rich.HeartMean, poor.CadenceMean = 150, 170 }},
		{"cadence before the device's distance", func(poor, rich *load.Session) { rich.CadenceMean, poor.DeviceDistance = 170, 10000 }},
		{"the device's distance before samples", func(poor, rich *load.Session) { rich.DeviceDistance, poor.Points = 10000, 3600 }},
		{"more samples", func(poor, rich *load.Session) { rich.Points = 100 }},
		{"the older", func(poor, rich *load.Session) { poor.Start, poor.Points = poor.Start+1000, rich.Points }},
	}
	for _, tt := range tests {
		poor, rich := run(monday, 10), run(monday, 10)
		poor.ID, rich.ID = "poor", "rich"
		tt.edit(&poor, &rich)
		if got := load.Doubles([]load.Session{poor, rich}); got["poor"] != "rich" {
			t.Errorf("%s: %v, want poor to stand aside", tt.name, got)
		}
	}
}

func TestDoublesDoNotCount(t *testing.T) {
	phone := run(monday, 10)
	phone.ID, phone.HasPositions = "phone", false
	in := &load.Input{Sessions: append(daily(monday, 10), phone), Today: monday}
	if got := load.NewHistory(in, load.Distance).DayRows(monday, monday)[0].Load; got != 10 {
		t.Errorf("load %v km, want 10", got)
	}
}

// What lies after today stands for nothing before it.
func TestTomorrowHidesNothing(t *testing.T) {
	richer := run(monday, 10)
	richer.ID, richer.HeartMean, richer.Day = "richer", 150, monday+1
	in := &load.Input{Sessions: append(daily(monday, 10), richer), Today: monday}
	if h := load.NewHistory(in, load.Distance); h.Empty() || h.DayRows(monday, monday)[0].Load != 10 {
		t.Error("a recording of tomorrow hid the run of today")
	}
}

func TestTheSameIDTwice(t *testing.T) {
	s := run(monday, 10)
	if got := load.Doubles([]load.Session{s, s}); len(got) != 0 {
		t.Errorf("doubles %v: a session cannot stand for itself", got)
	}
}
