package load_test

import (
	"encoding/csv"
	"errors"
	"io"
	"os"
	"strconv"
	"testing"

	"tidemark/load"
)

// lastRow returns the windows of a story's last day.
func lastRow(t *testing.T, km ...float64) load.DayRow {
	t.Helper()
	end := monday + load.Day(len(km)-1)
	return history(t, 0, km...).DayRows(end, end)[0]
}

// The four weeks of load reference 3.4.
var fourWeeks = append(repeat(3, 5, 0, 8, 0, 6, 0, 11), 6, 0, 10, 0, 8, 4, 17)

func TestPublishedWindows(t *testing.T) {
	row := lastRow(t, fourWeeks...)
	tests := []struct {
		name            string
		got             load.Value
		want, tolerance float64
	}{
		// Load reference 11, rows 15 and 17: computed from the published formulas
		// (Lolli et al. 2019 for the blocks, Williams et al. 2017 for the averages).
		{"coupled", row.RatioCoupled, 1.333333, 1e-6},
		{"uncoupled", row.RatioUncoupled, 1.5, 1e-9},
		{"averages", row.RatioEWMA, 1.418361, 1e-6},
		{"acute average", row.EWMAAcute, 7.869211, 1e-6},
		{"chronic average", row.EWMAChronic, 5.548101, 1e-6},
		{"change", row.WeekChange, 15, 1e-9},             // 45 - 30
		{"change share", row.WeekChangeShare, 0.5, 1e-9}, // 15 / 30
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := number(t, tt.name, tt.got); !near(got, tt.want, tt.tolerance) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

// TestCoupledAndUncoupled holds the identity Rc = 4 Ru / (Ru + 3), derived in
// load reference 3.1, and its bound of 4, on every day that has both.
func TestCoupledAndUncoupled(t *testing.T) {
	seen := 0
	for _, row := range history(t, 0, append(fourWeeks, fourWeeks...)...).DayRows(monday, monday+60) {
		rc, ok := row.RatioCoupled.Get()
		ru, both := row.RatioUncoupled.Get()
		if !ok || !both {
			continue
		}
		seen++
		if want := 4 * ru / (ru + 3); !near(rc, want, 1e-12) || rc > 4 {
			t.Errorf("%v: coupled %v, want %v", row.Date, rc, want)
		}
	}
	if seen != 29 { // days 28 to 56
		t.Errorf("%d days with both ratios, want 29", seen)
	}
}

func TestCoupledReachesFour(t *testing.T) {
	km := append(repeat(1, 10), repeat(30, 0)...) // one run, then nothing
	km = append(km, 30)
	in := &load.Input{Sessions: daily(monday, km...), Today: monday + load.Day(len(km)-1)}
	for i := range km {
		in.Rests = append(in.Rests, monday+load.Day(i)) // all known
	}
	row := load.NewHistory(in, load.Distance).DayRows(in.Today, in.Today)[0]
	if got := number(t, "coupled", row.RatioCoupled); got != 4 {
		t.Errorf("coupled = %v, want 4 with three empty weeks (derived, load reference 3.1)", got)
	}
	if row.RatioUncoupled.Reason() != load.ReasonFloor {
		t.Errorf("uncoupled = %+v, want undefined: floor", row.RatioUncoupled)
	}
}

func TestMonotony(t *testing.T) {
	tests := []struct {
		name       string
		loads      []float64
		population bool
		want       float64
		tolerance  float64
	}{
		// Foster 2001, table 5: the nine printed session loads give the printed 1.26
		// only with the population form; 1.2646 computed from them.
		{"foster, sessions, population", []float64{940, 50, 840, 280, 180, 390, 50, 390, 280}, true, 1.2646, 5e-5},
		{"foster, days, sample", []float64{940, 50, 1120, 180, 390, 50, 670}, false, 1.1217, 5e-5},
		{"foster, days, population", []float64{940, 50, 1120, 180, 390, 50, 670}, true, 1.2116, 5e-5},
		// Load reference 1.4, computed from the published formula.
		{"worked week, sample", []float64{120, 0, 385, 60, 0, 250, 440}, false, 0.98863, 5e-6},
		{"worked week, population", []float64{120, 0, 385, 60, 0, 250, 440}, true, 1.06784, 5e-6},
		// Load reference 11, row 5, derived.
		{"one run a week, sample", []float64{0, 0, 9, 0, 0, 0, 0}, false, 0.377964, 1e-6},
		{"one run a week, population", []float64{0, 0, 9, 0, 0, 0, 0}, true, 0.408248, 1e-6},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := number(t, "monotony", load.Monotony(tt.loads, tt.population))
			if !near(got, tt.want, tt.tolerance) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
	for _, loads := range [][]float64{{0, 0, 0}, {7.3, 7.3, 7.3, 7.3, 7.3, 7.3, 7.3}} {
		if got := load.Monotony(loads, false); got.Reason() != load.ReasonNoVariation {
			t.Errorf("monotony of %v = %+v, want undefined: no-variation", loads, got)
		}
	}
}

// TestStrain holds load reference 1.4: 1255 AU, sample form, strain 1240.73.
func TestStrain(t *testing.T) {
	in := &load.Input{Today: monday + 6}
	for i, au := range []float64{120, 0, 385, 60, 0, 250, 440} {
		if au > 0 {
			s := run(monday+load.Day(i), 5)
			s.Measures.Set(load.Exertion, load.Exertion.Of(au))
			in.Sessions = append(in.Sessions, s)
		}
	}
	row := load.NewHistory(in, load.Exertion).DayRows(in.Today, in.Today)[0]
	if got := number(t, "strain", row.Strain); !near(got, 1240.73, 0.05) || row.Acute != 1255 {
		t.Errorf("strain %v of %v, want 1240.73 of 1255", got, row.Acute)
	}
}

// TestWindowsAgainstIndependentComputation compares every field of every day
// with testdata/load/windows.csv, which windows.py computed from the
// definitions.
func TestWindowsAgainstIndependentComputation(t *testing.T) {
	f, err := os.Open("../testdata/load/windows.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	head, err := r.Read()
	if err != nil {
		t.Fatal(err)
	}
	stories := make(map[string][][]string)
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		stories[record[0]] = append(stories[record[0]], record)
	}
	if len(stories) != 3 {
		t.Fatalf("%d stories, want 3", len(stories))
	}
	for name, records := range stories {
		t.Run(name, func(t *testing.T) { compareStory(t, head, records) })
	}
}

func compareStory(t *testing.T, head []string, records [][]string) {
	var km []float64
	for _, record := range records {
		metres, err := strconv.Atoi(record[2])
		if err != nil {
			t.Fatal(err)
		}
		km = append(km, float64(metres)/1000)
	}
	rows := history(t, 0, km...).DayRows(monday, monday+load.Day(len(km)-1))
	if len(rows) != len(records) {
		t.Fatalf("%d rows, want %d", len(rows), len(records))
	}
	for i, record := range records {
		row := &rows[i]
		if row.Date.String() != record[1] {
			t.Fatalf("row %d is of %v, want %s", i, row.Date, record[1])
		}
		for j, field := range head[3:] {
			if want := record[3+j]; !same(fieldOf(t, row, field), want) {
				t.Errorf("%v: %s = %+v, want %s", row.Date, field, fieldOf(t, row, field), want)
			}
		}
	}
}

func fieldOf(t *testing.T, row *load.DayRow, name string) load.Value {
	switch name {
	case "acute":
		return load.Known(row.Acute)
	case "chronic_coupled":
		return row.ChronicCoupled
	case "chronic_uncoupled":
		return row.ChronicUncoupled
	case "ratio_coupled":
		return row.RatioCoupled
	case "ratio_uncoupled":
		return row.RatioUncoupled
	case "ewma_acute":
		return row.EWMAAcute
	case "ewma_chronic":
		return row.EWMAChronic
	case "ratio_ewma":
		return row.RatioEWMA
	case "week_change":
		return row.WeekChange
	case "week_change_share":
		return row.WeekChangeShare
	case "monotony":
		return row.Monotony
	case "strain":
		return row.Strain
	case "tidemark":
		return row.Tidemark
	case "known":
		return load.Known(float64(row.KnownDays28))
	}
	t.Fatalf("no field %q", name)
	return load.Value{}
}

// same compares with a cell that holds a number of 12 digits or a reason.
func same(got load.Value, cell string) bool {
	n, ok := got.Get()
	want, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		return !ok && got.Reason().String() == cell
	}
	return ok && near(n, want, 1e-9*max(1, want))
}

func TestDayStates(t *testing.T) {
	ride := run(monday+12, 20)
	ride.Sport, ride.ID = load.Cycling, "ride"
	typed := run(monday+14, 6)
	typed.Typed = true
	in := &load.Input{
		Sessions: append(daily(monday, 5), ride, typed),
		Rests:    []load.Day{monday + 3},
		Today:    monday + 26,
	}
	rows := load.NewHistory(in, load.Distance).DayRows(monday, in.Today)
	want := map[load.Day]load.DayState{
		monday: load.Recorded, monday + 1: load.Assumed,
		monday + 3: load.Rest, monday + 11: load.Assumed,
		monday + 12: load.Recorded, // a ride is a record too
		monday + 14: load.Reported,
		monday + 24: load.Assumed, // ten days after the last record
		monday + 25: load.Unknown, monday + 26: load.Unknown,
	}
	for day, state := range want {
		if got := rows[day-monday].State; got != state {
			t.Errorf("%v is %s, want %s", day, got, state)
		}
	}
	if rows[12].Load != 0 {
		t.Errorf("a ride made a running load of %v km", rows[12].Load)
	}
}

func TestMissingMeasureMakesTheDayUnknown(t *testing.T) {
	in := &load.Input{Sessions: daily(monday, 5, 0, 5), Today: monday + 3}
	in.Sessions[0].Measures.Set(load.Exertion, load.Exertion.Of(200))
	rows := load.NewHistory(in, load.Exertion).DayRows(monday, in.Today)
	if rows[0].State != load.Recorded || rows[2].State != load.Unknown || rows[3].Acute != 200 {
		t.Errorf("states %s, %s, sum %v; want recorded, unknown, 200", rows[0].State, rows[2].State, rows[3].Acute)
	}
	if got := rows[2].Spike.Reason(); got != load.ReasonNotRecorded {
		t.Errorf("spike without the measure: %s, want not-recorded", got)
	}
}
