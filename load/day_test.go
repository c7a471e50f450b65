package load_test

import (
	"testing"
	"time"
	_ "time/tzdata"

	"tidemark/load"
)

// Cases that were run with Go 1.26 and tzdata (load reference 10.2).
func TestDayOf(t *testing.T) {
	tests := []struct{ instant, zone, want string }{
		{"2025-03-29T23:40:00Z", "Europe/Berlin", "2025-03-30"},
		{"2025-03-29T23:40:00Z", "America/Los_Angeles", "2025-03-29"},
		{"2023-09-03T04:00:00Z", "America/Santiago", "2023-09-03"}, // the day without a midnight
		{"2011-12-30T09:59:59Z", "Pacific/Apia", "2011-12-29"},
		{"2011-12-30T10:00:00Z", "Pacific/Apia", "2011-12-31"}, // the 30th does not exist
	}
	for _, tt := range tests {
		instant, err := time.Parse(time.RFC3339, tt.instant)
		if err != nil {
			t.Fatal(err)
		}
		zone, err := time.LoadLocation(tt.zone)
		if err != nil {
			t.Fatal(err)
		}
		if got := load.DayOf(instant.In(zone)).String(); got != tt.want {
			t.Errorf("%s in %s is %s, want %s", tt.instant, tt.zone, got, tt.want)
		}
	}
}

func TestDayNumbers(t *testing.T) {
	tests := []struct {
		day    string
		number load.Day
		week   time.Weekday
	}{
		{"1970-01-01", 0, time.Thursday},
		{"1969-12-31", -1, time.Wednesday},
		{"2000-02-29", 11016, time.Tuesday}, // 30 years of 365, 7 leap days, 31 + 28 days
		{"2026-03-02", 20514, time.Monday},  // 56 years of 365, 14 leap days, 31 + 28 + 1 days
	}
	for _, tt := range tests {
		got, err := load.ParseDay(tt.day)
		if err != nil || got != tt.number || got.Weekday() != tt.week || got.String() != tt.day {
			t.Errorf("%s: %d, %v, %s, %v; want %d, %v", tt.day, got, got.Weekday(), got, err, tt.number, tt.week)
		}
	}
	for _, bad := range []string{"", "2026-02-30", "2026-3-2", "02.03.2026", "2026-03-02T00:00:00Z"} {
		if day, err := load.ParseDay(bad); err == nil {
			t.Errorf("%q was read as %v", bad, day)
		}
	}
}

// The length of days does not enter: a week over a change of clocks is seven.
func TestDaysOverAChangeOfClocks(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	start := time.Date(2025, 3, 27, 23, 30, 0, 0, berlin)
	for i := range 7 {
		local := start.AddDate(0, 0, i)
		if got := load.DayOf(local) - load.DayOf(start); got != load.Day(i) {
			t.Errorf("%v is %d days on, want %d", local, got, i)
		}
	}
}
