package fit_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/fit"
	"tidemark/load"
)

func TestPauses(t *testing.T) {
	const start, stop, stopAll, stopDisable, stopDisableAll, marker = 0, 1, 4, 8, 9, 3
	type tick struct {
		at   uint32
		kind byte
	}
	for name, test := range map[string]struct {
		ticks []tick
		want  []load.Span
	}{
		"none":                 {[]tick{{0, start}, {59, stopAll}}, nil},
		"one":                  {[]tick{{0, start}, {10, stop}, {20, start}, {59, stopAll}}, []load.Span{{From: at(10), To: at(20)}}},
		"every kind of stop":   {[]tick{{10, stop}, {11, start}, {20, stopAll}, {22, start}, {30, stopDisable}, {33, start}, {40, stopDisableAll}, {44, start}}, []load.Span{{From: at(10), To: at(11)}, {From: at(20), To: at(22)}, {From: at(30), To: at(33)}, {From: at(40), To: at(44)}}},
		"never ended":          {[]tick{{0, start}, {10, stop}}, nil},
		"two stops":            {[]tick{{0, start}, {10, stop}, {12, stopAll}, {20, start}}, []load.Span{{From: at(10), To: at(20)}}},
		"two starts":           {[]tick{{0, start}, {10, stop}, {20, start}, {25, start}}, []load.Span{{From: at(10), To: at(20)}}},
		"of no length":         {[]tick{{0, start}, {10, stop}, {10, start}}, nil},
		"backwards":            {[]tick{{0, start}, {20, stop}, {10, start}}, nil},
		"a marker is no start": {[]tick{{0, start}, {10, stop}, {15, marker}, {20, start}}, []load.Span{{From: at(10), To: at(20)}}},
	} {
		t.Run(name, func(t *testing.T) {
			w := newWriter().fileID(4).events()
			for _, tick := range test.ticks {
				w.timer(began+tick.at, tick.kind)
			}
			w.data(1, uint32(began+12), byte(36), byte(0)) // an alert: not the timer
			a := decode(t, w.records(moments(runLength)).closing().file(header{}))[0]
			if diff := cmp.Diff(test.want, a.Pauses); diff != "" {
				t.Errorf("pauses (-want +got):\n%s", diff)
			}
			if len(a.Samples) != runLength {
				t.Errorf("%d samples, want all %d: those in pauses stay", len(a.Samples), runLength)
			}
		})
	}
}

func TestLaps(t *testing.T) {
	const none = 0xFFFFFFFF
	w := newWriter().fileID(4).records(moments(runLength))
	w.lap(began+999, began, 20_500, 20_000, 6_000) // written late: its length counts
	w.lap(began+50, began+21, none, none, none)    // no length: when it was written
	w.lap(began+10, began+50, none, none, none)    // written before it began
	w.lap(began+60, none, 5_000, 5_000, 100)       // no start: left out
	w.lap(began+60, 500, 5_000, 5_000, 100)        // from power-on: left out
	want := []load.Lap{
		{Span: load.Span{From: at(0), To: at(0).Add(20_500 * time.Millisecond)}, Timer: 20 * time.Second, Distance: 60},
		{Span: load.Span{From: at(21), To: at(50)}},
		{Span: load.Span{From: at(50), To: at(50)}},
	}
	a := decode(t, w.session(runSums()).file(header{}))[0]
	if diff := cmp.Diff(want, a.Laps); diff != "" {
		t.Errorf("laps (-want +got):\n%s", diff)
	}
}

// threeSports is a run, a change of clothes and a ride in one file, with the
// distance counted on through all of them and a pause across the change.
func threeSports() []byte {
	w := newWriter().fileID(4).events().records(moments(runLength))
	w.timer(began+15, 4).timer(began+25, 0)
	for i, sport := range []uint8{1, 3, 2} {
		start := uint32(began + 20*i)
		s := sums{Written: start + 19, Start: start, Elapsed: 19_000, Timer: 19_000, Distance: 5_700, Cycles: 27, Sport: sport, RPE: 0xFF}
		w.lap(s.Written, s.Start, s.Elapsed, s.Timer, s.Distance).session(s)
	}
	return w.activity(began+59, 0).file(header{})
}

// TestSeveralSports: one activity a session, with its own records, laps, pauses,
// and a distance from zero.
func TestSeveralSports(t *testing.T) {
	activities := decode(t, threeSports())
	list := samples(moments(runLength))
	for i := range list {
		if i >= 20 {
			list[i].Distance -= 57 // the run's last record
		}
		if i >= 40 {
			list[i].Distance -= 60 // the change's: 117 - 57
		}
	}
	want := []struct {
		sport   load.Sport
		detail  string
		samples []load.Sample
		pauses  []load.Span
	}{
		{load.Running, "", list[:20], []load.Span{{From: at(15), To: at(20)}}},
		{load.OtherSport, "transition", list[20:40], []load.Span{{From: at(20), To: at(25)}}},
		{load.Cycling, "", list[40:], nil},
	}
	if len(activities) != len(want) {
		t.Fatalf("%d activities, want %d", len(activities), len(want))
	}
	for i, a := range activities {
		if a.Sport != want[i].sport || a.Detail != want[i].detail || a.Start != at(20*int64(i)) {
			t.Errorf("activity %d is %v %q from %v", i, a.Sport, a.Detail, a.Start.Time())
		}
		if diff := cmp.Diff(want[i].samples, a.Samples); diff != "" {
			t.Errorf("samples of activity %d (-want +got):\n%s", i, diff)
		}
		if diff := cmp.Diff(want[i].pauses, a.Pauses); diff != "" {
			t.Errorf("pauses of activity %d (-want +got):\n%s", i, diff)
		}
		if len(a.Laps) != 1 || a.Laps[0].From != a.Start {
			t.Errorf("laps of activity %d: %v, want its own", i, a.Laps)
		}
	}
}

// TestSessionWindows: ends of sessions are not relied on, nor the first start,
// and the order in the file does not matter.
func TestSessionWindows(t *testing.T) {
	session := func(start, written uint32, sport uint8) sums {
		return sums{Start: began + start, Written: began + written, Elapsed: 10_000, Timer: 10_000, Distance: 100, Sport: sport, RPE: 0xFF}
	}
	restarted := moments(runLength)
	for i := 30; i < len(restarted); i++ {
		restarted[i].Distance = uint32(300 * (i - 30))
	}
	for name, test := range map[string]struct {
		sessions []sums
		moments  []moment
		want     []int
		last     []load.Metres // distances
	}{
		"all written at the start": {[]sums{session(0, 0, 1), session(30, 0, 2)}, moments(runLength), []int{30, 30}, []load.Metres{87, 90}},
		"first starts late":        {[]sums{session(5, 29, 1), session(30, 59, 2)}, moments(runLength), []int{30, 30}, []load.Metres{87, 90}},
		"gap between":              {[]sums{session(0, 19, 1), session(30, 59, 2)}, moments(runLength), []int{30, 30}, []load.Metres{87, 90}},
		"last first":               {[]sums{session(30, 59, 2), session(0, 29, 1)}, moments(runLength), []int{30, 30}, []load.Metres{87, 90}},
		"distance begins anew":     {[]sums{session(0, 29, 1), session(30, 59, 2)}, restarted, []int{30, 30}, []load.Metres{87, 87}},
		"one session":              {[]sums{session(30, 40, 1)}, moments(runLength), []int{60}, []load.Metres{177}},
	} {
		t.Run(name, func(t *testing.T) {
			w := newWriter().fileID(4).records(test.moments)
			for _, s := range test.sessions {
				w.session(s)
			}
			var got []int
			var last []load.Metres
			for _, a := range decode(t, w.file(header{})) {
				got = append(got, len(a.Samples))
				last = append(last, a.Samples[len(a.Samples)-1].Distance)
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("samples (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(test.last, last); diff != "" {
				t.Errorf("last distances (-want +got):\n%s", diff)
			}
		})
	}
	t.Run("records out of order", func(t *testing.T) {
		list := moments(runLength)
		list[10], list[40] = list[40], list[10]
		w := newWriter().fileID(4).records(list).session(session(0, 29, 1)).session(session(30, 59, 2))
		activities := decode(t, w.file(header{}))
		if len(activities[0].Samples) != 30 || len(activities[1].Samples) != 30 {
			t.Errorf("%d and %d samples, want 30 and 30", len(activities[0].Samples), len(activities[1].Samples))
		}
	})
	t.Run("one session without content", func(t *testing.T) {
		empty := sums{Start: began + 500, Written: began + 500, Sport: 3}
		w := newWriter().fileID(4).records(moments(runLength)).session(session(0, 59, 1)).session(empty)
		checkOutcome(t, w.file(header{}), fit.DefaultLimits,
			outcome{Samples: []int{60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}})
	})
}
