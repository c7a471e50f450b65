package ingest_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest"
	"tidemark/load"
)

func location(t *testing.T, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

// The places are public: city halls and open sea. Offsets are those of the IANA
// time zone database.
func TestZoneOf(t *testing.T) {
	at := func(y int, m time.Month, d, hour, minute int) load.Instant {
		return load.InstantOf(time.Date(y, m, d, hour, minute, 0, 0, time.UTC))
	}
	berlin := load.Position{Lat: 52.518, Lon: 13.408}
	tests := []struct {
		name     string
		start    load.Instant
		position load.Position
		offset   time.Duration
		has      bool
		want     load.Zone
		day      string
		noted    bool
	}{
		{
			"file before everything", at(2025, 3, 29, 23, 40), berlin, -8 * time.Hour, true,
			load.Zone{Offset: -8 * time.Hour, Source: load.ZoneFromFile},
			"2025-03-29", false,
		},
		{
			// load.md 10.2: 00:40 of the next day in Berlin.
			"coordinates", at(2025, 3, 29, 23, 40), berlin, 0, false,
			load.Zone{Name: "Europe/Berlin", Offset: time.Hour, Source: load.ZoneFromCoordinates},
			"2025-03-30", false,
		},
		{
			"coordinates in summer", at(2025, 7, 1, 21, 59), berlin, 0, false,
			load.Zone{Name: "Europe/Berlin", Offset: 2 * time.Hour, Source: load.ZoneFromCoordinates},
			"2025-07-01", false,
		},
		{
			"open sea", at(2025, 7, 1, 1, 0),
			load.Position{Lat: 10, Lon: -30},
			0, false,
			load.Zone{Name: "Etc/GMT+2", Offset: -2 * time.Hour, Source: load.ZoneFromCoordinates},
			"2025-06-30", false,
		},
		{
			"no position", at(2025, 3, 29, 23, 40),
			load.Position{},
			0, false,
			load.Zone{Name: "America/Los_Angeles", Offset: -7 * time.Hour, Source: load.ZoneFromHome},
			"2025-03-29", false,
		},
		{
			// The Middle Bridge in Basel, 3 km from Germany and France.
			"near a border", at(2025, 7, 1, 12, 0),
			load.Position{Lat: 47.560, Lon: 7.590},
			0, false,
			load.Zone{Name: "America/Los_Angeles", Offset: -7 * time.Hour, Source: load.ZoneFromHome},
			"2025-07-01", true,
		},
		{
			"forgotten offset", at(2025, 7, 1, 3, 0),
			load.Position{Lat: 4.598, Lon: -74.076},
			0, true,
			load.Zone{Source: load.ZoneFromFile},
			"2025-07-01", true,
		},
		{
			"offset of nought two hours off", at(2025, 7, 1, 3, 0), berlin, 0, true,
			load.Zone{Source: load.ZoneFromFile},
			"2025-07-01", false,
		},
		{
			"pole", at(2025, 7, 1, 12, 0),
			load.Position{Lat: 90, Lon: 180},
			0, false,
			load.Zone{Name: "America/Los_Angeles", Offset: -7 * time.Hour, Source: load.ZoneFromHome},
			"2025-07-01", true,
		},
	}
	home := location(t, "America/Los_Angeles")
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := load.Activity{Start: test.start, Offset: test.offset, HasOffset: test.has}
			a.Samples = []load.Sample{{At: test.start}}
			if test.position != (load.Position{}) {
				a.Samples = append(a.Samples, load.Sample{At: test.start + 1000, Position: test.position, Has: load.HasPosition})
			}
			zone := ingest.ZoneOf(&a, home)
			if diff := cmp.Diff(test.want, zone); diff != "" {
				t.Error(diff)
			}
			if got := ingest.DayOf(&a, zone).String(); got != test.day {
				t.Errorf("day %s, want %s", got, test.day)
			}
			if got := a.Notes.Has(load.NoteZone); got != test.noted {
				t.Errorf("noted %v, want %v: %v", got, test.noted, a.Notes)
			}
		})
	}
}

// A row of a diary keeps its date even where no instant of the zone has it.
func TestDayOfTypedRow(t *testing.T) {
	apia := location(t, "Pacific/Apia")
	skipped := load.Date(2011, time.December, 30)
	d, err := ingest.Decode([]byte("date,distance_km\n2011-12-30,5\n"), ingest.Options{Now: now, Home: apia})
	if err != nil {
		t.Fatal(err)
	}
	a := &d.Activities[0]
	zone := ingest.ZoneOf(a, apia)
	if got := ingest.DayOf(a, zone); got != skipped {
		t.Errorf("day %v, want %v", got, skipped)
	}
	if zone.Name != "Pacific/Apia" || zone.Source != load.ZoneFromHome {
		t.Errorf("zone %+v", zone)
	}
}
