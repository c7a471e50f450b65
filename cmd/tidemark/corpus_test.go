package main

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"log/slog"
	"maps"
	"math"
	"mime/multipart"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/web"
	"tidemark/web/api/intake"
	"tidemark/web/api/wire"
)

// corpusFolder is where recordings lie that are not part of the program. Without it
// the test is skipped, unless one was named.
func corpusFolder(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("TIDEMARK_CORPUS")
	named := dir != ""
	if !named {
		dir = filepath.Join("..", "..", "..", "shared", "corpus")
	}
	switch _, err := os.Stat(filepath.Join(dir, "real.tsv")); {
	case err != nil && named:
		t.Fatalf("TIDEMARK_CORPUS is not the folder of the corpus: %v", err)
	case err != nil:
		t.Skipf("THE CORPUS WAS NOT READ: set TIDEMARK_CORPUS to its folder (%v)", err)
	}
	return dir
}

// rowsOf reads a tab-separated table, each row by the names of its columns.
func rowsOf(t *testing.T, path string) (rows []map[string]string) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comma, r.LazyQuotes = '\t', true
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range all[1:] {
		named := make(map[string]string)
		for i, name := range all[0] {
			named[name] = row[i]
		}
		rows = append(rows, named)
	}
	return rows
}

// explains are the notes that say why a distance is not what decoders agree on.
var explains = []load.NoteCode{
	load.NoteDistance, load.NoteDistanceChoice, load.NoteJump, load.NoteGap, load.NoteTruncated, load.NoteStart, load.NoteCarried,
}

// TestCorpusRuns holds every file with running in it against what independent
// decoders agree on: distance to 1 % or with the reason in the notes, time to 2 s,
// the highest heart rate to the beat, and the plain means of heart rate and cadence
// over all samples as they were taken in. Files of several sports are held against their
// sums.
func TestCorpusRuns(t *testing.T) {
	dir := corpusFolder(t)
	expected := make(map[string]map[string]string)
	for _, row := range rowsOf(t, filepath.Join(dir, "real-expected.tsv")) {
		expected[row["file"]] = row
	}
	read, within := 0, 0
	for _, row := range rowsOf(t, filepath.Join(dir, "real.tsv")) {
		if !strings.Contains(row["kind"], "running") {
			continue
		}
		want, ok := expected[row["file"]]
		if !ok {
			t.Errorf("%s: nothing is expected of it", row["file"])
			continue
		}
		read++
		t.Run(row["file"], func(t *testing.T) {
			sessions, activities := reduced(t, filepath.Join(dir, row["file"]))
			if holdRun(t, sessions, want) {
				within++
			}
			if len(activities) == 1 {
				holdMeans(t, &activities[0], want)
			}
		})
	}
	t.Logf("%d files with running, %d of them within 1 %% of the distance that decoders agree on", read, within)
	if read < 14 {
		t.Errorf("only %d files have running in them", read)
	}
}

// reduced decodes a file as the import does.
func reduced(t *testing.T, path string) (all []load.Session, activities []load.Activity) {
	t.Helper()
	f, err := openFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	opt := intake.Options{
		Limits: ingest.DefaultLimits, Now: load.InstantOf(time.Date(2026, 12, 31, 0, 0, 0, 0, time.UTC)), Home: time.UTC,
	}
	for rec, err := range ingest.Unpack(path, f, f.Size(), opt.Limits) {
		if err != nil {
			t.Fatal(err)
		}
		_, sessions, _, err := intake.Decode(rec, opt, nil)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, sessions...)
		d, err := rec.Decode(ingest.Options{Now: opt.Now})
		if err != nil {
			t.Fatal(err)
		}
		activities = append(activities, d.Activities...)
	}
	return all, activities
}

// holdRun compares the sessions of a file with a row of the table, and reports
// whether the distance is within 1 %.
func holdRun(t *testing.T, sessions []load.Session, want map[string]string) (within bool) {
	t.Helper()
	var distance load.Metres
	var elapsed time.Duration
	var codes []load.NoteCode
	var heartMax load.BPM
	for _, s := range sessions {
		distance += s.Distance
		elapsed += s.Elapsed
		heartMax = max(heartMax, s.HeartMax)
		for _, n := range s.Notes {
			codes = append(codes, n.Code)
		}
	}
	if v, ok := number(want, "total_distance_m"); ok {
		within = math.Abs(float64(distance)/v-1) <= 0.01
		if !within && !slices.ContainsFunc(codes, func(c load.NoteCode) bool { return slices.Contains(explains, c) }) {
			t.Errorf("distance %.0f m, %.0f agreed, and no note says why: %v", distance, v, codes)
		}
	}
	if v, ok := number(want, "elapsed_s"); ok && len(sessions) == 1 && math.Abs(elapsed.Seconds()-v) > 2 {
		t.Errorf("elapsed %v, %v s agreed", elapsed, v)
	}
	if v, ok := number(want, "rec_max_hr"); ok && float64(heartMax) != v {
		t.Errorf("highest heart rate %d, %v agreed", heartMax, v)
	}
	return within
}

// number reads a cell; an empty one, or nought, says nothing.
func number(row map[string]string, name string) (v float64, ok bool) {
	v, err := strconv.ParseFloat(row[name], 64)
	return v, err == nil && v > 0
}

// holdMeans compares what is in the samples; the table has a file's own numbers, of
// one leg.
func holdMeans(t *testing.T, a *load.Activity, want map[string]string) {
	t.Helper()
	for name, of := range map[string]struct {
		has   load.Fields
		value func(*load.Sample) float64
	}{
		"rec_avg_hr":      {load.HasHeart, func(s *load.Sample) float64 { return float64(s.Heart) }},
		"rec_avg_cadence": {load.HasCadence, func(s *load.Sample) float64 { return float64(s.Cadence) }},
	} {
		agreed, ok := number(want, name)
		if !ok {
			continue
		}
		sum, n := 0.0, 0
		for i := range a.Samples {
			if a.Samples[i].Got(of.has) {
				sum += of.value(&a.Samples[i])
				n++
			}
		}
		if got := sum / float64(max(1, n)); math.Abs(got-agreed) > 0.02 {
			if a.Notes.Has(load.NoteTime) || a.Notes.Has(load.NoteHeart) {
				t.Logf("%s %.3f, %v agreed: %v", name, got, agreed, a.Notes)
				continue
			}
			t.Errorf("%s %.3f, %v agreed", name, got, agreed)
		}
	}
}

// TestCorpusThroughTheDoors hands every damaged and every tricky file in on the
// command line and through the page: both say the same of each, and refuse what the
// manifests ask to be refused, or take it in.
func TestCorpusThroughTheDoors(t *testing.T) {
	dir := corpusFolder(t)
	for _, folder := range []string{"bad", "synth"} {
		t.Run(folder, func(t *testing.T) {
			path := filepath.Join(dir, folder)
			byCommand, byPage := importedByCommand(t, path), importedByPage(t, path)
			for name, one := range byCommand {
				if other := byPage[name]; other != one {
					t.Errorf("%s: %q on the command line, %q through the page", name, one, other)
				}
			}
			if len(byPage) != len(byCommand) {
				t.Errorf("%d files on the command line, %d through the page", len(byCommand), len(byPage))
			}
			for _, row := range rowsOf(t, filepath.Join(path, "MANIFEST.tsv")) {
				asked, got := row["a_good_importer"], byCommand[row["file"]]
				must := strings.HasPrefix(asked, "reject") && !strings.Contains(asked, " or ") && !strings.Contains(asked, "limit")
				refused := strings.HasPrefix(got, wire.Refused)
				if why, ok := otherwise[row["file"]]; ok {
					t.Logf("%s: %q is asked, %q is done: %s", row["file"], asked, got, why)
				} else if must != refused && !strings.Contains(asked, "reject") || must && !refused {
					t.Errorf("%s: %q is asked, %q is done", row["file"], asked, got)
				}
			}
			t.Logf("%d recordings and refusals of %s, the same through both doors", len(byCommand), folder)
		})
	}
}

// otherwise are the files with which something else is done than their manifest
// asks for, and why.
var otherwise = map[string]string{
	"bomb_def_255x255.fit": "it is skipped, and there is nothing else in the file",
	"zip_bomb_8x16mb.zip":  "the members are within the limit; each is refused for itself",
}

// importedByCommand returns what becomes of each file of a folder, by its name.
func importedByCommand(t *testing.T, folder string) map[string]string {
	t.Helper()
	out, errs, _ := command(t.Context(), "import", "--json", "--zone", "UTC", "--db", filepath.Join(t.TempDir(), "a.db"), folder)
	if errs != "" {
		t.Fatal(errs)
	}
	return fates(t, strings.NewReader(out))
}

// importedByPage does the same through the upload of a server.
func importedByPage(t *testing.T, folder string) map[string]string {
	t.Helper()
	a := quietApp(t.TempDir(), 0)
	a.now, a.Zone = time.Now, "UTC"
	j, err := a.open(true)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	runner, err := a.runner(j, true)
	if err != nil {
		t.Fatal(err)
	}
	server := web.New(web.Options{Journal: j.Journal, Now: time.Now, Log: slog.New(slog.DiscardHandler), Limits: ingest.DefaultLimits})
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	files, _ := list([]string{folder})
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		part, err := form.CreateFormFile("files", filepath.Base(path))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := part.Write(data); err != nil {
			t.Fatal(err)
		}
	}
	if err := form.Close(); err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest("POST", "/r/"+string(runner.ID)+"/add", &body)
	r.Host = "127.0.0.1:8080"
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	r.Header.Set("Content-Type", form.FormDataContentType())
	r.Header.Set("Accept", "application/x-ndjson")
	w := httptest.NewRecorder()
	server.ServeHTTP(w, r)
	return fates(t, w.Body)
}

// fates reads lines of results: outcome, reason and activities of each file, those
// of an archive together, without its folder.
func fates(t *testing.T, r io.Reader) map[string]string {
	t.Helper()
	found := make(map[string][]string)
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var one wire.Imported
		if err := json.Unmarshal(lines.Bytes(), &one); err != nil {
			t.Fatal(err)
		}
		if one.Path == "" {
			continue // the summary, or how much there is
		}
		text := one.Outcome
		if one.Reason != nil {
			text += ": " + *one.Reason
		}
		for _, a := range one.Activities {
			text += "; " + a.Start
			if a.Distance != nil {
				text += strconv.FormatFloat(*a.Distance, 'f', 1, 64)
			}
		}
		file, member, _ := strings.Cut(one.Path, "!")
		name := filepath.Base(file)
		found[name] = append(found[name], strings.TrimSpace(text+" "+member))
	}
	out := make(map[string]string)
	for _, name := range slices.Sorted(maps.Keys(found)) {
		out[name] = strings.Join(found[name], " | ")
	}
	return out
}
