package diary_test

import (
	"fmt"
	"testing"
	"time"
	_ "time/tzdata"

	"tidemark/ingest/diary"
	"tidemark/load"
)

func decodeOne(t *testing.T, zone string, day load.Day, start string) load.Activity {
	t.Helper()
	home, err := time.LoadLocation(zone)
	if err != nil {
		t.Fatal(err)
	}
	text := fmt.Sprintf("date,start,duration_min\n%v,%s,30\n", day, start)
	book, err := diary.Decode([]byte(text), home, diary.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	return book.Rows[0]
}

// The changes of the clocks are those of the IANA time zone database.
func TestStartWhenClocksChange(t *testing.T) {
	tests := []struct {
		zone, day, start string
		want             string // local, with the offset
		noted            bool
	}{
		{"Europe/Berlin", "2025-03-30", "01:59", "2025-03-30T01:59:00+01:00", false},
		{"Europe/Berlin", "2025-03-30", "02:30", "2025-03-30T03:30:00+02:00", true},
		{"Europe/Berlin", "2025-03-30", "03:00", "2025-03-30T03:00:00+02:00", false},
		{"Europe/Berlin", "2025-10-26", "02:30", "2025-10-26T02:30:00+02:00", true},
		{"Europe/Berlin", "2025-10-26", "03:00", "2025-10-26T03:00:00+01:00", false},
		{"Africa/Cairo", "2023-04-28", "00:00", "2023-04-28T01:00:00+03:00", true},
		{"Africa/Cairo", "2023-04-27", "23:59", "2023-04-27T23:59:00+02:00", false},
		{"America/Santiago", "2023-09-03", "00:10", "2023-09-03T01:10:00-03:00", true},
		{"America/Santiago", "2023-04-01", "23:30", "2023-04-01T23:30:00-03:00", true},
		{"Australia/Lord_Howe", "2025-10-05", "02:10", "2025-10-05T02:40:00+11:00", true},
		{"Australia/Lord_Howe", "2025-04-06", "01:45", "2025-04-06T01:45:00+11:00", true},
		{"Pacific/Apia", "2011-12-29", "23:00", "2011-12-29T23:00:00-10:00", false},
		{"Pacific/Apia", "2011-12-31", "00:00", "2011-12-31T00:00:00+14:00", false},
		{"Pacific/Apia", "2011-12-30", "", "2011-12-31T12:00:00+14:00", false},
	}
	for _, test := range tests {
		t.Run(test.zone+" "+test.day+" "+test.start, func(t *testing.T) {
			day, err := load.ParseDay(test.day)
			if err != nil {
				t.Fatal(err)
			}
			a := decodeOne(t, test.zone, day, test.start)
			home, _ := time.LoadLocation(test.zone)
			if got := a.Start.Time().In(home).Format(time.RFC3339); got != test.want {
				t.Errorf("start = %s, want %s", got, test.want)
			}
			if got := a.Notes.Has(load.NoteTime); got != test.noted {
				t.Errorf("noted = %v, want %v (%v)", got, test.noted, a.Notes)
			}
			if a.Typed.Day != day {
				t.Errorf("day = %v, want %v", a.Typed.Day, day)
			}
		})
	}
}

// Whatever the clocks do, a row stays on the date that was typed, and its start
// shows that date too.
func TestDayIsKeptInEveryZone(t *testing.T) {
	zones := []string{"Africa/Cairo", "America/Santiago", "Pacific/Apia", "Australia/Lord_Howe", "Europe/Berlin"}
	for _, zone := range zones {
		t.Run(zone, func(t *testing.T) {
			home, err := time.LoadLocation(zone)
			if err != nil {
				t.Fatal(err)
			}
			missing := load.Date(2011, time.December, 30) // Apia went over the date line
			days := 0
			for day := load.Date(2010, 1, 1); day < load.Date(2026, 1, 1); day++ {
				for _, start := range []string{"", "00:00", "00:30", "02:15", "23:59"} {
					a := decodeOne(t, zone, day, start)
					if a.Typed.Day != day {
						t.Fatalf("%v %s: typed day %v", day, start, a.Typed.Day)
					}
					shown := load.DayOf(a.Start.Time().In(home))
					if shown != day && (zone != "Pacific/Apia" || day != missing) {
						t.Fatalf("%v %s: the start is on %v", day, start, shown)
					}
				}
				days++
			}
			if days != 5844 { // 16 years, 4 of them leap years
				t.Errorf("%d days were tried", days)
			}
		})
	}
}
