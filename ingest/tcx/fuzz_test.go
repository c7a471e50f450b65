package tcx_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"tidemark/ingest/tcx"
	"tidemark/load"
)

// FuzzDecode asks of any bytes: no panic; an error exactly where there are no
// activities, and then a *load.DecodeError with a place inside the file; no NaN
// or infinity; no more samples than the bytes can hold; pauses and laps
// that do not run backwards; the input untouched.
func FuzzDecode(f *testing.F) {
	f.Add([]byte(run(3)))
	f.Add([]byte(document(activity("Running", lap(0, 9, track(points(0, 2))+track(points(30, 32)))+lap(60, 9, "")))))
	f.Add([]byte("\xFF\xFE<\x00T\x00"))
	f.Add([]byte("<TrainingCenterDatabase><Activities><Activity Sport='Other'><Lap><TotalTimeSeconds>1e300</TotalTimeSeconds><Track><Trackpoint><Time>2024-11-08T11:33:20</Time><DistanceMeters>NaN"))
	if dir := os.Getenv("TIDEMARK_CORPUS"); dir != "" {
		files, err := filepath.Glob(filepath.Join(dir, "bad", "*.tcx"))
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
		activities, err := tcx.Decode(data, tcx.DefaultLimits)
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
	for _, l := range a.Laps {
		if l.To < l.From || l.Timer < 0 || !(l.Distance >= 0) || math.IsInf(float64(l.Distance), 0) {
			t.Fatalf("lap %+v", l)
		}
	}
	if d := a.Totals.Distance; a.Totals.Timer < 0 || a.Totals.Steps < 0 || !(d >= 0) || math.IsInf(float64(d), 0) {
		t.Fatalf("totals %+v", a.Totals)
	}
}
