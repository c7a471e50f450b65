package wire_test

import (
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
)

// The fields of the contract, by object.
var contract = map[string]string{
	"load":     "runner measure unit as_of days sessions findings headroom",
	"session":  "id day start load tidemark held_tidemark spike spike_class provisional load_low load_high race spike_upper_bound",
	"headroom": "measure state amount unit decides usual limits",
	"limit":    "rule amount value limit why",
	"finding":  "id rule level subject day last_day value limit unit evidence advice state by why",
	"evidence": "rule level subject day value limit unit text source strength",
	"day": "date load state acute chronic_coupled chronic_uncoupled ratio_coupled ratio_uncoupled ewma_acute ewma_chronic ratio_ewma " +
		"week_change week_change_share monotony strain tidemark held_tidemark spike spike_class known_days_28 assumed_days_28 " +
		"provisional settling undefined acute_most known_days_7 known_days_30 spike_upper_bound sd_convention",
	"inspected": "format sport sub_sport start zone zone_source day elapsed_s timer_s moving_s distance_m distance_source " +
		"device_distance_m track_distance_m ascent_m descent_m hr_mean hr_max cadence_mean_spm steps steps_source points laps " +
		"run_s walk_s run_spells flat_acsm_m measures notes",
	"imported": "path sha256 outcome activities reason offset line",
	"activity": "id day start distance_m",
}

// object marshals v and reads it back without its type.
func object(t *testing.T, v any) map[string]any {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var out map[string]any
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func checkFields(t *testing.T, name string, v any) {
	t.Helper()
	want := strings.Fields(contract[name])
	slices.Sort(want)
	if diff := cmp.Diff(want, slices.Sorted(maps.Keys(v.(map[string]any)))); diff != "" {
		t.Errorf("fields of %s (-contract +got):\n%s", name, diff)
	}
}

// picture is six days of a runner in Oslo with a run that is over everything.
func picture() *journal.Picture {
	first := load.Date(2026, time.March, 2)
	in := &load.Input{Today: first + 5}
	for i, km := range []float64{5, 0, 5, 0, 9} {
		if km == 0 {
			continue
		}
		day := first + load.Day(i)
		s := load.Session{ID: day.String(), Day: day, Sport: load.Running, Start: load.InstantOf(day.Noon())}
		s.End = s.Start.Add(time.Hour)
		s.Measures.Set(load.Distance, load.Distance.Of(km))
		in.Sessions = append(in.Sessions, s)
	}
	p := &journal.Picture{Picture: assess.Assess(in, nil, assess.Query{Measure: load.Distance, From: first, To: in.Today}, nil)}
	p.Offsets = map[string]time.Duration{first.String(): time.Hour}
	for _, f := range p.Picture.Findings {
		p.Findings = append(p.Findings, journal.Finding{Finding: f, State: journal.Open})
	}
	return p
}

func TestLoadFields(t *testing.T) {
	out := object(t, wire.FromPicture("Edda", picture()))
	checkFields(t, "load", out)
	for name, list := range map[string]string{"day": "days", "session": "sessions", "finding": "findings"} {
		items := out[list].([]any)
		if len(items) == 0 {
			t.Fatalf("no %s", list)
		}
		checkFields(t, name, items[0])
	}
	checkFields(t, "evidence", out["findings"].([]any)[0].(map[string]any)["evidence"].([]any)[0])
	checkFields(t, "headroom", out["headroom"])
	checkFields(t, "limit", out["headroom"].(map[string]any)["limits"].([]any)[0])
}

func TestLoadValues(t *testing.T) {
	out := wire.FromPicture("Edda", picture())
	if got := out.Sessions[0].Start; got != "2026-03-02T13:00:00+01:00" {
		t.Errorf("start %s, want noon UTC on the clock of Oslo", got)
	}
	day := out.Days[0]
	if day.RatioCoupled != nil || day.Undefined["ratio_coupled"] != "history" || day.Tidemark != nil || day.Undefined["tidemark"] != "no-tidemark" {
		t.Errorf("%+v, want null ratio and tidemark with their reasons", day)
	}
	if day.SpikeClass != nil || *out.Days[4].SpikeClass != "moderate" || *out.Days[4].Spike != 0.8 { // 9 of 5 km
		t.Errorf("spike classes %v and %v", day.SpikeClass, *out.Days[4].SpikeClass)
	}
	if got := object(t, out)["findings"].([]any)[0].(map[string]any); got["level"] != "note" || got["state"] != "open" || got["by"] != nil {
		t.Errorf("finding %v", got)
	}
}

func TestEmptyListsAreNoNull(t *testing.T) {
	p := &journal.Picture{Picture: assess.Assess(&load.Input{Today: 20000}, nil, assess.Query{Measure: load.Steps, From: 19990, To: 20000}, nil)}
	text, err := json.Marshal(wire.FromPicture("Edda", p))
	if err != nil {
		t.Fatal(err)
	}
	want := `{"runner":"Edda","measure":"steps","unit":"count","as_of":"2024-10-04","days":[],"sessions":[],"findings":[],"headroom":null}`
	if string(text) != want {
		t.Errorf("got  %s\nwant %s", text, want)
	}
}

func TestInspectedFields(t *testing.T) {
	s := load.Session{Start: 1_772_000_000_000, Zone: load.Zone{Offset: -90 * time.Minute, Source: load.ZoneFromFile}}
	out := object(t, wire.FromSession("fit", &s))
	checkFields(t, "inspected", out)
	if out["start"] != "2026-02-25T04:43:20-01:30" || out["distance_m"] != nil || out["steps"] != nil {
		t.Errorf("%v", out)
	}
	if diff := cmp.Diff(map[string]any{"distance": nil, "time": nil, "run_distance": nil, "run_time": nil, "flat": nil, "exertion": nil, "heart": nil, "steps": nil, "tendon": nil}, out["measures"]); diff != "" {
		t.Errorf("measures (-want +got):\n%s", diff)
	}
}

func TestRefusals(t *testing.T) {
	tests := []struct {
		name         string
		err          error
		offset, line any
	}{
		{"a byte", &load.DecodeError{Format: "fit", Offset: 276, Err: errors.New("cut")}, 276.0, nil},
		{"a line", &load.DecodeError{Format: "diary", Offset: -1, Line: 3, Column: 9, Err: errors.New("odd")}, nil, 3.0},
		{"no place", errors.New("empty file"), nil, nil},
	}
	for _, tt := range tests {
		out := object(t, wire.FromRefusal("x", tt.err))
		checkFields(t, "imported", out)
		if out["offset"] != tt.offset || out["line"] != tt.line || out["reason"] != tt.err.Error() || out["outcome"] != "refused" {
			t.Errorf("%s: %v", tt.name, out)
		}
	}
	out := object(t, wire.FromSessions("x", [32]byte{0xab}, true, []load.Session{{ID: "a", DistanceSource: load.DistanceTyped, Distance: 5000}}))
	checkFields(t, "imported", out)
	checkFields(t, "activity", out["activities"].([]any)[0])
	if out["outcome"] != "added" || out["sha256"] != "ab"+strings.Repeat("0", 62) {
		t.Errorf("%v", out)
	}
}
