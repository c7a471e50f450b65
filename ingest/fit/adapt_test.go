package fit_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/fit"
	"tidemark/load"
)

func TestCadenceCount(t *testing.T) {
	for sport, want := range map[uint8]load.CadenceCount{
		0: load.CadenceUnsaid, 1: load.CadenceOneFoot, 2: load.CadenceUnsaid, 11: load.CadenceOneFoot, 17: load.CadenceOneFoot,
	} {
		s := runSums()
		s.Sport = sport
		if a := decode(t, newWriter().whole(moments(5), s).file(header{}))[0]; a.Cadence != want {
			t.Errorf("sport %d: cadence counts %v, want %v", sport, a.Cadence, want)
		}
	}
}

// at returns an instant some seconds after the run began.
func at(seconds int64) load.Instant { return load.Unix(beganUnix + seconds) }

// TestOffset: what a zone can be, and what garbage is. The odd values were seen
// in real files.
func TestOffset(t *testing.T) {
	for name, test := range map[string]struct {
		ahead int32
		want  time.Duration
		ok    bool
	}{
		"UTC":            {0, 0, true},
		"an hour":        {3600, time.Hour, true},
		"Nepal":          {20_700, 5*time.Hour + 45*time.Minute, true},
		"west":           {-34_200, -9*time.Hour - 30*time.Minute, true},
		"the limit":      {15 * 3600, 15 * time.Hour, true},
		"over the limit": {15*3600 + 900, 0, false},
		"18 min":         {1080, 0, false},
		"20 years":       {681_625_390, 0, false},
		"minus 31 years": {-995_917_553, 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			a := decode(t, newWriter().fileID(4).session(runSums()).activity(began, test.ahead).file(header{}))[0]
			if a.Offset != test.want || a.HasOffset != test.ok || a.Notes.Has(load.NoteOffset) == test.ok {
				t.Errorf("offset %v, %v, notes %v; want %v, %v", a.Offset, a.HasOffset, a.Notes, test.want, test.ok)
			}
		})
	}
	t.Run("not given", func(t *testing.T) {
		w := newWriter().fileID(4).session(runSums()).define(6, activityMesg, field{253, 4, uint32Type}).data(6, uint32(began))
		if a := decode(t, w.file(header{}))[0]; a.HasOffset || len(a.Notes) > 0 {
			t.Errorf("offset %v, notes %v; want none of either", a.Offset, a.Notes)
		}
	})
}

func TestTotals(t *testing.T) {
	none := sums{
		Written: began, Start: began, Elapsed: 1000, Timer: 0xFFFFFFFF, Distance: 0xFFFFFFFF, Cycles: 0xFFFFFFFF,
		Ascent: 0xFFFF, Descent: 0xFFFF, Sport: 1, RPE: 0xFF,
	}
	ride := runSums()
	ride.Sport = 2
	tooMany := runSums()
	tooMany.Cycles = 1000 // 2034 steps a minute
	tooFew := runSums()
	tooFew.Cycles = 10 // 20 steps a minute
	for name, test := range map[string]struct {
		sums sums
		want load.Totals
	}{
		"a run":           {runSums(), load.Totals{Elapsed: 59e9, Timer: 59e9, Distance: 177, Ascent: 3, Descent: 2, Steps: 166}},
		"nothing given":   {none, load.Totals{Elapsed: 1e9}},
		"a ride":          {ride, load.Totals{Elapsed: 59e9, Timer: 59e9, Distance: 177, Ascent: 3, Descent: 2}},
		"too many cycles": {tooMany, load.Totals{Elapsed: 59e9, Timer: 59e9, Distance: 177, Ascent: 3, Descent: 2}},
		"too few cycles":  {tooFew, load.Totals{Elapsed: 59e9, Timer: 59e9, Distance: 177, Ascent: 3, Descent: 2}},
	} {
		t.Run(name, func(t *testing.T) {
			a := decode(t, newWriter().fileID(4).session(test.sums).file(header{}))[0]
			if diff := cmp.Diff(test.want, a.Totals); diff != "" {
				t.Errorf("totals (-want +got):\n%s", diff)
			}
		})
	}
}

func TestExertion(t *testing.T) {
	for raw, want := range map[uint8]struct {
		exertion float64
		ok, note bool
	}{
		0: {0, true, false}, 40: {4, true, false}, 100: {10, true, false}, 101: {0, false, true}, 0xFF: {0, false, false},
	} {
		s := runSums()
		s.RPE = raw
		a := decode(t, newWriter().fileID(4).session(s).file(header{}))[0]
		if a.Exertion != want.exertion || a.HasExertion != want.ok || a.Notes.Has(load.NoteValue) != want.note {
			t.Errorf("raw %d: %v, %v, notes %v; want %+v", raw, a.Exertion, a.HasExertion, a.Notes, want)
		}
	}
}

// TestStart: the session's own start, else the first dated record, else what
// the session's end and length say.
func TestStart(t *testing.T) {
	noStart := runSums()
	noStart.Start = 0xFFFFFFFF
	fromPowerOn := runSums()
	fromPowerOn.Start = 1000
	late := moments(5)
	late[0].Time = 77
	for name, test := range map[string]struct {
		data []byte
		want load.Instant
	}{
		"of the session":        {newWriter().fileID(4).records(moments(5)[2:]).session(runSums()).file(header{}), at(0)},
		"of the first record":   {newWriter().fileID(4).records(moments(5)[2:]).session(noStart).file(header{}), at(2)},
		"of the first dated":    {newWriter().fileID(4).records(late).session(noStart).file(header{}), at(1)},
		"of a recording so far": {newWriter().fileID(4).records(late).file(header{}), at(1)},
		"session from power-on": {newWriter().fileID(4).records(moments(5)[2:]).session(fromPowerOn).file(header{}), at(2)},
		"end less length":       {newWriter().fileID(4).session(noStart).file(header{}), at(0)},
	} {
		t.Run(name, func(t *testing.T) {
			if got := decode(t, test.data)[0].Start; got != test.want {
				t.Errorf("starts at %v, want %v", got.Time(), test.want.Time())
			}
		})
	}
}

// backfill is a part with heart rates that a strap kept: no file_id, no session.
func backfill() []byte {
	w := newWriter().define(0, hrMesg, field{253, 4, uint32Type}, field{6, 1, uint8Type})
	return w.data(0, uint32(began), byte(120)).file(header{})
}

// heartRecords is the same as records.
func heartRecords() []byte {
	w := newWriter().define(0, recordMesg, field{253, 4, uint32Type}, field{3, 1, uint8Type})
	return w.data(0, uint32(began), byte(120)).file(header{})
}

func TestChains(t *testing.T) {
	settings := newWriter().fileID(2).file(header{})
	later := moments(10)
	for name, test := range map[string]struct {
		data []byte
		want outcome
	}{
		"two runs": {slices.Concat(plainRun(), plainRun()), outcome{Samples: []int{60, 60}, Sport: load.Running}},
		"heart rates": {
			slices.Concat(plainRun(), backfill(), backfill()),
			outcome{Samples: []int{60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}},
		},
		"heart rates as records": {
			slices.Concat(plainRun(), heartRecords()),
			outcome{Samples: []int{60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}},
		},
		"heart rates with a session are a recording": {
			slices.Concat(plainRun(), newWriter().fileID(4).define(2, recordMesg, field{253, 4, uint32Type}, field{3, 1, uint8Type}).
				data(2, uint32(began+100), byte(120)).session(runSums()).file(header{})),
			outcome{Samples: []int{60, 1}, Sport: load.Running},
		},
		"no file_id in the second": {
			slices.Concat(plainRun(), newWriter().records(later).file(header{})),
			outcome{Samples: []int{60, 10}, Sport: load.Running},
		},
		"settings, then a run": {
			slices.Concat(settings, plainRun()),
			outcome{Samples: []int{60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}},
		},
		"a run, then settings": {
			slices.Concat(plainRun(), settings),
			outcome{Samples: []int{60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}},
		},
		"two settings":        {slices.Concat(settings, settings), outcome{Err: "settings, not a recording"}},
		"heart rates alone":   {backfill(), outcome{Err: "neither samples with a time nor sums, so nothing was recorded"}},
		"heart records alone": {heartRecords(), outcome{Samples: []int{1}}},
		"second cut":          {slices.Concat(plainRun(), plainRun()[:400]), outcome{Samples: []int{60, 11}, Sport: load.Running, Notes: []load.NoteCode{load.NoteTruncated}}},
		"second header cut":   {slices.Concat(plainRun(), plainRun()[:13]), outcome{Samples: []int{60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}}},
		"first with an unknown type in it": {
			slices.Concat(newWriter().fileID(4).records(moments(20)).data(7, uint32(0)).file(header{}), plainRun()),
			outcome{Samples: []int{20, 60}, Notes: []load.NoteCode{load.NoteTruncated}},
		},
		"first with that and a wrong sum": {
			slices.Concat(with(newWriter().fileID(4).records(moments(20)).data(7, uint32(0)).file(header{}), 100, 0), plainRun()),
			outcome{Samples: []int{20, 60}, Notes: []load.NoteCode{load.NoteChecksum, load.NoteTruncated}},
		},
		"first with a wrong sum": {slices.Concat(with(plainRun(), len(plainRun())-1, plainRun()[len(plainRun())-1]^1), plainRun()), outcome{Samples: []int{60, 60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteChecksum}}},
	} {
		t.Run(name, func(t *testing.T) { checkOutcome(t, test.data, fit.DefaultLimits, test.want) })
	}
	t.Run("heart rates are named", func(t *testing.T) {
		notes := decode(t, slices.Concat(plainRun(), backfill()))[0].Notes
		if len(notes) != 1 || !strings.Contains(notes[0].Text, "heart rates") {
			t.Errorf("notes %v, want one about heart rates", notes)
		}
	})
}

func TestDevice(t *testing.T) {
	w := newWriter().define(0, fileIDMesg, field{0, 1, enumType}, field{8, 12, stringType})
	w.data(0, byte(4), [12]byte{'S', 'e', 'a', '\xFF', ' ', '7', ' ', 0, 'x'})
	if got := decode(t, w.session(runSums()).file(header{}))[0].Device; got != "Sea 7" {
		t.Errorf("device %q, want %q", got, "Sea 7")
	}
}
