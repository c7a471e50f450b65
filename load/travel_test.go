package load_test

import (
	"testing"
	"time"

	"tidemark/load"
)

// ranAt is ten minutes at 3 m/s, 1.8 km, begun at a moment on a clock so many hours
// ahead of UTC.
func ranAt(t *testing.T, id, moment string, hours int) load.Session {
	t.Helper()
	at, err := time.Parse(time.RFC3339, moment)
	if err != nil {
		t.Fatal(err)
	}
	a := recording(complete, leg{600, 3, 170})
	shift := load.InstantOf(at) - a.Start
	a.Start += shift
	for i := range a.Samples {
		a.Samples[i].At += shift
	}
	return load.Reduce(id, a, load.Zone{Offset: time.Duration(hours) * time.Hour, Source: load.ZoneFromFile})
}

// Whoever flies from Tokyo to Honolulu lives a date twice: both runs are of it, 19
// hours of clocks apart. The way back leaves a date out. Over the end of summer time in
// Berlin (load reference 10.2: the 26th of October 2025 has 25 hours) seven days are
// seven numbers.
func TestTravelKeepsSumsRight(t *testing.T) {
	for _, test := range []struct {
		name     string
		sessions []load.Session
		today    string
		days     map[string]float64
		week     float64
	}{
		{
			"a date twice", []load.Session{
				ranAt(t, "tokyo", "2026-03-02T07:00:00+09:00", 9), ranAt(t, "honolulu", "2026-03-02T06:00:00-10:00", -10),
			}, "2026-03-02", map[string]float64{"2026-03-02": 3.6}, 3.6,
		},
		{
			"a date left out", []load.Session{
				ranAt(t, "honolulu", "2026-03-02T20:00:00-10:00", -10), ranAt(t, "tokyo", "2026-03-04T06:00:00+09:00", 9),
			}, "2026-03-04", map[string]float64{"2026-03-02": 1.8, "2026-03-03": 0, "2026-03-04": 1.8}, 3.6,
		},
		{
			"seven days with 25 hours in one", []load.Session{
				ranAt(t, "first", "2025-10-20T00:10:00+02:00", 2), ranAt(t, "last", "2025-10-26T23:50:00+01:00", 1),
			}, "2025-10-26", map[string]float64{"2025-10-20": 1.8, "2025-10-26": 1.8}, 3.6,
		},
		{
			"eight days", []load.Session{
				ranAt(t, "first", "2025-10-19T23:50:00+02:00", 2), ranAt(t, "last", "2025-10-26T23:50:00+01:00", 1),
			}, "2025-10-26", map[string]float64{"2025-10-19": 1.8, "2025-10-26": 1.8}, 1.8,
		},
		{
			"over midnight",
			[]load.Session{ranAt(t, "run", "2026-03-02T23:55:00+01:00", 1)},
			"2026-03-03",
			map[string]float64{"2026-03-02": 1.8, "2026-03-03": 0},
			1.8,
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			today, err := load.ParseDay(test.today)
			if err != nil {
				t.Fatal(err)
			}
			h := load.NewHistory(&load.Input{Sessions: test.sessions, Today: today}, load.Distance)
			for text, want := range test.days {
				day, err := load.ParseDay(text)
				if err != nil {
					t.Fatal(err)
				}
				rows := h.DayRows(day, day)
				if len(rows) != 1 || !near(rows[0].Load, want, 1e-6) {
					t.Errorf("%s: %+v, want %v km", text, rows, want)
				}
			}
			if rows := h.DayRows(today, today); !near(rows[0].Acute, test.week, 1e-6) {
				t.Errorf("seven days have %v km, want %v", rows[0].Acute, test.week)
			}
		})
	}
}
