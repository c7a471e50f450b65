package gpx_test

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

	"tidemark/ingest/gpx"
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
	hearts    int
	pauses    int
	notes     string
}

// manifest says for each GPX file of the corpus' synth and bad folders what
// this package makes of it. The numbers follow from MANIFEST.tsv and the
// generator: 900 points in synth, 300 in bad, one a second, unless the defect
// says otherwise. Where the manifest asks for more, the reason says who does it.
var manifest = map[string]struct {
	want   outcome
	reason string
}{
	"synth/base_run.gpx":           {outcome{samples: []int{900}, positions: 900, hearts: 900}, ""},
	"synth/gpx10_speed.gpx":        {outcome{samples: []int{900}, positions: 900}, ""},
	"synth/prefix_ns3.gpx":         {outcome{samples: []int{900}, positions: 900, hearts: 900}, ""},
	"synth/tpx_v2_power.gpx":       {outcome{samples: []int{900}, positions: 900, hearts: 900}, "a sample has no power"},
	"synth/bom.gpx":                {outcome{samples: []int{900}, positions: 900, hearts: 900}, ""},
	"synth/tz_offset_fraction.gpx": {outcome{samples: []int{900}, positions: 900, hearts: 900}, ""},
	"synth/two_segments_pause.gpx": {outcome{samples: []int{900}, positions: 900, hearts: 900, pauses: 1}, ""},
	"synth/two_tracks.gpx":         {outcome{samples: []int{450, 450}, positions: 450, hearts: 450}, ""},
	"synth/cdata_comments_pi.gpx":  {outcome{samples: []int{900}, positions: 900, hearts: 900}, ""},

	"bad/nul_4k.gpx":                     {outcome{err: xmlscan.ErrNoXML}, ""},
	"bad/html_error_page.gpx":            {outcome{err: errAny}, ""},
	"bad/fit_named_gpx.gpx":              {outcome{err: xmlscan.ErrNoXML}, "sniffed as FIT in package ingest"},
	"bad/trunc_mid_point.gpx":            {outcome{samples: []int{149}, positions: 149, hearts: 149, notes: "truncated"}, ""},
	"bad/unescaped_amp.gpx":              {outcome{samples: []int{300}, positions: 300, hearts: 300, notes: "markup"}, ""},
	"bad/undeclared_prefix.gpx":          {outcome{samples: []int{300}, positions: 300, hearts: 300}, ""},
	"bad/no_namespace.gpx":               {outcome{samples: []int{300}, positions: 300, hearts: 300}, ""},
	"bad/deep_nesting_20k.gpx":           {outcome{err: xmlscan.ErrDepth}, ""},
	"bad/deep_nesting_300k_unclosed.gpx": {outcome{err: xmlscan.ErrDepth}, ""},
	"bad/entity_bomb.gpx":                {outcome{err: xmlscan.ErrEntity}, ""},
	"bad/dtd_harmless.gpx":               {outcome{samples: []int{300}, positions: 300, hearts: 300, notes: "markup"}, ""},
	"bad/invalid_utf8.gpx":               {outcome{samples: []int{300}, positions: 300, hearts: 300, notes: "markup"}, ""},
	"bad/utf16le_bom.gpx":                {outcome{samples: []int{300}, positions: 300, hearts: 300}, ""},
	"bad/encoding_unknown.gpx":           {outcome{samples: []int{300}, positions: 300, hearts: 300, notes: "markup"}, ""},
	"bad/control_chars.gpx":              {outcome{samples: []int{300}, positions: 300, hearts: 300, notes: "markup"}, ""},
	"bad/nan_inf_coords.gpx":             {outcome{samples: []int{300}, positions: 240, hearts: 300, notes: "position"}, ""},
	"bad/latlon_swapped.gpx":             {outcome{samples: []int{300}, positions: 300, hearts: 300}, "positions are judged in package ingest"},
	"bad/comma_decimal.gpx":              {outcome{samples: []int{300}, positions: 300, hearts: 300, notes: "markup"}, ""},
	"bad/empty_latlon.gpx":               {outcome{samples: []int{300}, positions: 240, hearts: 300, notes: "position"}, ""},
	"bad/time_backwards.gpx":             {outcome{samples: []int{300}, positions: 300, hearts: 300}, "order is judged in package ingest"},
	"bad/dup_points.gpx":                 {outcome{samples: []int{600}, positions: 600, hearts: 600}, "doubles are judged in package ingest"},
	"bad/gap_24h.gpx":                    {outcome{samples: []int{300}, positions: 300, hearts: 300}, "gaps are judged in package load"},
	"bad/partial_times.gpx":              {outcome{samples: []int{30}, positions: 30, hearts: 30, notes: "time"}, ""},
	"bad/bad_time_formats.gpx":           {outcome{samples: []int{10}, positions: 10, hearts: 10, notes: "time time"}, "ten equal times: too few is judged in package ingest"},
	"bad/year_0001.gpx":                  {outcome{samples: []int{300}, positions: 300, hearts: 300}, "dates are judged in package ingest"},
	"bad/route_only.gpx":                 {outcome{err: gpx.ErrRoute}, ""},
	"bad/single_point.gpx":               {outcome{samples: []int{1}, positions: 1, hearts: 1}, "too few is judged in package ingest"},
	"bad/empty_trkseg.gpx":               {outcome{err: gpx.ErrNoPoints}, ""},
	"bad/teleport.gpx":                   {outcome{samples: []int{300}, positions: 300, hearts: 300}, "jumps are judged in package load"},
	"bad/hr_nonsense.gpx":                {outcome{samples: []int{300}, positions: 300, hearts: 150, notes: "heart"}, ""},
	"bad/huge_attribute.gpx":             {outcome{samples: []int{300}, positions: 300, hearts: 300}, ""},
	"bad/many_attrs.gpx":                 {outcome{samples: []int{300}, positions: 300, hearts: 300}, ""},
	"bad/two_roots.gpx":                  {outcome{samples: []int{300}, positions: 300, hearts: 300, notes: "trailing"}, ""},
	"bad/year_span.gpx":                  {outcome{samples: []int{300}, positions: 300, hearts: 300}, "length is judged in package ingest"},
	"bad/gpx_named_fit.fit":              {outcome{samples: []int{300}, positions: 300, hearts: 300}, ""},
}

// errAny stands for any error.
var errAny = errors.New("any")

func TestManifest(t *testing.T) {
	dir := corpus(t)
	var files []string
	for _, pattern := range []string{"synth/*.gpx", "bad/*.gpx", "bad/gpx_named_fit.fit"} {
		found, err := filepath.Glob(filepath.Join(dir, pattern))
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
	activities, err := gpx.Decode(data, gpx.DefaultLimits)
	if want.err != nil {
		if err == nil || (!errors.Is(want.err, errAny) && !errors.Is(err, want.err)) {
			t.Errorf("error %v, want %v", err, want.err)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	if !gpx.Sniff(data) {
		t.Error("not sniffed")
	}
	a := &activities[0]
	got := outcome{positions: count(a, load.HasPosition), hearts: count(a, load.HasHeart), pauses: len(a.Pauses), notes: codes(a.Notes)}
	for _, a := range activities {
		got.samples = append(got.samples, len(a.Samples))
	}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(outcome{})); diff != "" {
		t.Errorf("outcome (-want +got):\n%s", diff)
	}
}

// TestManifestValues checks what a count cannot tell.
func TestManifestValues(t *testing.T) {
	dir := corpus(t)
	read := func(name string) []load.Activity {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		activities, err := gpx.Decode(data, gpx.DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		return activities
	}
	if a := read("synth/tz_offset_fraction.gpx")[0]; a.Start != load.InstantOf(start)+250 || a.Offset.Hours() != 1 {
		t.Errorf("start %v, offset %v, want 11:33:20.25Z and 1 h", a.Start.Time(), a.Offset)
	}
	if a := read("synth/two_segments_pause.gpx")[0]; a.Pauses[0].Duration().Seconds() != 301 {
		t.Errorf("pause %v, want 301 s from the last point to the first", a.Pauses[0].Duration())
	}
	if a := read("synth/two_tracks.gpx"); a[0].Sport != load.Running || a[1].Sport != load.Cycling {
		t.Errorf("sports %v and %v, want running and cycling", a[0].Sport, a[1].Sport)
	}
	if a := read("synth/gpx10_speed.gpx")[0]; count(&a, load.HasSpeed) != 900 || a.Samples[0].Speed != 2.9 {
		t.Errorf("%d speeds, the first %v, want 900 and 2.9", count(&a, load.HasSpeed), a.Samples[0].Speed)
	}
	if a := read("synth/cdata_comments_pi.gpx")[0]; a.Name != "a <b> & c" {
		t.Errorf("name %q, want %q", a.Name, "a <b> & c")
	}
	if a := read("bad/comma_decimal.gpx")[0]; a.Samples[0].Position != (load.Position{Lat: 10, Lon: -29.9970966}) {
		t.Errorf("first position %v", a.Samples[0].Position)
	}
}

// untimed counts the points of the files in real-expected.tsv that have no time
// and so are no samples, though other decoders count them. (Counted in the files
// by hand.)
var untimed = map[string]int{
	"real/033.gpx": 149, // a planned stretch joined to a short recording
	"real/037.gpx": 1,
	"real/038.gpx": 291,
	"real/040.gpx": 358, // one of its tracks
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
		if row["format"] != "gpx" {
			continue
		}
		t.Run(row["file"], func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(dir, row["file"]))
			if err != nil {
				t.Fatal(err)
			}
			if compareExpected(t, data, row) {
				compared++
			}
		})
	}
	t.Logf("compared %d recordings", compared)
	if compared < 15 {
		t.Errorf("only %d recordings compared", compared)
	}
}

// compareExpected returns false for a file without times, which is refused.
func compareExpected(t *testing.T, data []byte, row map[string]string) bool {
	activities, err := gpx.Decode(data, gpx.DefaultLimits)
	if err != nil {
		if row["start_utc"] != "" && row["records"] != "0" {
			t.Errorf("refused: %v", err)
		}
		return false
	}
	var all []load.Sample
	for _, a := range activities {
		all = append(all, a.Samples...)
	}
	compareSamples(t, all, row)
	if got := all[0].At.Time().Format("2006-01-02T15:04:05Z"); got != row["start_utc"] {
		t.Errorf("start %s, want %s", got, row["start_utc"])
	}
	near(t, "elapsed", all[len(all)-1].At.Sub(all[0].At).Seconds(), row["elapsed_s"], 0.5)
	if row["sport"] == "running" && activities[0].Sport != load.Running {
		t.Errorf("sport %v, want running", activities[0].Sport)
	}
	return true
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
	dropped := untimed[row["file"]]
	near(t, "records", float64(len(all)+dropped), row["records"], 0)
	near(t, "positions", float64(len(placed)+dropped), row["pos_records"], 0)
	if n := len(placed); n > 0 && dropped == 0 {
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
