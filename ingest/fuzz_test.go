package ingest_test

import (
	"testing"

	"tidemark/ingest"
)

func FuzzDecode(f *testing.F) {
	for _, seed := range corpusSeeds(40_000) {
		f.Add(seed)
	}
	f.Add([]byte("date,start,distance_km\n2026-03-29,02:30,8\n"))
	f.Add([]byte("date,kind\n2026-03-29,rest\n"))
	f.Add([]byte(`<gpx><trk><trkseg><trkpt lat="1" lon="1"><time>2026-01-01T00:00:00Z</time></trkpt>` +
		`<trkpt lat="NaN" lon="400"><time>2026-01-01T00:01:00Z</time></trkpt></trkseg></trk></gpx>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := ingest.Decode(data, ingest.Options{Now: now})
		if none := len(d.Activities)+len(d.Rests) == 0; none != (err != nil) {
			t.Fatalf("err = %v with %d activities and %d rests", err, len(d.Activities), len(d.Rests))
		}
		for i := range d.Activities {
			checkActivity(t, &d.Activities[i])
		}
	})
}

func FuzzUnpack(f *testing.F) {
	for _, seed := range corpusSeeds(40_000) {
		f.Add(seed)
	}
	f.Add(zipOf(member{"a.gpx.gz", gzipOf([]byte("<gpx/>"))}, member{"__MACOSX/._a", nil}))
	f.Add(gzipOf([]byte("date,distance_km\n")))
	f.Add(zipOf(member{"a.zip", zipOf(member{"b.zip", zipOf()}, member{"c.gpx", []byte("<gpx/>")})}))
	lim := ingest.DefaultLimits
	lim.Raw, lim.Inflated, lim.Archive, lim.Members = 1<<20, 1<<20, 2<<20, 5
	f.Fuzz(func(t *testing.T, data []byte) {
		var steps int
		var inflated int64
		for rec, err := range unpack("f", data, lim) {
			steps++
			if err != nil && rec.Data != nil {
				t.Errorf("%s is refused and has %d bytes", rec.Path, len(rec.Data))
			}
			if int64(len(rec.Data)) > max(lim.Raw, lim.Inflated) {
				t.Errorf("%s has %d bytes", rec.Path, len(rec.Data))
			}
			inflated += int64(len(rec.Data))
		}
		if steps == 0 || inflated > max(lim.Raw, lim.Archive) {
			t.Errorf("%d steps, %d bytes", steps, inflated)
		}
	})
}
