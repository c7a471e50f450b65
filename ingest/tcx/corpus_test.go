package tcx_test

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/tcx"
	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

// corpus returns the folder of real, tricky and damaged files, or skips.
func corpus(t testing.TB) string {
	t.Helper()
	dir := os.Getenv("TIDEMARK_CORPUS")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "corpus")
	}
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("SKIPPED, NOTHING WAS TESTED: no corpus in TIDEMARK_CORPUS or %s", dir)
	}
	return dir
}

// outcome is what becomes of a file in this package.
type outcome struct {
	err       error // wanted; the rest is zero then
	samples   []int // of each activity
	positions int   // of the first activity, as are all below
	distances int
	sport     load.Sport
	surface   load.Surface
	totals    load.Metres // to the metre
	notes     string
}

// manifest says for each TCX file of the corpus' synth and bad folders what this
// package makes of it. The numbers follow from MANIFEST.tsv and the generator:
// 900 points and 2,630 m in synth, 300 points and 875 m in bad (the sum of 2.9 + 0.3 sin(i/40)), one point a
// second, unless the defect says otherwise.
var manifest = map[string]struct {
	want   outcome
	reason string
}{
	"synth/base_run.tcx":        {outcome{samples: []int{900}, positions: 900, distances: 900, sport: load.Running, totals: 2630}, ""},
	"synth/treadmill_nopos.tcx": {outcome{samples: []int{900}, distances: 900, sport: load.Running, surface: load.Treadmill, totals: 2630, notes: "treadmill"}, ""},
	"synth/leading_blanks.tcx":  {outcome{samples: []int{900}, positions: 900, distances: 900, sport: load.Running, totals: 2630}, ""},
	"synth/laps_only.tcx":       {outcome{samples: []int{0}, sport: load.Running, totals: 2630, notes: "totals-only"}, ""},
	"synth/two_activities.tcx":  {outcome{samples: []int{900, 900}, positions: 900, distances: 900, sport: load.Running, totals: 2630}, ""},

	"bad/text_named_tcx.tcx":     {outcome{err: xmlscan.ErrNoXML}, ""},
	"bad/trunc_mid_tag.tcx":      {outcome{samples: []int{199}, positions: 199, distances: 199, sport: load.Running, totals: 875, notes: "truncated"}, "the 200th point is cut; the lap's own sum is for the whole lap"},
	"bad/distance_negative.tcx":  {outcome{samples: []int{300}, positions: 300, distances: 1, sport: load.Running, notes: "value value"}, "the first distance is zero"},
	"bad/no_id_no_starttime.tcx": {outcome{samples: []int{300}, positions: 300, distances: 300, sport: load.Running, totals: 875, notes: "time"}, ""},
	"bad/sport_unknown.tcx":      {outcome{samples: []int{300}, positions: 300, distances: 300, totals: 875}, ""},
	"bad/courses_only.tcx":       {outcome{err: tcx.ErrCourse}, ""},
	"bad/nan_values.tcx":         {outcome{samples: []int{300}, positions: 225, distances: 250, sport: load.Running, notes: "value position value"}, ""},
	"bad/time_missing.tcx":       {outcome{samples: []int{0}, sport: load.Running, totals: 875, notes: "time totals-only"}, ""},
}

func TestManifest(t *testing.T) {
	dir := corpus(t)
	var files []string
	for _, folder := range []string{"synth", "bad"} {
		found, err := filepath.Glob(filepath.Join(dir, folder, "*.tcx"))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	if len(files) != len(manifest) {
		t.Errorf("%d files, the table has %d", len(files), len(manifest))
	}
	for _, file := range files {
		name := filepath.Base(filepath.Dir(file)) + "/" + filepath.Base(file)
		t.Run(name, func(t *testing.T) {
			row, ok := manifest[name]
			if !ok {
				t.Fatal("the table has no row for this file")
			}
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			checkOutcome(t, data, row.want)
		})
	}
	t.Logf("read %d files", len(files))
}

func checkOutcome(t *testing.T, data []byte, want outcome) {
	t.Helper()
	activities, err := tcx.Decode(data, tcx.DefaultLimits)
	if want.err != nil {
		if !errors.Is(err, want.err) {
			t.Errorf("error %v, want %v", err, want.err)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	if !tcx.Sniff(data) {
		t.Error("not sniffed")
	}
	a := &activities[0]
	got := outcome{
		positions: count(a, load.HasPosition), distances: count(a, load.HasDistance),
		sport: a.Sport, surface: a.Surface, notes: codes(a.Notes),
		totals: load.Metres(math.Round(float64(a.Totals.Distance))),
	}
	for _, a := range activities {
		got.samples = append(got.samples, len(a.Samples))
	}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(outcome{})); diff != "" {
		t.Errorf("outcome (-want +got):\n%s", diff)
	}
	if a.Start != at(0) {
		t.Errorf("start %v, want %v", a.Start.Time(), start)
	}
}

// TestExpected compares with the values on which other decoders agree.
func TestExpected(t *testing.T) {
	dir := corpus(t)
	f, err := os.Open(filepath.Join(dir, "real-expected.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comma, r.LazyQuotes, r.FieldsPerRecord = '\t', true, -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for _, cells := range rows[1:] {
		row := map[string]string{}
		for i, cell := range cells {
			row[rows[0][i]] = cell
		}
		if row["format"] != "tcx" {
			continue
		}
		t.Run(row["file"], func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(dir, row["file"]))
			if err != nil {
				t.Fatal(err)
			}
			compareExpected(t, data, row)
		})
		compared++
	}
	t.Logf("compared %d files", compared)
	if compared < 10 {
		t.Errorf("only %d files compared", compared)
	}
}

// sports maps the words of real-expected.tsv; it has none for a course.
var sports = map[string]load.Sport{"running": load.Running, "biking": load.Cycling, "other": load.OtherSport}

func compareExpected(t *testing.T, data []byte, row map[string]string) {
	t.Helper()
	activities, err := tcx.Decode(data, tcx.DefaultLimits)
	if row["sport"] == "" {
		if !errors.Is(err, tcx.ErrCourse) {
			t.Errorf("error %v, want %v", err, tcx.ErrCourse)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	if len(activities) != 1 || activities[0].Sport != sports[row["sport"]] {
		t.Fatalf("%d activities, sport %v, want one of %v", len(activities), activities[0].Sport, row["sport"])
	}
	a := &activities[0]
	first := a.Samples[0].At
	if got := first.Time().Format("2006-01-02T15:04:05Z"); got != row["start_utc"] {
		t.Errorf("first point %s, want %s", got, row["start_utc"])
	}
	near(t, "elapsed", a.Samples[len(a.Samples)-1].At.Sub(first).Seconds(), row["elapsed_s"], 0.5)
	near(t, "timer", a.Totals.Timer.Seconds(), row["timer_s"], 1e-2)
	near(t, "distance", float64(a.Totals.Distance), row["total_distance_m"], 1e-2)
	near(t, "laps", float64(len(a.Laps)), row["lap_count"], 0)
	compareSamples(t, a.Samples, row)
}

func compareSamples(t *testing.T, all []load.Sample, row map[string]string) {
	t.Helper()
	var placed []load.Position
	var heart, beats, hardest, cadence, steps float64
	for i := range all {
		s := &all[i]
		if s.Got(load.HasPosition) {
			placed = append(placed, s.Position)
		}
		if s.Got(load.HasHeart) {
			heart++
			beats += float64(s.Heart)
			hardest = max(hardest, float64(s.Heart))
		}
		if s.Got(load.HasCadence) {
			cadence++
			steps += float64(s.Cadence)
		}
	}
	near(t, "records", float64(len(all)), row["records"], 0)
	near(t, "positions", float64(len(placed)), row["pos_records"], 0)
	if n := len(placed); n > 0 {
		near(t, "first latitude", float64(placed[0].Lat), row["first_lat"], 1e-6)
		near(t, "first longitude", float64(placed[0].Lon), row["first_lon"], 1e-6)
		near(t, "last latitude", float64(placed[n-1].Lat), row["last_lat"], 1e-6)
		near(t, "last longitude", float64(placed[n-1].Lon), row["last_lon"], 1e-6)
	}
	near(t, "mean heart rate", beats/max(heart, 1), row["rec_avg_hr"], 1e-3)
	near(t, "highest heart rate", hardest, row["rec_max_hr"], 0)
	near(t, "mean cadence", steps/max(cadence, 1), row["rec_avg_cadence"], 1e-3)
}

// near compares with a cell, without naming the values: they may be a place.
func near(t *testing.T, what string, got float64, cell string, tolerance float64) {
	t.Helper()
	want, err := strconv.ParseFloat(strings.TrimSpace(cell), 64)
	if err != nil {
		t.Fatalf("%s: read %q: %v", what, cell, err)
	}
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s differs by %g", what, got-want)
	}
}
