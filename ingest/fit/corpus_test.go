package fit_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/fit"
	"tidemark/load"
)

// synthetic says what each FIT file of synth/ and bad/ must come to here. Where
// their MANIFEST asks for more, the comment says who does it.
var synthetic = map[string]outcome{
	"synth/base_run.fit":                  {Samples: []int{900}, Sport: load.Running},
	"synth/header12.fit":                  {Samples: []int{900}, Sport: load.Running},
	"synth/header14_crc0.fit":             {Samples: []int{900}, Sport: load.Running},
	"synth/big_endian.fit":                {Samples: []int{900}, Sport: load.Running},
	"synth/treadmill_nopos.fit":           {Samples: []int{900}, Sport: load.Running},
	"synth/compressed_ts.fit":             {Samples: []int{900}, Sport: load.Running},
	"synth/legacy_speed_alt.fit":          {Samples: []int{900}, Sport: load.Running},
	"synth/pause_two_laps.fit":            {Samples: []int{900}, Sport: load.Running}, // no load in pauses: package load
	"synth/dev_fields_unknown_mesg.fit":   {Samples: []int{900}, Sport: load.Running},
	"synth/multisport_run_trans_bike.fit": {Samples: []int{400, 40, 460}, Sport: load.Running},
	"synth/records_only.fit":              {Samples: []int{900}},                           // the sport is judged by speed later
	"synth/chained_two_runs.fit":          {Samples: []int{900, 300}, Sport: load.Running}, // that both start alike is seen later
	"synth/duplicate_of_base.fit":         {Samples: []int{900}, Sport: load.Running},      // found by its hash, in the journal
	"bad/empty.fit":                       {Err: "empty file"},
	"bad/nul_4k.fit":                      {Err: "not a FIT file"},
	"bad/trunc_header_8.fit":              {Err: "not a FIT file"},
	"bad/trunc_25pct.fit":                 {Samples: []int{223}, Notes: []load.NoteCode{load.NoteTruncated}},
	"bad/trunc_50pct.fit":                 {Samples: []int{451}, Notes: []load.NoteCode{load.NoteTruncated}},
	"bad/trunc_before_session.fit":        {Samples: []int{900}, Notes: []load.NoteCode{load.NoteTruncated}},
	"bad/crc_flipped.fit":                 {Samples: []int{900}, Sport: load.Running, Notes: []load.NoteCode{load.NoteChecksum}},
	"bad/header_crc_flipped.fit":          {Samples: []int{900}, Sport: load.Running, Notes: []load.NoteCode{load.NoteChecksum}},
	"bad/header_size_13.fit":              {Err: "not a FIT file: a header of 13 bytes"},
	"bad/datasize_zero.fit":               {Samples: []int{900}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSize}},
	"bad/datasize_4g.fit":                 {Samples: []int{900}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSize}},
	"bad/datasize_half.fit":               {Samples: []int{900}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSize}},
	"bad/def_missing.fit":                 {Err: "local type 2, which was never defined", Offset: 116}, // 14 + 21 + 14 + 15 + 7 + 45
	"bad/field_size_zero.fit":             {Err: "a number of size zero", Offset: 71},
	"bad/base_type_unknown.fit":           {Samples: []int{0}, Sport: load.Running, Notes: []load.NoteCode{load.NoteTime}}, // it is the time's
	"bad/trailing_garbage.fit":            {Samples: []int{900}, Sport: load.Running, Notes: []load.NoteCode{load.NoteTrailing}},
	"bad/chained_second_corrupt.fit":      {Samples: []int{900}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}},
	"bad/bomb_zero_field_sessions.fit":    {Err: "no usable time, so nothing says when this was"},
	"bad/bomb_def_255x255.fit":            {Err: "neither samples with a time nor sums, so nothing was recorded"},
	"bad/system_time.fit":                 {Err: "the watch did not know the date"},
	"bad/records_without_time.fit":        {Samples: []int{0}, Sport: load.Running, Notes: []load.NoteCode{load.NoteTime}},
	"bad/course_not_activity.fit":         {Err: "a course, not a recording"},
	"bad/session_no_records.fit":          {Samples: []int{0}, Sport: load.Running},
	"bad/fit_named_gpx.gpx":               {Samples: []int{900}, Sport: load.Running},
	"bad/gpx_named_fit.fit":               {Err: "not a FIT file"}, // read as GPX by package ingest

	// Order, dates, positions and heart rates are judged for all formats alike in
	// package ingest; here they pass.
	"bad/time_backwards.fit":      {Samples: []int{900}, Sport: load.Running},
	"bad/gap_24h.fit":             {Samples: []int{900}, Sport: load.Running},
	"bad/latlon_out_of_range.fit": {Samples: []int{900}, Sport: load.Running},
	"bad/latlon_zero_start.fit":   {Samples: []int{900}, Sport: load.Running},
	"bad/hr_dropout_spike.fit":    {Samples: []int{900}, Sport: load.Running},
	"bad/future_2091.fit":         {Samples: []int{900}, Sport: load.Running},
}

func TestSynthetic(t *testing.T) {
	dir := corpus(t)
	names := syntheticNames(t, dir)
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			want, ok := synthetic[name]
			if !ok {
				t.Fatal("no row says what it must come to")
			}
			checkOutcome(t, readFile(t, filepath.Join(dir, name)), fit.DefaultLimits, want)
		})
	}
	for name := range synthetic {
		if !slices.Contains(names, name) {
			t.Errorf("%s has a row but is not there", name)
		}
	}
	t.Logf("%d files", len(names))
}

// syntheticNames lists the FIT files of synth/ and bad/, one of which is named
// otherwise.
func syntheticNames(t *testing.T, dir string) []string {
	t.Helper()
	names := []string{"bad/fit_named_gpx.gpx"}
	for _, folder := range []string{"synth", "bad"} {
		paths, err := filepath.Glob(filepath.Join(dir, folder, "*.fit"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			names = append(names, folder+"/"+filepath.Base(path))
		}
	}
	return names
}

// TestSyntheticSame: files that the MANIFEST says hold the numbers of
// base_run.fit.
func TestSyntheticSame(t *testing.T) {
	dir := filepath.Join(corpus(t), "synth")
	base := decode(t, readFile(t, filepath.Join(dir, "base_run.fit")))
	if len(base[0].Samples) != 900 || base[0].Offset != time.Hour {
		t.Fatalf("base_run: %d samples, offset %v; want 900 and 1 h", len(base[0].Samples), base[0].Offset)
	}
	for _, name := range []string{"header12", "header14_crc0", "big_endian", "compressed_ts", "duplicate_of_base"} {
		t.Run(name, func(t *testing.T) {
			if diff := cmp.Diff(base, decode(t, readFile(t, filepath.Join(dir, name+".fit")))); diff != "" {
				t.Errorf("activities (-base +this):\n%s", diff)
			}
		})
	}
	t.Run("dev_fields_unknown_mesg", func(t *testing.T) {
		same := decode(t, readFile(t, filepath.Join(dir, "dev_fields_unknown_mesg.fit")))
		if diff := cmp.Diff(base, same); diff != "" {
			t.Errorf("activities (-base +this):\n%s", diff)
		}
	})
	t.Run("pause_two_laps", func(t *testing.T) {
		a := decode(t, readFile(t, filepath.Join(dir, "pause_two_laps.fit")))[0]
		if len(a.Pauses) != 1 || a.Pauses[0].Duration() != 301*time.Second || len(a.Laps) != 2 ||
			a.Totals.Elapsed-a.Totals.Timer != 300*time.Second {
			t.Errorf("pauses %v, laps %v, totals %+v; want one of 301 s (stop at 449 s, start at 750 s), two, 300 s apart",
				a.Pauses, a.Laps, a.Totals)
		}
	})
	t.Run("treadmill_nopos", func(t *testing.T) {
		a := decode(t, readFile(t, filepath.Join(dir, "treadmill_nopos.fit")))[0]
		if a.Surface != load.Treadmill || count(a.Samples, load.HasPosition) != 0 || count(a.Samples, load.HasDistance) != 900 {
			t.Errorf("on %q, want treadmill, distances and no positions", a.Surface)
		}
	})
	t.Run("legacy_speed_alt", func(t *testing.T) {
		a := decode(t, readFile(t, filepath.Join(dir, "legacy_speed_alt.fit")))[0]
		if a.Offset != -5*time.Hour || count(a.Samples, load.HasSpeed|load.HasAltitude) != 900 {
			t.Errorf("offset %v, %d with speed and altitude; want -5 h and 900", a.Offset, count(a.Samples, load.HasSpeed|load.HasAltitude))
		}
	})
}

// count returns how many samples have all of the fields.
func count(samples []load.Sample, fields load.Fields) int {
	n := 0
	for i := range samples {
		if samples[i].Got(fields) {
			n++
		}
	}
	return n
}

// expected is a row of real-expected.tsv, on which two or more decoders agree.
type expected struct {
	Start              string
	Timer, Distance    float64
	Records, Positions int
	First, Last        load.Position
	MaxHeart           int
	Sessions, Laps     int
	Offset             string
}

// realDifference is where we mean to differ from the decoders.
type realDifference struct {
	ours func(*expected)
	why  string
}

var realDifferences = map[string]realDifference{
	"real/013.fit": {
		func(e *expected) { e.Records = 0 },
		"all 67 records of the pool swim have an invalid time; no time, no sample",
	},
}

// refusedReal are real files without anything to import.
var refusedReal = map[string]string{
	"real/011.fit": "no usable time, so nothing says when this was", // one session, one record, both without any time
}

func TestReal(t *testing.T) {
	dir := corpus(t)
	paths, err := filepath.Glob(filepath.Join(dir, "real", "*.fit"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no real files: %v", err)
	}
	rows := make(map[string]map[string]string)
	for _, row := range table(t, filepath.Join(dir, "real-expected.tsv")) {
		rows[row["file"]] = row
	}
	for _, path := range paths {
		name := "real/" + filepath.Base(path)
		t.Run(name, func(t *testing.T) {
			row, ok := rows[name]
			if !ok {
				t.Fatal("no row of real-expected.tsv says what it must come to")
			}
			checkReal(t, name, readFile(t, path), expectedOf(t, row))
		})
	}
	t.Logf("%d real files", len(paths))
}

func checkReal(t *testing.T, name string, data []byte, want expected) {
	t.Helper()
	activities, err := fit.Decode(data, fit.DefaultLimits)
	if reason, ok := refusedReal[name]; ok {
		if err == nil || !strings.Contains(err.Error(), reason) {
			t.Fatalf("error %v, want one about %q", err, reason)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	if difference, ok := realDifferences[name]; ok {
		before := want
		if difference.ours(&want); want == before {
			t.Errorf("the decoders no longer differ from us: %s", difference.why)
		}
	}
	// The table has six decimals of a degree, two of a metre, three of a second.
	near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 0.006 })
	nearby := cmp.Comparer(func(a, b load.Degrees) bool { return math.Abs(float64(a-b)) <= 6e-7 })
	if diff := cmp.Diff(want, gotOf(activities), near, nearby); diff != "" {
		t.Errorf("(-expected +got):\n%s", diff)
	}
}

func expectedOf(t *testing.T, row map[string]string) expected {
	t.Helper()
	number := func(column string) float64 {
		if row[column] == "" {
			return 0
		}
		v, err := strconv.ParseFloat(row[column], 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	place := func(end string) load.Position {
		return load.Position{Lat: load.Degrees(number(end + "_lat")), Lon: load.Degrees(number(end + "_lon"))}
	}
	return expected{
		Start: row["start_utc"],
		Timer: number("timer_s"), Distance: number("total_distance_m"),
		Records: int(number("records")), Positions: int(number("pos_records")),
		First: place("first"), Last: place("last"), MaxHeart: int(number("rec_max_hr")),
		Sessions: int(number("session_count")), Laps: int(number("lap_count")), Offset: row["local_minus_utc_s"],
	}
}

func gotOf(activities []load.Activity) expected {
	got := expected{Start: activities[0].Start.Time().Format(time.RFC3339), Sessions: len(activities)}
	for _, a := range activities {
		got.Timer += a.Totals.Timer.Seconds()
		got.Distance += float64(a.Totals.Distance)
		got.Records += len(a.Samples)
		got.Laps += len(a.Laps)
		for _, s := range a.Samples {
			got.add(s)
		}
	}
	if activities[0].HasOffset {
		got.Offset = strconv.Itoa(int(activities[0].Offset.Seconds()))
	}
	return got
}

// add counts the positions and the highest heart rate.
func (e *expected) add(s load.Sample) {
	if s.Got(load.HasPosition) {
		if e.Positions == 0 {
			e.First = s.Position
		}
		e.Positions++
		e.Last = s.Position
	}
	if s.Got(load.HasHeart) {
		e.MaxHeart = max(e.MaxHeart, int(s.Heart))
	}
}

// table reads a file of tab-separated values with a head line.
func table(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comma, r.LazyQuotes, r.FieldsPerRecord = '\t', true, -1
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := make(map[string]string)
		for i, head := range lines[0] {
			if i < len(line) {
				row[head] = line[i]
			}
		}
		rows = append(rows, row)
	}
	return rows
}
