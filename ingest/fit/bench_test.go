package fit_test

import (
	"path/filepath"
	"testing"

	"tidemark/ingest/fit"
	"tidemark/load"
)

// BenchmarkDecode compares the ways to read one file, in one process. Ours
// checks the checksum and returns activities; muktihari is at its fastest, with
// a listener that keeps samples and is told beforehand how many; tormoder is its
// plain Decode.
func BenchmarkDecode(b *testing.B) {
	for name, data := range benchFiles(b) {
		b.Run("file="+name+"/reader=ours", func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := fit.Decode(data, fit.DefaultLimits); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run("file="+name+"/reader=muktihari", func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			known, err := muktihari(data, nil)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if _, err := muktihari(data, make([]load.Sample, 0, len(known.samples))); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run("file="+name+"/reader=tormoder", func(b *testing.B) {
			if _, err := tormoder(data); err != nil {
				b.Skipf("tormoder: %v", err)
			}
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := tormoder(data); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// benchFiles returns the files of the comparison by a short name.
func benchFiles(b *testing.B) map[string][]byte {
	b.Helper()
	tormoderFiles := moduleFiles(b, "github.com/tormoder/fit")
	muktihariFiles := moduleFiles(b, "github.com/muktihari/fit")
	files := map[string][]byte{
		"run":       tormoderFiles["testdata/me/activity-small-fenix2-run.fit"],
		"big":       muktihariFiles["testdata/big_activity.fit"],
		"triathlon": muktihariFiles["testdata/from_garmin_forums/triathlon_summary_last.fit"],
		"hour":      newWriter().whole(moments(3600), runSums()).file(header{}),
	}
	real, err := filepath.Glob(filepath.Join(corpusDir(), "real", "004.fit"))
	if err == nil && len(real) == 1 {
		files["corpus"] = readFile(b, real[0])
	}
	return files
}
