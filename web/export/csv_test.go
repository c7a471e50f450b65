package export_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/web/export"
)

const header = "id,day,start,kind,surface,race,counted,distance_km,distance_source,duration_min,elapsed_min," +
	"run_km,run_min,walk_min,run_spells,flat_km,ascent_m,descent_m,hr_mean,hr_max,cadence_spm,steps,steps_source,exertion,heart_trimp,tendon_km,shoe,note,device"

// inOslo is the zone of the invented sessions in March.
var inOslo = load.Zone{Name: "Europe/Oslo", Offset: time.Hour, Source: load.ZoneFromFile}

// full is a session with every value there is.
func full() load.Session {
	s := load.Session{
		ID: "9f86d081884c7d65-1772434800", Day: load.Date(2026, time.March, 2), Start: sunrise + 250, End: sunrise.Add(50 * time.Minute), Zone: inOslo,
		Sport: load.Running, Surface: load.Trail, Race: true, Shoe: "Blue pair", Note: "Wet.", Device: "Watch 3",
		Elapsed: 50 * time.Minute, Moving: 48 * time.Minute, RunTime: 42 * time.Minute, WalkTime: 6*time.Minute + 500*time.Millisecond, RunSpells: 7,
		DistanceSource: load.DistanceFromDevice, Ascent: 120.25, Descent: 118.5, HasAscent: true,
		HeartMean: 141, HeartMax: 163, CadenceMean: 168.4375, StepsSource: load.StepsFromCadence, Points: 2881,
	}
	s.Measures.Set(load.Distance, 8_123_457) // mm
	s.Measures.Set(load.Time, 2_880_000)     // ms
	s.Measures.Set(load.RunDistance, 7_500_000)
	s.Measures.Set(load.RunTime, 2_520_000)
	s.Measures.Set(load.Flat, 8_900_001)
	s.Measures.Set(load.Exertion, 192_000) // thousandths
	s.Measures.Set(load.Steps, 8085)
	return s
}

// table writes sessions and returns the cells by the name of their column.
func table(t *testing.T, doubles map[string]string, sessions ...load.Session) (rows []map[string]string) {
	t.Helper()
	var out bytes.Buffer
	if err := export.CSV(&out, sessions, doubles, load.Schedule{}); err != nil {
		t.Fatal(err)
	}
	cells, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range cells[1:] {
		row := make(map[string]string)
		for i, name := range cells[0] {
			row[name] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// The whole table to the byte: what there is of a run, and next to nothing of a day
// of which only the date is known.
func TestCSV(t *testing.T) {
	bare := load.Session{ID: "row-1", Day: load.Date(2026, time.March, 1), Start: sunrise.Add(-19 * time.Hour), NoStart: true, Zone: inOslo, Sport: load.Running, Typed: true}
	var out bytes.Buffer
	if err := export.CSV(&out, []load.Session{full(), bare}, nil, load.Schedule{}); err != nil {
		t.Fatal(err)
	}
	want := header + "\r\n" +
		"row-1,2026-03-01,,running,,no,yes,,,,,,,,,,,,,,,,,,,,,,\r\n" +
		"9f86d081884c7d65-1772434800,2026-03-02,2026-03-02T08:00:00.25+01:00,running,trail,yes,yes,8.123457,device,48,50," +
		"7.5,42,6.008333333333334,7,8.900001,120.25,118.5,141,163,168.4375,8085,cadence,192,,,Blue pair,Wet.,Watch 3\r\n"
	if diff := cmp.Diff(want, out.String()); diff != "" {
		t.Errorf("table (-want +got):\n%s", diff)
	}
}

// Without a recording there is still the line that names the columns.
func TestCSVOfNothing(t *testing.T) {
	var out bytes.Buffer
	if err := export.CSV(&out, nil, nil, load.Schedule{}); err != nil || out.String() != header+"\r\n" {
		t.Errorf("%q, %v", out.String(), err)
	}
}

func TestCSVCounted(t *testing.T) {
	tests := []struct {
		name   string
		change func(*load.Session)
		double string
		want   string
	}{
		{"a run", func(*load.Session) {}, "", "yes"},
		{"a run that was left out", func(s *load.Session) { s.Excluded = true }, "", "no"},
		{"a double", func(*load.Session) {}, "another", "no"},
		{"a walk", func(s *load.Session) { s.Sport = load.Walking }, "", "no"},
		{"nobody knows what", func(s *load.Session) { s.Sport = load.UnknownSport }, "", "no"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := full()
			tt.change(&s)
			doubles := map[string]string{}
			if tt.double != "" {
				doubles[s.ID] = tt.double
			}
			if got := table(t, doubles, s)[0]["counted"]; got != tt.want {
				t.Errorf("counted %q, want %q", got, tt.want)
			}
		})
	}
}

// A text of a person's or a device's comes back as it was, but for one that a
// spreadsheet would compute.
func TestCSVTexts(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"comma", "wet, windy", "wet, windy"},
		{"quotes", `the "long" one`, `the "long" one`},
		{"lines", "out\nand back", "out\nand back"},
		{"other letters", "Løp på fjellet 山", "Løp på fjellet 山"},
		{"formula", `=HYPERLINK("http://example.com","click")`, `'=HYPERLINK("http://example.com","click")`},
		{"plus", "+1 km", "'+1 km"},
		{"minus", "-2 degrees", "'-2 degrees"},
		{"at", "@noon", "'@noon"},
		{"tab", "\t=1+1", "'\t=1+1"},
		{"return", "\r=1+1", "'=1+1"}, // the writer drops a return that no line follows
		{"not at its beginning", "6 = six", "6 = six"},
		{"one apostrophe is left alone", "'tis", "'tis"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, column := range []string{"shoe", "note", "device"} {
				s := full()
				*map[string]*string{"shoe": &s.Shoe, "note": &s.Note, "device": &s.Device}[column] = tt.text
				if got := table(t, nil, s)[0][column]; got != tt.want {
					t.Errorf("%s %q, want %q", column, got, tt.want)
				}
			}
		})
	}
}

// Amounts come back to the millimetre and the millisecond, however odd, and never
// with an exponent.
func TestCSVRoundTrip(t *testing.T) {
	for _, amount := range []load.Amount{0, 1, 7, 999_999, 8_123_457, 42_195_000, 123_456_789_012} {
		s := full()
		s.Measures.Set(load.Distance, amount)
		s.Measures.Set(load.Time, amount)
		row := table(t, nil, s)[0]
		for column, parts := range map[string]float64{"distance_km": 1e6, "duration_min": 60e3} {
			v, err := strconv.ParseFloat(row[column], 64)
			// The parts of a km and of a minute, rounded to the nearest as by hand.
			if got := int64(v*parts + 0.5); err != nil || got != int64(amount) || strings.ContainsAny(row[column], "eE") {
				t.Errorf("%s of %d is %q, which is %d (%v)", column, amount, row[column], got, err)
			}
		}
	}
}

func TestCSVOrder(t *testing.T) {
	at := func(id string, start load.Instant) load.Session {
		s := full()
		s.ID, s.Start = id, start
		return s
	}
	given := []load.Session{at("c", 3000), at("b", 1000), at("a", 3000), at("d", 2000)}
	var got []string
	for _, row := range table(t, nil, given...) {
		got = append(got, row["id"])
	}
	if diff := cmp.Diff([]string{"b", "d", "a", "c"}, got); diff != "" {
		t.Errorf("order (-want +got):\n%s", diff)
	}
	if given[0].ID != "c" {
		t.Error("the caller's list was sorted")
	}
}

type fullDisk struct{}

var errFull = errors.New("no room")

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }

func TestWriteFails(t *testing.T) {
	a := seaside(60)
	workout := export.Workout{Blocks: []export.Block{{Steps: []export.Step{{Kind: export.Run, Time: time.Minute}}}}}
	for name, err := range map[string]error{
		"csv": export.CSV(fullDisk{}, []load.Session{full()}, nil, load.Schedule{}), "gpx": export.GPX(fullDisk{}, a, reduced(a)), "fit": export.FIT(fullDisk{}, &workout),
	} {
		if !errors.Is(err, errFull) {
			t.Errorf("%s: error %v, want that of the writer", name, err)
		}
	}
}

func ExampleCSV() {
	s := load.Session{ID: "sunday", Day: load.Date(2026, time.March, 1), NoStart: true, Sport: load.Running, Typed: true, DistanceSource: load.DistanceTyped, Note: "=easy, by the canal"}
	s.Measures.Set(load.Distance, load.Distance.Of(8.4))
	s.Measures.Set(load.Time, load.Time.Of(50))
	var table bytes.Buffer
	if err := export.CSV(&table, []load.Session{s}, nil, load.Schedule{}); err != nil {
		fmt.Fprintln(os.Stderr, err)
	}
	_, row, _ := strings.Cut(table.String(), "\r\n")
	fmt.Print(row)
	// Output: sunday,2026-03-01,,running,,no,yes,8.4,typed,50,,,,,,,,,,,,,,,,,,"'=easy, by the canal",
}

// FuzzCSV writes any text: it comes back but for carriage returns, which the
// format's own line ends swallow, and never begins a formula.
func FuzzCSV(f *testing.F) {
	f.Add("wet, \"windy\"\nand long")
	f.Add("=1+1")
	f.Add("\r\t@")
	f.Fuzz(func(t *testing.T, text string) {
		s := full()
		s.Note = text
		got := table(t, nil, s)[0]["note"]
		if got != "" && strings.ContainsAny(got[:1], "=+-@\t\r") {
			t.Errorf("%q begins a formula", got)
		}
		want := strings.ReplaceAll(text, "\r", "")
		if text != "" && strings.ContainsAny(text[:1], "=+-@\t\r") {
			want = "'" + want
		}
		if got != want {
			t.Errorf("%q comes back as %q, want %q", text, got, want)
		}
	})
}
