package gpx_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"tidemark/ingest/gpx"
	"tidemark/load"
)

// FuzzDecode asks of any bytes: no panic; an error exactly where there are no
// activities, and then a *load.DecodeError with a place inside the file; no NaN
// or infinity; no more samples than the bytes can hold; pauses that do not run
// backwards; the input untouched.
func FuzzDecode(f *testing.F) {
	f.Add([]byte(document(points(3))))
	f.Add([]byte(document(points(1) + "</trkseg><trkseg>" + points(2))))
	f.Add([]byte("\xFF\xFE<\x00g\x00p\x00x\x00>\x00"))
	f.Add([]byte("<gpx><rte/><wpt/><trk><trkpt lat='1' lon='NaN'><time>2024-11-08T11:33:20,5+01:00</time><ele>1e999</ele></trkpt>"))
	if dir := os.Getenv("TIDEMARK_CORPUS"); dir != "" {
		files, err := filepath.Glob(filepath.Join(dir, "bad", "*.gpx"))
		if err != nil {
			f.Fatal(err)
		}
		for _, file := range files {
			if data, err := os.ReadFile(file); err == nil && len(data) < 1<<14 {
				f.Add(data)
			}
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		before := string(data)
		activities, err := gpx.Decode(data, gpx.DefaultLimits)
		if before != string(data) {
			t.Fatal("the input was written to")
		}
		if (err != nil) != (len(activities) == 0) {
			t.Fatalf("%d activities, error %v", len(activities), err)
		}
		if err != nil {
			decode, ok := errors.AsType[*load.DecodeError](err)
			if !ok || decode.Offset < -1 || decode.Offset > int64(len(data)) {
				t.Fatalf("error %#v", err)
			}
			return
		}
		samples := 0
		for i := range activities {
			samples += len(activities[i].Samples)
			checkFinite(t, &activities[i])
		}
		// A time alone takes 19 bytes, the tags around it more.
		if samples > len(data)/20 {
			t.Fatalf("%d samples of %d bytes", samples, len(data))
		}
	})
}

func checkFinite(t *testing.T, a *load.Activity) {
	t.Helper()
	for i := range a.Samples {
		s := &a.Samples[i]
		for _, v := range []float64{
			float64(s.Position.Lat), float64(s.Position.Lon), float64(s.Altitude),
			float64(s.Distance), float64(s.Speed), float64(s.Cadence),
		} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("sample %d: %+v", i, s)
			}
		}
	}
	for _, p := range a.Pauses {
		if p.To < p.From {
			t.Fatalf("pause %+v", p)
		}
	}
}
