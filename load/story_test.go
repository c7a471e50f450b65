package load_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"tidemark/load"
)

// monday is the first day of the stories: 2 March 2026, a Monday.
var monday = load.Date(2026, time.March, 2)

// run returns a run of so many km, at 10 km/h, at seven in the morning UTC.
func run(day load.Day, km float64) load.Session {
	s := load.Session{
		ID: fmt.Sprintf("%v-%05.2f", day, km), Day: day, Sport: load.Running,
		Start: load.InstantOf(day.Noon().Add(-5 * time.Hour)), Distance: load.Metres(1000 * km),
		DistanceSource: load.DistanceFromDevice, HasPositions: true,
	}
	s.Moving = time.Duration(km * 6 * float64(time.Minute)).Round(time.Millisecond)
	s.Elapsed, s.End = s.Moving, s.Start.Add(s.Moving)
	s.Measures.Set(load.Distance, load.Distance.Of(km))
	s.Measures.Set(load.Time, load.Amount(s.Moving.Milliseconds()))
	return s
}

// daily returns a run for each distance above zero, one a day from first on.
func daily(first load.Day, km ...float64) (sessions []load.Session) {
	for i, d := range km {
		if d > 0 {
			sessions = append(sessions, run(first+load.Day(i), d))
		}
	}
	return sessions
}

// repeat returns the pattern n times over.
func repeat(n int, pattern ...float64) (km []float64) {
	for range n {
		km = append(km, pattern...)
	}
	return km
}

// history returns the story's history in km, as of its last day plus idle days.
func history(t testing.TB, idle int, km ...float64) *load.History {
	t.Helper()
	in := &load.Input{Sessions: daily(monday, km...), Today: monday + load.Day(len(km)-1+idle)}
	return load.NewHistory(in, load.Distance)
}

// number returns the value, or fails.
func number(t testing.TB, what string, v load.Value) float64 {
	t.Helper()
	n, ok := v.Get()
	if !ok {
		t.Fatalf("%s is undefined: %s", what, v.Reason())
	}
	return n
}

func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance }

// late is an instant after every start on day.
func late(day load.Day) load.Instant { return load.InstantOf((day + 2).Noon()) }
