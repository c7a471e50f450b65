package fit_test

import (
	"encoding/binary"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/muktihari/fit/profile/typedef"

	"tidemark/ingest/fit"
	"tidemark/load"
)

// recordOf returns the first sample of a file whose records have the given
// fields.
func recordOf(t *testing.T, fields []field, values ...any) load.Sample {
	t.Helper()
	fields = append([]field{{253, 4, uint32Type}}, fields...)
	w := newWriter().fileID(4).define(2, recordMesg, fields...)
	w.data(2, append([]any{uint32(began)}, values...)...)
	return decode(t, w.file(header{}))[0].Samples[0]
}

// TestSampleValues proves which field a value is taken from, its scale and what
// counts as absent. Scales are those of the profile.
func TestSampleValues(t *testing.T) {
	enhanced := []field{{78, 4, uint32Type}, {73, 4, uint32Type}, {2, 2, uint16Type}, {6, 2, uint16Type}}
	cadence := []field{{4, 1, uint8Type}, {53, 1, uint8Type}}
	place := []field{{0, 4, sint32Type}, {1, 4, sint32Type}}
	compressed := []field{{8, 3, byteType}}
	for name, test := range map[string]struct {
		fields []field
		values []any
		want   load.Sample
	}{
		"enhanced before legacy": {
			enhanced,
			[]any{uint32(3000), uint32(3500), uint16(2600), uint16(1000)},
			load.Sample{Altitude: 100, Speed: 3.5, Has: load.HasAltitude | load.HasSpeed},
		},
		"legacy where enhanced is invalid": {
			enhanced,
			[]any{uint32(0xFFFFFFFF), uint32(0xFFFFFFFF), uint16(2600), uint16(1000)},
			load.Sample{Altitude: 20, Speed: 1, Has: load.HasAltitude | load.HasSpeed},
		},
		"legacy alone": {
			enhanced[2:],
			[]any{uint16(2450), uint16(2750)},
			load.Sample{Altitude: -10, Speed: 2.75, Has: load.HasAltitude | load.HasSpeed},
		},
		"all invalid": {
			append(slices.Clone(enhanced), field{3, 1, uint8Type}, field{4, 1, uint8Type}, field{5, 4, uint32Type}),
			[]any{uint32(0xFFFFFFFF), uint32(0xFFFFFFFF), uint16(0xFFFF), uint16(0xFFFF), byte(0xFF), byte(0xFF), uint32(0xFFFFFFFF)},
			load.Sample{},
		},
		"cadence with fraction": {
			cadence,
			[]any{byte(83), byte(96)},
			load.Sample{Cadence: 83.75, Has: load.HasCadence},
		},
		"cadence without fraction": {
			cadence,
			[]any{byte(83), byte(0xFF)},
			load.Sample{Cadence: 83, Has: load.HasCadence},
		},
		"fraction without cadence": {cadence, []any{byte(0xFF), byte(96)}, load.Sample{}},
		"position": {
			place,
			[]any{int32(1 << 29), int32(-1 << 30)},
			load.Sample{Position: load.Position{Lat: 45, Lon: -90}, Has: load.HasPosition},
		},
		"half a position":     {place, []any{int32(1 << 29), int32(noPosition)}, load.Sample{}},
		"the other half":      {place, []any{int32(noPosition), int32(1 << 29)}, load.Sample{}},
		"latitude alone":      {place[:1], []any{int32(1 << 29)}, load.Sample{}},
		"null island":         {place, []any{int32(0), int32(0)}, load.Sample{Has: load.HasPosition}},
		"heart rate of zero":  {[]field{{3, 1, uint8Type}}, []any{byte(0)}, load.Sample{Has: load.HasHeart}},
		"heart rate too fast": {[]field{{3, 1, uint8Type}}, []any{byte(250)}, load.Sample{Heart: 250, Has: load.HasHeart}},
		// 300 cm/s = 0x12C, 40 m = 640 sixteenths = 0x280: bytes 2C, 01|0<<4, 28
		"compressed speed and distance": {
			compressed,
			[]any{[]byte{0x2C, 0x01, 0x28}},
			load.Sample{Speed: 3, Distance: 40, Has: load.HasSpeed | load.HasDistance},
		},
		"compressed invalid":    {compressed, []any{[]byte{0xFF, 0xFF, 0xFF}}, load.Sample{}},
		"compressed of 2 bytes": {[]field{{8, 2, byteType}}, []any{[]byte{0x2C, 0x01}}, load.Sample{}},
		"distance before compressed": {
			append(slices.Clone(compressed), field{5, 4, uint32Type}),
			[]any{[]byte{0x2C, 0x01, 0x28}, uint32(12_345)},
			load.Sample{Speed: 3, Distance: 123.45, Has: load.HasSpeed | load.HasDistance},
		},
		"floating point is left alone": {
			[]field{{73, 4, floatType}}, []any{float32(3)}, load.Sample{},
		},
		"negative where nothing can be": {[]field{{73, 2, sint16Type}, {3, 1, sint8Type}}, []any{int16(-3), int8(-5)}, load.Sample{}},
		"zero where zero is invalid":    {[]field{{5, 4, zeroType}}, []any{uint32(0)}, load.Sample{}},
		"size that is no multiple":      {[]field{{5, 5, uint32Type}}, []any{[5]byte{1}}, load.Sample{}},
	} {
		t.Run(name, func(t *testing.T) {
			test.want.At = load.Unix(beganUnix)
			if diff := cmp.Diff(test.want, recordOf(t, test.fields, test.values...)); diff != "" {
				t.Errorf("sample (-want +got):\n%s", diff)
			}
		})
	}
}

// TestCompressedDistance runs the 12-bit counter over its end at 256 m.
func TestCompressedDistance(t *testing.T) {
	w := newWriter().fileID(4).define(2, recordMesg, field{253, 4, uint32Type}, field{8, 3, byteType})
	raws := []uint32{800, 2400, 4000, 1504, 3104, 608} // 100 m apart: 1600 sixteenths, modulo 4096
	for i, raw := range raws {
		w.data(2, uint32(began+i), []byte{0x2C, byte(0x01 | raw&0xF<<4), byte(raw >> 4)})
	}
	var got []load.Metres
	for _, s := range decode(t, w.file(header{}))[0].Samples {
		got = append(got, s.Distance)
	}
	if diff := cmp.Diff([]load.Metres{50, 150, 250, 350, 450, 550}, got); diff != "" {
		t.Errorf("distances (-want +got):\n%s", diff)
	}
}

// TestSport maps every number of the profile; the words are those of
// github.com/muktihari/fit, generated from the same profile.
func TestSport(t *testing.T) {
	ours := map[uint8]load.Sport{
		0: load.UnknownSport, 1: load.Running, 2: load.Cycling, 5: load.Swimming,
		11: load.Walking, 17: load.Walking, 0xFF: load.UnknownSport,
	}
	for number := range 256 {
		s := runSums()
		s.Sport = uint8(number)
		a := decode(t, newWriter().fileID(4).session(s).file(header{}))[0]
		want, known := ours[s.Sport]
		detail := ""
		if !known {
			want = load.OtherSport
		}
		if !known || s.Sport == 17 {
			detail = typedef.Sport(number).String()
		}
		if a.Sport != want || a.Detail != detail && !nameless(s.Sport) {
			t.Errorf("sport %d: %v %q, want %v %q", number, a.Sport, a.Detail, want, detail)
		}
	}
}

// nameless are numbers that the profile does not give to a sport: 254 stands for
// all of them in goals.
func nameless(number uint8) bool {
	return number == 254 || typedef.SportFromString(typedef.Sport(number).String()) == typedef.SportInvalid
}

func TestSurface(t *testing.T) {
	for name, test := range map[string]struct {
		sport, subSport uint8
		want            load.Surface
		wantSport       load.Sport
	}{
		"run":                  {1, 0, "", load.Running},
		"nothing said":         {1, 0xFF, "", load.Running},
		"treadmill":            {1, 1, load.Treadmill, load.Running},
		"street":               {1, 2, load.Road, load.Running},
		"trail":                {1, 3, load.Trail, load.Running},
		"track":                {1, 4, load.Oval, load.Running},
		"walk on a treadmill":  {11, 1, load.Treadmill, load.Walking},
		"treadmill as machine": {4, 1, load.Treadmill, load.UnknownSport},
		"rowing machine":       {4, 14, "", load.OtherSport},
		"road ride":            {2, 7, "", load.Cycling},
	} {
		t.Run(name, func(t *testing.T) {
			s := runSums()
			s.Sport, s.SubSport = test.sport, test.subSport
			a := decode(t, newWriter().fileID(4).session(s).file(header{}))[0]
			if a.Surface != test.want || a.Sport != test.wantSport {
				t.Errorf("%v on %q, want %v on %q", a.Sport, a.Surface, test.wantSport, test.want)
			}
		})
	}
}

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
		"heart rates alone":   {backfill(), outcome{Err: "no record with a time and no session"}},
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

// TestFileKind: whatever else a FIT file may be is refused by name; no kind, or
// an invalid one, is no reason.
func TestFileKind(t *testing.T) {
	for kind, want := range map[byte]string{
		1: "a description of a device", 2: "settings", 3: "settings of a sport", 5: "a workout", 6: "a course",
		7: "a schedule", 9: "a list of weights", 10: "a list of totals", 11: "a list of goals",
		14: "a list of blood pressures", 15: "monitoring of a day", 20: "a summary of activities",
		28: "monitoring of a day", 32: "monitoring of a day", 34: "a segment", 35: "a list of segments",
		40: "settings of a display", 0xF7: "a file of type 247", 4: "", 0xFF: "",
	} {
		data := newWriter().fileID(kind).records(moments(3)).file(header{})
		if want == "" {
			checkOutcome(t, data, fit.DefaultLimits, outcome{Samples: []int{3}})
		} else {
			checkOutcome(t, data, fit.DefaultLimits, outcome{Err: want + ", not a recording"})
		}
	}
	checkOutcome(t, newWriter().records(moments(3)).file(header{}), fit.DefaultLimits, outcome{Samples: []int{3}})
}

// TestSportMessage: a recording that was cut before its session still has the
// sport it began with, if it began with one.
func TestSportMessage(t *testing.T) {
	begin := func(sports ...byte) []byte {
		w := newWriter().fileID(4).define(3, sportMesg, field{0, 1, enumType}, field{1, 1, enumType})
		for _, s := range sports {
			w.data(3, s, byte(1))
		}
		return w.records(moments(3)).file(header{})
	}
	for name, test := range map[string]struct {
		data []byte
		want load.Sport
	}{
		"run":             {begin(1), load.Running},
		"run, said twice": {begin(1, 1), load.Running},
		"run and ride":    {begin(1, 2), load.UnknownSport},
		"none":            {begin(), load.UnknownSport},
	} {
		if got := decode(t, test.data)[0].Sport; got != test.want {
			t.Errorf("%s: %v, want %v", name, got, test.want)
		}
	}
}

func TestDevice(t *testing.T) {
	w := newWriter().define(0, fileIDMesg, field{0, 1, enumType}, field{8, 12, stringType})
	w.data(0, byte(4), [12]byte{'S', 'e', 'a', '\xFF', ' ', '7', ' ', 0, 'x'})
	if got := decode(t, w.session(runSums()).file(header{}))[0].Device; got != "Sea 7" {
		t.Errorf("device %q, want %q", got, "Sea 7")
	}
}

// TestBigEndianValues reads what swapping bytes may get wrong.
func TestBigEndianValues(t *testing.T) {
	w := newWriter()
	w.order = binary.BigEndian
	w.fileID(4).define(2, recordMesg, field{253, 4, uint32Type}, field{2, 2, uint16Type}, field{6, 2, uint16Type}, field{0, 4, sint32Type}, field{1, 4, sint32Type})
	w.data(2, uint32(began), uint16(2600), uint16(0xFFFF), int32(noPosition), int32(noPosition))
	w.define(2, recordMesg, field{253, 4, uint32Type}, field{8, 3, byteType})
	w.data(2, uint32(began+1), []byte{0x2C, 0x01, 0x28})
	want := []load.Sample{
		{At: at(0), Altitude: 20, Has: load.HasAltitude},
		{At: at(1), Speed: 3, Distance: 40, Has: load.HasSpeed | load.HasDistance},
	}
	if diff := cmp.Diff(want, decode(t, w.file(header{}))[0].Samples); diff != "" {
		t.Errorf("samples (-want +got):\n%s", diff)
	}
}
