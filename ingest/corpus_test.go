package ingest_test

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/load"
)

// corpus returns the folder of the corpus. Without one it skips the test, unless
// one was named.
func corpus(t *testing.T) string {
	t.Helper()
	dir, named := corpusFolder()
	switch _, err := os.Stat(filepath.Join(dir, "real.tsv")); {
	case err != nil && named:
		t.Fatalf("TIDEMARK_CORPUS is not the folder of the corpus: %v", err)
	case err != nil:
		t.Skipf("THE CORPUS WAS NOT READ: set TIDEMARK_CORPUS to its folder (%v)", err)
	}
	return dir
}

func corpusFolder() (dir string, named bool) {
	if dir := os.Getenv("TIDEMARK_CORPUS"); dir != "" {
		return dir, true
	}
	return filepath.Join("..", "..", "shared", "corpus"), false
}

// taken is what a file gave.
type taken struct {
	activities []load.Activity
	samples    string // usable samples of each activity, joined by +
	codes      string // codes of their notes, each once, in order
	reasons    []string
}

// take reads a file through Unpack and Decode at the end of 2026.
func take(t *testing.T, path string) (out taken) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	opt := ingest.Options{Now: load.InstantOf(time.Date(2026, 12, 31, 0, 0, 0, 0, time.UTC))}
	for rec, err := range unpack(filepath.Base(path), data, ingest.DefaultLimits) {
		var d ingest.Decoded
		if err == nil {
			d, err = rec.Decode(opt)
		}
		if err != nil {
			out.reasons = append(out.reasons, err.Error())
		}
		for i := range d.Activities {
			checkActivity(t, &d.Activities[i])
		}
		out.activities = append(out.activities, d.Activities...)
	}
	var samples, codes []string
	for _, a := range out.activities {
		samples = append(samples, strconv.Itoa(len(a.Samples)))
		for _, n := range a.Notes {
			if !slices.Contains(codes, string(n.Code)) {
				codes = append(codes, string(n.Code))
			}
		}
	}
	out.samples, out.codes = strings.Join(samples, "+"), strings.Join(codes, " ")
	return out
}

// verdict is what a file of the corpus should give.
type verdict struct {
	samples string // as in taken; empty if the file is refused
	says    string // codes of the notes as in taken, or words of every reason
	why     string // where it is not what the corpus' own manifest asks for
}

func (v verdict) check(t *testing.T, got taken) {
	t.Helper()
	if got.samples != v.samples {
		t.Errorf("samples %q, want %q; reasons %q", got.samples, v.samples, got.reasons)
	}
	if v.samples == "" {
		for _, r := range got.reasons {
			if !strings.Contains(r, v.says) {
				t.Errorf("reason %q, want %q in it", r, v.says)
			}
		}
		return
	}
	if len(got.reasons) > 0 {
		t.Errorf("also refused: %q", got.reasons)
	}
	if got.codes != v.says {
		t.Errorf("notes %q, want %q", got.codes, v.says)
	}
}

func TestCorpusBad(t *testing.T)   { testMade(t, "bad", bad) }
func TestCorpusSynth(t *testing.T) { testMade(t, "synth", synth) }

// testMade holds every file of a folder against its verdict, and the verdict
// against what the folder's manifest asks for.
func testMade(t *testing.T, folder string, want map[string]verdict) {
	dir := filepath.Join(corpus(t), folder)
	asked := column(t, filepath.Join(dir, "MANIFEST.tsv"), "a_good_importer")
	read := 0
	for _, name := range files(t, dir) {
		if name == "MANIFEST.tsv" {
			continue
		}
		read++
		t.Run(name, func(t *testing.T) {
			v, ok := want[name]
			if !ok {
				t.Fatal("no verdict for this file")
			}
			v.check(t, take(t, filepath.Join(dir, name)))
			if as := agrees(asked[name], v.samples == ""); as == (v.why != "") {
				t.Errorf("the manifest asks %q: agrees %v, but why is %q", asked[name], as, v.why)
			}
		})
	}
	t.Logf("%d files of %s were read", read, folder)
	if read != len(want) {
		t.Errorf("%d files, but %d verdicts", read, len(want))
	}
}

// agrees reports whether refusing a file, or taking it in, is among what a
// manifest asks for.
func agrees(asked string, refused bool) bool {
	mentions := strings.Contains(asked, "reject")
	if refused {
		return mentions
	}
	only := strings.HasPrefix(asked, "reject") && !strings.Contains(asked, " or ") && !strings.Contains(asked, "limit")
	return asked != "" && !only
}

func files(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// column returns one column of a tab-separated table by the first.
func column(t *testing.T, path, name string) map[string]string {
	t.Helper()
	rows, err := table(path)
	if err != nil {
		t.Fatal(err)
	}
	col := slices.Index(rows[0], name)
	if col < 0 {
		t.Fatalf("%s has no column %s", path, name)
	}
	values := make(map[string]string)
	for _, row := range rows[1:] {
		values[row[0]] = row[col]
	}
	return values
}

func table(path string) ([][]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comma, r.LazyQuotes = '\t', true
	return r.ReadAll()
}

// TestCorpusReal takes in every recording, and refuses the rest with a reason.
func TestCorpusReal(t *testing.T) {
	dir := corpus(t)
	expected, err := expectations(filepath.Join(dir, "real-expected.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	read, recordings, starts, days := 0, 0, 0, 0
	for _, name := range files(t, filepath.Join(dir, "real")) {
		read++
		t.Run(name, func(t *testing.T) {
			got := take(t, filepath.Join(dir, "real", name))
			if reason, ok := noRecording[name]; ok {
				verdict{says: reason}.check(t, got)
				return
			}
			if len(got.reasons) > 0 || len(got.activities) == 0 {
				t.Fatalf("refused: %q", got.reasons)
			}
			recordings++
			want, ok := expected[name]
			if !ok {
				t.Fatal("nothing is expected of this file")
			}
			if why, ok := otherStart[name]; ok {
				t.Logf("the start differs: %s", why)
				return
			}
			starts++
			first := &got.activities[0]
			if off := first.Start.Sub(want.start).Abs(); off > time.Second {
				t.Errorf("start %v, want %v", first.Start.Time(), want.start.Time())
			}
			if want.hasDay {
				days++
				if got := ingest.DayOf(first, ingest.ZoneOf(first, time.UTC)); got != want.day {
					t.Errorf("day %v, want %v", got, want.day)
				}
			}
		})
	}
	t.Logf("%d real files were read: %d recordings, %d refused; %d starts and %d days were compared",
		read, recordings, read-recordings, starts, days)
}

// expectation is what several decoders agree on about a real file.
type expectation struct {
	start  load.Instant
	day    load.Day
	hasDay bool // the file has a local time
}

func expectations(path string) (map[string]expectation, error) {
	rows, err := table(path)
	if err != nil {
		return nil, err
	}
	start, local := slices.Index(rows[0], "start_utc"), slices.Index(rows[0], "local_minus_utc_s")
	if start < 0 || local < 0 {
		return nil, errors.New("a column is missing")
	}
	all := make(map[string]expectation)
	for _, row := range rows[1:] {
		var e expectation
		if at, err := time.Parse(time.RFC3339, row[start]); err == nil {
			e.start = load.InstantOf(at)
			// Offsets that no zone has are in some files; see the limits of sieveOffset.
			if s, err := strconv.Atoi(row[local]); err == nil && s%900 == 0 && s >= -54_000 && s <= 54_000 {
				e.day, e.hasDay = load.DayOf(e.start.In(time.Duration(s)*time.Second)), true
			}
		}
		all[filepath.Base(row[0])] = e
	}
	return all, nil
}

// corpusSeeds returns the smaller files of the corpus as seeds for fuzzing, or
// nothing where there is no corpus.
func corpusSeeds(most int64) (seeds [][]byte) {
	dir, _ := corpusFolder()
	for _, folder := range []string{"bad", "synth"} {
		_ = filepath.WalkDir(filepath.Join(dir, folder), func(path string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() {
				return nil
			}
			if info, err := e.Info(); err == nil && info.Size() <= most {
				if data, err := os.ReadFile(path); err == nil {
					seeds = append(seeds, data)
				}
			}
			return nil
		})
	}
	return seeds
}
