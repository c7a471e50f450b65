package journaltest

import (
	"crypto/sha256"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/load/journal"
)

// Everything here is invented: a runner who begins to use the program on
// 1 March 2026 and runs in the evening, by a watch that never was.
var (
	firstUse = load.Date(2026, time.March, 1)
	versions = journal.Versions{Decoder: 2, Model: 3, Rules: 4}
	amounts  = cmp.AllowUnexported(load.Amounts{})
)

const noon = load.Instant(1_772_366_400_000) // 2026-03-01 12:00 UTC

func clock() load.Instant { return noon }

func newJournal(s journal.Store) *journal.Journal { return journal.New(s, clock, versions) }

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func get[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		must(t, err)
		return v
	}
}

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if d := cmp.Diff(want, got, amounts); d != "" {
		t.Errorf("%s (-want +got):\n%s", what, d)
	}
}

// book adds a runner to the journal and opens the book.
func book(t *testing.T, j *journal.Journal, name string) *journal.Book {
	t.Helper()
	r, err := j.AddRunner(t.Context(), name, "Europe/Vienna", firstUse)
	must(t, err)
	b, err := j.Open(t.Context(), journal.Local, r.ID)
	must(t, err)
	return b
}

// runner adds a runner to the bare store.
func runner(t *testing.T, s journal.Store, id journal.RunnerID) journal.RunnerID {
	t.Helper()
	update(t, s, func(tx journal.Tx) error {
		return tx.AddRunner(journal.Runner{ID: id, Name: "name of " + string(id), Home: "UTC", Revision: 1})
	})
	return id
}

func update(t *testing.T, s journal.Store, f func(journal.Tx) error) {
	t.Helper()
	must(t, s.Update(t.Context(), f))
}

func view(t *testing.T, s journal.Store, f func(journal.Tx) error) {
	t.Helper()
	must(t, s.View(t.Context(), f))
}

// content returns the bytes of the n-th recording, which do not compress well,
// as tracks do not.
func content(n, size int) []byte {
	source := rand.NewChaCha8([32]byte{byte(n), byte(n >> 8), 1})
	b := make([]byte, size)
	source.Read(b)
	return b
}

// recording returns the n-th recording, of one run on the n-th evening after
// the first use.
func recording(n int) journal.Recording { return recordingOf(n, content(n, 2000), session(n)) }

func recordingOf(n int, b []byte, sessions ...load.Session) journal.Recording {
	return journal.Recording{
		Sum: sha256.Sum256(b), Path: "runs/evening.fit", Format: "fit", Size: int64(len(b)),
		Packed: journal.Pack(b), Sessions: sessions,
	}
}

// session returns the n-th evening's run, with every field set to something.
func session(n int) load.Session {
	start := noon.Add(time.Duration(n)*24*time.Hour + 5*time.Hour)
	s := load.Session{
		ID: "to be named", Day: firstUse + load.Day(n), Start: start, End: start.Add(time.Hour),
		Zone:  load.Zone{Name: "Europe/Vienna", Offset: time.Hour, Source: load.ZoneFromCoordinates},
		Sport: load.Running, Detail: "running, trail", Surface: load.Trail, Race: true, Excluded: true,
		Elapsed: time.Hour, Timer: 3500*time.Second + 1, Moving: 3400500 * time.Millisecond,
		RunTime: 50 * time.Minute, WalkTime: 7 * time.Minute, RunSpells: 8,
		Double: load.DoubleApart, Shoe: "the blue ones", Note: "along the pier, \"windy\"\nand back", FlatACSM: 10300.75,
		Distance: 10123.456789, DistanceSource: load.DistanceFromDevice,
		DeviceDistance: 10123.456789, TrackDistance: 10050.25,
		Ascent: 120.5, Descent: 119.25, HasAscent: true,
		HeartMean: 148, HeartMax: 171, CadenceMean: 171.3, Steps: 9312, StepsSource: load.StepsFromCadence,
		Points: 3500, Laps: 10, HasPositions: true, Device: "Watch Ü, 2",
	}
	s.HeartPeak, s.HeartCovered, s.TendonBand = 168, 55*time.Minute, [2]load.Amount{9_000_000, 12_000_000}
	s.HeartTimes.Add(148, 3_000_000)
	s.HeartTimes.Add(140+n%20, 1001)
	s.Speeds.Add(29, 3_000_000)
	for i, m := range load.Measures {
		if m == load.Heart {
			continue // follows from the time at each heart rate
		}
		s.Measures.Set(m, load.Amount(10_000_000+1000*n+i))
	}
	s.Notes.Add(load.NoteGap, "12 s without samples")
	s.Notes.Add(load.NoteTreadmill, `a "quoted" word, and a snowman: ☃`)
	return s
}

// row returns a diary row of the n-th day, with its ID.
func row(n int, distance load.Metres) load.Session {
	day := firstUse + load.Day(n)
	a := load.Activity{
		Sport: load.Running, Start: load.InstantOf(day.Noon()),
		Totals: load.Totals{Elapsed: 30 * time.Minute, Distance: distance}, Typed: &load.Typed{Day: day},
	}
	s := load.Session{
		ID: journal.RowID(&a), Day: day, Start: a.Start, End: a.End(), NoStart: true, Typed: true,
		Zone: load.Zone{Name: "Europe/Vienna", Offset: time.Hour, Source: load.ZoneFromHome}, Sport: a.Sport,
		Elapsed: a.Totals.Elapsed, Distance: distance, DistanceSource: load.DistanceTyped,
	}
	s.Measures.Set(load.Distance, load.Distance.Of(float64(distance)/1000))
	return s
}

// ids returns the IDs of sessions in their order.
func ids(sessions []load.Session) []string {
	var out []string
	for _, s := range sessions {
		out = append(out, s.ID)
	}
	return out
}

// wantEveryField fails for a field of v that is zero, so that a field that is
// new in the vocabulary is not left out of a store unseen.
func wantEveryField(t *testing.T, v any, except ...string) {
	t.Helper()
	r := reflect.ValueOf(v)
	for i := range r.NumField() {
		name := r.Type().Field(i).Name
		if r.Field(i).IsZero() && !slices.Contains(except, name) {
			t.Errorf("the invented %T lacks %s: set it, and see that stores keep it", v, name)
		}
	}
}
