package export_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"errors"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/mornings"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/export"
)

var first = load.Date(2026, time.March, 1)

// invented is a logbook with originals from somewhere and a complaint on either side.
func invented(paths ...string) (w *journal.Whole, content func(journal.Sum) ([]byte, error)) {
	w = &journal.Whole{Input: &load.Input{Sessions: []load.Session{full()}, Today: first + 3}}
	w.Name, w.Home, w.FirstUse = "Ada", "UTC", first
	data := make(map[journal.Sum][]byte)
	for i, path := range paths {
		text := []byte(strings.Repeat("x", i))
		o := journal.Original{Sum: sha256.Sum256(text), Path: path, Format: "fit", Size: int64(i), Added: sunrise}
		data[o.Sum] = text
		w.Originals = append(w.Originals, o)
	}
	return w, func(sum journal.Sum) ([]byte, error) { return data[sum], nil }
}

func zipOf(t *testing.T, w *journal.Whole, content func(journal.Sum) ([]byte, error)) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := export.Logbook(&out, w, first+3, content); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func unzipped(t *testing.T, data []byte) (names []string, text map[string]string) {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	text = make(map[string]string)
	for _, f := range r.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		names, text[f.Name] = append(names, f.Name), string(b)
	}
	return names, text
}

// TestOriginalNames has names that would lead elsewhere, that no system can write, and that
// are there twice.
func TestOriginalNames(t *testing.T) {
	w, content := invented(
		"exports/sunday.fit", "old.zip!2019/SUNDAY.FIT", "sunday.fit.gz", "../../etc/passwd", `C:\runs\monday.gpx`, "con.tcx", "",
		"...", "x/..", "a\x00b\n.fit", strings.Repeat("long", 100)+".fit", "løp på søndag.fit", "-rf.fit", "/", "sunday-4bf5122f.fit", "old.zip!sunday.fit",
	)
	names, text := unzipped(t, zipOf(t, w, content))
	got := names[7:]
	// The first eight digits of a sum are those of SHA-256 of no, one, two, ... letters x, as
	// sha256sum says them.
	want := []string{
		"sunday.fit", "SUNDAY-2d711642.FIT", "sunday-5dde8968.fit", "passwd", "monday.gpx", "file-", "file-",
		"file-", "file-", "a_b.fit", strings.Repeat("long", 20) + ".fit", "l_p_p__s_ndag.fit", "rf.fit", "file-", "sunday-4bf5122f.fit", "sunday-",
	}
	plain := regexp.MustCompile(`^originals/[A-Za-z0-9][A-Za-z0-9._-]{0,99}$`)
	for i, name := range got {
		if !plain.MatchString(name) || len(text[name]) != i {
			t.Errorf("%q holds %d bytes, want a plain name and %d", name, len(text[name]), i)
		}
		if !strings.HasPrefix(name, "originals/"+want[i]) {
			t.Errorf("%s is called %s, want %s", w.Originals[i].Path, name, want[i])
		}
	}
	lower := make([]string, len(names))
	for i, name := range names {
		lower[i] = strings.ToLower(name)
	}
	slices.Sort(lower)
	if len(slices.Compact(lower)) != len(names) {
		t.Errorf("some are the same to a system that does not tell capitals apart: %v", names)
	}
}

func TestLogbookTables(t *testing.T) {
	w, content := invented()
	four, one, twenty, yes := uint8(4), uint8(1), 20, true
	at := func(h int) load.Instant { return load.InstantOf(time.Date(2026, 3, 1, h, 30, 0, 0, time.UTC)) }
	w.Complaints = []journal.Complaint{{ID: "calf-right", Site: rehab.Calf, Side: rehab.Right}, {ID: "ach-mid-left-2", Site: rehab.AchillesMid, Side: rehab.Left}}
	w.Mornings = []journal.Morning{
		{Morning: rehab.Morning{Complaint: "ach-mid-left-2", Day: first, Next: &four, During: &one}, Entered: at(7), By: "Ida"},
		{Morning: rehab.Morning{Complaint: "calf-right", Day: first, Next: &one}, Entered: at(8), By: "Ida"},
		{Morning: rehab.Morning{Complaint: "ach-mid-left-2", Day: first, Next: &one, Stiffness: &twenty}, Entered: at(9), By: "Ida"},
		{Morning: rehab.Morning{Complaint: "ach-mid-left-2", Day: first, Limp: &yes, Next: &one}, Entered: at(10), By: "Ida"},
	}
	w.Plan.Done = []journal.Done{
		{Done: rehab.Done{Complaint: "calf-right", Day: first + 1, Exercise: "hold_raise_1", Sets: 5, Reps: 1, Hold: 45, Minutes: 2, Weight: 7.5, Pain: &four, Note: "=slow"}, By: "Ida", At: at(11)},
		{Done: rehab.Done{Complaint: "calf-right", Day: first, Exercise: "of a newer version", Sets: 1}, By: "-Ida", At: at(12)},
	}
	names, text := unzipped(t, zipOf(t, w, content))
	if want := []string{"README.txt", "logbook.json", "schema.json", "runs.csv", "days.csv", "mornings.csv", "rehab.csv"}; !slices.Equal(names, want) {
		t.Errorf("members %v", names)
	}
	if want := "complaint,on,before,during,after,next,stiffness,limp,entered\r\n" +
		"ach-mid:left,2026-03-01,,1,,1,20,yes,2026-03-01T09:30:00Z\r\n" +
		"calf:right,2026-03-01,,,,1,,,2026-03-01T08:30:00Z\r\n"; text["mornings.csv"] != want {
		t.Error(cmp.Diff(want, text["mornings.csv"]))
	}
	exercise, err := rehab.FindExercise("hold_raise_1")
	if err != nil {
		t.Fatal(err)
	}
	if want := "date,complaint,exercise,name,sets,reps,hold_s,minutes,weight_kg,pain,note,entered,by\r\n" +
		"2026-03-01,calf:right,of a newer version,,1,,,,,,,2026-03-01T12:30:00Z,'-Ida\r\n" +
		"2026-03-02,calf:right,hold_raise_1,\"" + exercise.Name + "\",5,1,45,2,7.5,4,'=slow,2026-03-01T11:30:00Z,Ida\r\n"; text["rehab.csv"] != want {
		t.Error(cmp.Diff(want, text["rehab.csv"]))
	}
	rows, err := mornings.Decode([]byte(text["mornings.csv"]), time.UTC, at(23), mornings.DefaultLimits)
	if err != nil || len(rows) != 2 || rows[0].Entered != at(9) || *rows[0].Stiffness != 20 {
		t.Errorf("the importer reads %+v, %v", rows, err)
	}
	// Nine measures of three days, 2 to 4 March, and the header.
	if n := strings.Count(text["days.csv"], "\r\n"); n != 1+9*3 {
		t.Errorf("%d lines of days:\n%s", n, text["days.csv"])
	}
	if !strings.HasPrefix(text["README.txt"], "The logbook of Ada, as of 4 March 2026.\n") || !strings.Contains(text["README.txt"], "(0)") {
		t.Errorf("the text begins %.200s", text["README.txt"])
	}
	for name := range text {
		if strings.HasSuffix(name, ".csv") && !strings.Contains(text["README.txt"], "\n"+name+" ") {
			t.Errorf("nothing is said of %s", name)
		}
	}
}

func TestLogbookBreaksOff(t *testing.T) {
	w, content := invented("a.fit", "b.fit")
	if a, b := zipOf(t, w, content), zipOf(t, w, content); !bytes.Equal(a, b) {
		t.Error("the same logbook is another file the second time")
	}
	gone := errors.New("gone")
	var out bytes.Buffer
	err := export.Logbook(&out, w, first, func(sum journal.Sum) ([]byte, error) {
		if sum == w.Originals[1].Sum {
			return nil, gone
		}
		return content(sum)
	})
	if !errors.Is(err, gone) || strings.Contains(err.Error(), "b.fit") { // names of files are somebody's
		t.Errorf("%v", err)
	}
	if _, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len())); err == nil {
		t.Error("what broke off passes for a whole zip")
	}
}
