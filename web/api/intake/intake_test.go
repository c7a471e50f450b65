package intake_test

import (
	"bytes"
	"errors"
	"fmt"
	"iter"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
	"tidemark/web/api/intake"
)

const diary = "date,start,distance_km,duration_min\n2026-03-02,07:30,6.2,38\n2026-03-03,,5,30\n"

var options = intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(time.Date(2026, 3, 10, 0, 0, 0, 0, time.UTC)), Home: time.UTC}

func book(t *testing.T) *journal.Book { return bookOf(t) }

func bookOf(t testing.TB) *journal.Book {
	t.Helper()
	store, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "a.db"), sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	j := journal.New(store, func() load.Instant { return options.Now }, journal.Versions{Decoder: 1, Model: 1, Rules: 1})
	r, err := j.AddRunner(t.Context(), "Edda", "UTC", 0)
	if err != nil {
		t.Fatal(err)
	}
	b, err := j.Open(t.Context(), journal.Local, r.ID)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// read yields what a file holds.
func read(name string, content []byte, known intake.Known) iter.Seq[intake.Entry] {
	return func(yield func(intake.Entry) bool) {
		_, members := ingest.Members(name, bytes.NewReader(content), int64(len(content)), options.Limits)
		for m := range members {
			for e := range intake.Read(m, known, options) {
				if !yield(e) {
					return
				}
			}
		}
	}
}

// take hands the files in and returns what was reported.
func take(t *testing.T, b *journal.Book, files ...string) (told []intake.Result) {
	t.Helper()
	known, err := intake.KnownTo(t.Context(), b)
	if err != nil {
		t.Fatal(err)
	}
	group := intake.NewGroup(b, func(r intake.Result) { told = append(told, r) })
	for _, content := range files {
		for e := range read("diary.csv", []byte(content), known) {
			if err := group.Add(t.Context(), e); err != nil {
				t.Fatal(err)
			}
		}
	}
	if len(told) > 0 {
		t.Fatal("something was reported before its commit")
	}
	if err := group.Commit(t.Context()); err != nil {
		t.Fatal(err)
	}
	return told
}

func TestTaking(t *testing.T) {
	b := book(t)
	told := take(t, b, diary, "no recording", diary)
	if len(told) != 3 || !told[0].Added || len(told[0].Sessions) != 2 {
		t.Fatalf("told %+v, want the diary added with two sessions, first", told)
	}
	if !errors.Is(told[1].Err, ingest.ErrUnknownFormat) {
		t.Errorf("told %+v, want the second refused", told[1])
	}
	if told[2].Added || told[2].Err != nil {
		t.Errorf("told %+v, want the third kept already", told[2])
	}
	if again := take(t, b, diary); again[0].Added || len(again[0].Sessions) != 2 {
		t.Errorf("told %+v, want kept already, with its sessions", again[0])
	}
	sessions, err := b.Sessions(t.Context())
	if err != nil || len(sessions) != 2 {
		t.Errorf("%d sessions, %v; want 2", len(sessions), err)
	}
}

// A diary with one more row adds that row and keeps the names of the others.
func TestRowsKeepTheirNames(t *testing.T) {
	b := book(t)
	first := take(t, b, diary)[0].Sessions
	second := take(t, b, diary+"2026-03-04,18:00,4,25\n")[0]
	if !second.Added || len(second.Sessions) != 3 {
		t.Fatalf("told %+v, want three sessions, added", second)
	}
	for i := range first {
		if first[i].ID != second.Sessions[i].ID {
			t.Errorf("row %d was %s and is %s", i, first[i].ID, second.Sessions[i].ID)
		}
	}
}

// Redo decodes an original to the same sessions, in the zone that was decided
// even if the runner moved.
func TestRedoKeepsDecisions(t *testing.T) {
	b := book(t)
	before := take(t, b, diary)[0].Sessions
	moved := options
	moved.Home = time.FixedZone("away", -9*3600)
	if err := b.Rederive(t.Context(), intake.Redo(moved)); err != nil {
		t.Fatal(err)
	}
	after, err := b.Sessions(t.Context())
	if err != nil || len(after) != len(before) {
		t.Fatalf("%d sessions, %v", len(after), err)
	}
	for i := range after {
		if after[i].Day != before[i].Day || after[i].Zone != before[i].Zone || after[i].ID != before[i].ID || after[i].Start != before[i].Start {
			t.Errorf("session %d is %+v, was %+v", i, after[i], before[i])
		}
	}
}

func TestAFullGroupIsCommitted(t *testing.T) {
	b := book(t)
	told := 0
	group := intake.NewGroup(b, func(intake.Result) { told++ })
	for i := range 64 {
		content := bytes.Replace([]byte(diary), []byte("6.2"), []byte{'6', '.', byte('0' + i%10), byte('0' + i/10)}, 1)
		for e := range read("d.csv", content, nil) {
			if err := group.Add(t.Context(), e); err != nil {
				t.Fatal(err)
			}
		}
	}
	if told != 64 {
		t.Errorf("%d reported after 64 files, want all", told)
	}
}

// An edit goes through the original: 6.2 km of which the runner says that they
// were a walk, as a 5 of 10 for 38 min, that does not count.
func TestEditing(t *testing.T) {
	b := book(t)
	first := take(t, b, diary)[0].Sessions
	id := first[0].ID
	edit := func(seen int, changes map[string]string) {
		t.Helper()
		if err := b.Edit(t.Context(), id, seen, changes, intake.Redo(options)); err != nil {
			t.Fatal(err)
		}
	}
	edited := func() load.Session {
		t.Helper()
		s, err := b.Session(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	edit(0, map[string]string{"kind": "walking", "exertion": "5", "excluded": "yes"})
	for range 2 { // and once more when all is derived anew
		s := edited()
		exertion, _ := s.Measures.Get(load.Exertion)
		if s.Sport != load.Walking || !s.Excluded || s.WalkTime != 38*time.Minute || load.Exertion.In(exertion) != 190 {
			t.Errorf("%v for %v, excluded %v, exertion %v; want walking for 38m, excluded, 190 AU", s.Sport, s.WalkTime, s.Excluded, load.Exertion.In(exertion))
		}
		if err := b.Rederive(t.Context(), intake.Redo(options)); err != nil {
			t.Fatal(err)
		}
	}
	edit(3, map[string]string{"kind": "", "exertion": "", "excluded": ""})
	if diff := cmp.Diff(first[0], edited(), cmp.AllowUnexported(load.Amounts{})); diff != "" {
		t.Errorf("taken back (-want +got):\n%s", diff)
	}
	other, err := b.Session(t.Context(), first[1].ID)
	if diff := cmp.Diff(first[1], other, cmp.AllowUnexported(load.Amounts{})); diff != "" || err != nil {
		t.Errorf("the other row, %v (-want +got):\n%s", err, diff)
	}
}

// A GPX of two tracks that begin in the same second, and a diary: each session
// leads to its own activity, as the file has it whatever was said of it.
func TestActivity(t *testing.T) {
	b := book(t)
	sessions := append(take(t, b, diary)[0].Sessions, take(t, b, twins)[0].Sessions...)
	if len(sessions) != 4 {
		t.Fatalf("%d sessions, want 4", len(sessions))
	}
	moved := options
	moved.Home = time.FixedZone("away", -9*3600)
	for i, s := range sessions {
		if err := b.Edit(t.Context(), s.ID, 0, map[string]string{"kind": "swimming"}, intake.Redo(options)); err != nil {
			t.Fatal(err)
		}
		o, _, err := b.OriginalOf(t.Context(), s.ID)
		if err != nil {
			t.Fatal(err)
		}
		a, err := intake.Activity(o, s.ID, moved)
		if err != nil {
			t.Fatal(err)
		}
		if a.Start != s.Start || a.Sport != s.Sport || len(a.Samples) != s.Points || a.End() != s.End {
			t.Errorf("session %d: %v of %d samples from %v to %v, want %v of %d from %v to %v", i,
				a.Sport, len(a.Samples), a.Start, a.End(), s.Sport, s.Points, s.Start, s.End)
		}
		if _, err := intake.Activity(o, "none", options); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("an activity of no session: %v", err)
		}
		o.Bytes = []byte("no recording")
		if _, err := intake.Activity(o, s.ID, options); !errors.Is(err, ingest.ErrUnknownFormat) {
			t.Errorf("an activity of what is no recording: %v", err)
		}
	}
}

// twins are two tracks along the equator that start at the same time, of 61 and
// 121 seconds.
var twins = `<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1">` +
	track(61) + track(121) + `</gpx>`

func track(seconds int) string {
	start := time.Date(2026, 3, 4, 7, 0, 0, 0, time.UTC)
	var out strings.Builder
	out.WriteString("<trk><type>running</type><trkseg>")
	for i := range seconds {
		fmt.Fprintf(&out, `<trkpt lat="0" lon="%.6f"><time>%s</time></trkpt>`, -20+float64(i)*0.000025,
			start.Add(time.Duration(i)*time.Second).Format(time.RFC3339))
	}
	out.WriteString("</trkseg></trk>")
	return out.String()
}
