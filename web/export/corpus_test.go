package export_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tidemark/ingest"
	"tidemark/load"
)

// corpus returns the folder of the corpus. Without one it skips the test, unless
// one was named.
func corpus(t *testing.T) string {
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

// What watches recorded comes back: the same positions at the same times, and a
// track of the same length within a metre. A GPX carries no distance of the
// device's own, so the length is that of the positions alone. Where the track has
// leaps or gaps that do not count, the reader judges them anew by the positions that
// are left, and the length may differ.
func TestCorpusComesBack(t *testing.T) {
	dir := corpus(t)
	tracks, broken := 0, 0
	for _, folder := range []string{"real", "synth"} {
		files, err := filepath.Glob(filepath.Join(dir, folder, "*"))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			for i, a := range activities(t, file) {
				s := reduced(bare(&a))
				if s.TrackDistance == 0 {
					continue
				}
				tracks++
				if uncounted(s) {
					broken++
				}
				t.Run(fmt.Sprintf("%s-%d", filepath.Base(file), i+1), func(t *testing.T) { comesBack(t, &a, s) })
			}
		}
	}
	if tracks-broken < 60 {
		t.Errorf("%d tracks, %d of them with leaps or gaps: too few to say anything", tracks, broken)
	}
	t.Logf("%d tracks, of which %d with leaps or gaps", tracks, broken)
}

func comesBack(t *testing.T, a *load.Activity, s *load.Session) {
	back := again(t, written(t, a, s))
	want := outsidePauses(a, s)
	if len(want) != len(back.Samples) {
		t.Fatalf("%d positions come back of %d", len(back.Samples), len(want))
	}
	for i := range want {
		p, q := &want[i], &back.Samples[i]
		off := math.Hypot(float64(p.Position.Lat-q.Position.Lat), float64(p.Position.Lon-q.Position.Lon))
		if p.At != q.At || off > 1e-9 { // degrees, a tenth of a millimetre
			t.Fatalf("position %d comes back %v later and %g degrees away", i, q.At.Sub(p.At), off)
		}
	}
	if off := reduced(back).TrackDistance - s.TrackDistance; math.Abs(float64(off)) > 1 && !uncounted(s) {
		t.Errorf("the track of %.1f m comes back %+.1f m longer", s.TrackDistance, off)
	}
}

// bare returns the activity without the distance that the device counted.
func bare(a *load.Activity) *load.Activity {
	out := *a
	out.Samples = slices.Clone(a.Samples)
	for i := range out.Samples {
		out.Samples[i].Has &^= load.HasDistance
	}
	return &out
}

// uncounted reports whether a way from one position to the next was not counted.
func uncounted(s *load.Session) bool {
	return slices.ContainsFunc(s.Notes, func(n load.Note) bool {
		return n.Code == load.NoteJump && strings.Contains(n.Text, "not counted as distance")
	})
}

// outsidePauses are the positions that were kept, but for those that were recorded
// while the device paused.
func outsidePauses(a *load.Activity, s *load.Session) (out []load.Sample) {
	for i, kept := range load.KeptPositions(a, s.Sport) {
		p := a.Samples[i]
		if kept && !slices.ContainsFunc(a.Pauses, func(v load.Span) bool { return v.From < p.At && p.At < v.To }) {
			out = append(out, p)
		}
	}
	return out
}

// activities reads a file, plain or packed with gzip; what is no recording gives
// none.
func activities(t *testing.T, file string) []load.Activity {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if r, err := gzip.NewReader(bytes.NewReader(data)); err == nil {
		if data, err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	d, err := ingest.Decode(data, ingest.Options{Now: now})
	if err != nil {
		t.Logf("%s was left out: %v", filepath.Base(file), err)
	}
	return d.Activities
}
