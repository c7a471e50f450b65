package fit_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"tidemark/ingest/fit"
	"tidemark/load"
)

// FuzzDecode demands of any bytes: no panic; activities or an error, never both
// and never neither; no more samples than bytes, no more of anything than its
// limit; nothing NaN or infinite; pauses in order.
func FuzzDecode(f *testing.F) {
	for _, seed := range [][]byte{
		nil, plainRun(), plainRun()[:700], compressedRun(), developerRun(), wideRun(), summaryFirst(), otherTimes(), reservedBits(),
		emptyText(), redefinedRun(), threeSports(), timesAlone(), unknownType(), timeless(), powerOn(), firstFrom1989(),
		someEmpties(10), empties(sessionMesg, 100), heartRecords(),
		slices.Concat(plainRun(), backfill(), plainRun()[:300]), sized(plainRun(), 0), sized(plainRun(), 500),
	} {
		f.Add(seed)
	}
	lim := fit.Limits{Messages: 5_000, Sessions: 20, Laps: 50, Events: 50, Parts: 10}
	f.Fuzz(func(t *testing.T, data []byte) {
		activities, err := fit.Decode(data, lim)
		if (err == nil) == (len(activities) == 0) {
			t.Fatalf("%d activities and error %v", len(activities), err)
		}
		var decodeError *load.DecodeError
		if err != nil && (!errors.As(err, &decodeError) || decodeError.Offset > int64(len(data))) {
			t.Fatalf("error %#v, want a *load.DecodeError with a byte of the file", err)
		}
		samples, laps, withSession := 0, 0, 0
		for i := range activities {
			a := &activities[i]
			samples += len(a.Samples)
			laps += len(a.Laps)
			if a.Totals != (load.Totals{}) {
				withSession++
			}
			checkActivity(t, a)
		}
		if samples > min(len(data), lim.Messages) || laps > lim.Laps || withSession > lim.Sessions {
			t.Fatalf("%d samples, %d laps, %d sessions of %d bytes", samples, laps, withSession, len(data))
		}
	})
}

func checkActivity(t *testing.T, a *load.Activity) {
	t.Helper()
	if len(a.Samples) == 0 && a.Totals == (load.Totals{}) {
		t.Fatal("an activity of nothing")
	}
	for _, s := range a.Samples {
		for _, v := range []float64{
			float64(s.Position.Lat), float64(s.Position.Lon), float64(s.Distance), float64(s.Altitude),
			float64(s.Speed), float64(s.Cadence),
		} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("sample %+v", s)
			}
		}
	}
	for _, p := range a.Pauses {
		if p.To <= p.From {
			t.Fatalf("pause %v", p)
		}
	}
	for _, l := range a.Laps {
		if l.To < l.From {
			t.Fatalf("lap %v", l)
		}
	}
	if a.HasExertion && (a.Exertion < 0 || a.Exertion > 10) || a.HasOffset && a.Offset.Abs() > 15*3600e9 {
		t.Fatalf("exertion %v, offset %v", a.Exertion, a.Offset)
	}
}
