package fit_test

import (
	"encoding/binary"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/fit"
	"tidemark/load"
)

// decode reads data, which must be readable.
func decode(t *testing.T, data []byte) []load.Activity {
	t.Helper()
	activities, err := fit.Decode(data, fit.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	return activities
}

// TestWholeRun holds a healthy file against what the writer put in, value for
// value.
func TestWholeRun(t *testing.T) {
	start := load.Unix(beganUnix)
	end := start.Add(59 * time.Second)
	want := []load.Activity{{
		Sport:   load.Running,
		Start:   start,
		Samples: samples(moments(runLength)),
		Laps:    []load.Lap{{Span: load.Span{From: start, To: end}, Timer: 59 * time.Second, Distance: 177}},
		Totals: load.Totals{
			Elapsed: 59 * time.Second, Timer: 59 * time.Second, Distance: 177, Ascent: 3, Descent: 2, Steps: 166,
		},
		Cadence: load.CadenceOneFoot,
		Offset:  time.Hour, HasOffset: true,
	}}
	if diff := cmp.Diff(want, decode(t, plainRun())); diff != "" {
		t.Errorf("activities (-want +got):\n%s", diff)
	}
}

// TestSameRun writes the same run in ways that must make no difference.
func TestSameRun(t *testing.T) {
	want := decode(t, plainRun())
	big := newWriter()
	big.order = binary.BigEndian
	for name, data := range map[string][]byte{
		"12-byte header":            newWriter().whole(moments(runLength), runSums()).file(header{size: 12}),
		"header checksum of zero":   newWriter().whole(moments(runLength), runSums()).file(header{noCRC: true}),
		"big-endian":                big.whole(moments(runLength), runSums()).file(header{}),
		"compressed timestamps":     compressedRun(),
		"developer fields":          developerRun(),
		"other integer types":       wideRun(),
		"sessions before records":   summaryFirst(),
		"a field named twice":       doubledField(field{3, 1, uint8Type}, byte(33)),
		"the same in another size":  doubledField(field{3, 2, uint16Type}, uint16(33)),
		"reserved header bits":      reservedBits(),
		"time of other messages":    otherTimes(),
		"an empty text field":       emptyText(),
		"definitions over and over": redefinedRun(),
	} {
		t.Run(name, func(t *testing.T) {
			if diff := cmp.Diff(want, decode(t, data)); diff != "" {
				t.Errorf("activities (-plain +this):\n%s", diff)
			}
		})
	}
}

// closing writes what comes after the records of a run.
func (w *writer) closing() *writer {
	s := runSums()
	w.lap(s.Written, s.Start, s.Elapsed, s.Timer, s.Distance)
	return w.session(s).activity(s.Written, 3600)
}

func compressedRun() []byte {
	w := newWriter().fileID(4).records(moments(1))
	w.define(3, recordMesg, momentFields[1:]...)
	for _, m := range moments(runLength)[1:] {
		w.data(0x80|3<<5|byte(m.Time&31), m.Lat, m.Long, m.Altitude, m.Heart, m.Cadence, m.Fraction, m.Distance, m.Speed)
	}
	return w.closing().file(header{})
}

func developerRun() []byte {
	w := newWriter().fileID(4)
	w.define(8, 206, field{0, 1, uint8Type}, field{1, 1, uint8Type}).data(8, byte(0), byte(0))
	w.define(9, 0xFF00, field{0, 4, uint32Type}, field{200, 2, uint16Type})
	w.defineWith(2, recordMesg, append(slices.Clone(momentFields), field{200, 2, uint16Type}),
		[]field{{0, 4, 0}, {1, 1, 0}})
	for i, m := range moments(runLength) {
		w.data(2, m, uint16(7), float32(200.5), byte(i)).data(9, uint32(i), uint16(7))
	}
	return w.closing().file(header{})
}

// wideRun gives integers in other widths than the profile, two of them as
// arrays whose first element counts.
func wideRun() []byte {
	w := newWriter().fileID(4)
	w.define(2, recordMesg, field{253, 4, uint32Type}, field{0, 4, sint32Type}, field{1, 4, sint32Type},
		field{78, 2, uint16Type}, field{3, 2, uint16Type}, field{4, 2, uint8Type}, field{53, 1, sint8Type},
		field{5, 8, uint32Type}, field{73, 2, sint16Type})
	for _, m := range moments(runLength) {
		w.data(2, m.Time, m.Lat, m.Long, uint16(m.Altitude), uint16(m.Heart), m.Cadence, byte(1), int8(m.Fraction),
			m.Distance, uint32(5), int16(m.Speed))
	}
	return w.closing().file(header{})
}

// summaryFirst has the sessions before the records, as some watches write it.
func summaryFirst() []byte {
	return newWriter().fileID(4).closing().records(moments(runLength)).file(header{})
}

// doubledField names a field twice; the first counts.
func doubledField(again field, value any) []byte {
	w := newWriter().fileID(4)
	w.define(2, recordMesg, append(slices.Clone(momentFields), again)...)
	for _, m := range moments(runLength) {
		w.data(2, m, value)
	}
	return w.closing().file(header{})
}

// reservedBits sets bits of the header byte that mean nothing in a data message.
func reservedBits() []byte {
	w := newWriter().fileID(4).records(moments(20))
	for i, m := range moments(runLength)[20:] {
		w.data(2|byte(i%4)<<4, m)
	}
	return w.closing().file(header{})
}

// otherTimes has its only times in messages that are not read: full ones, and
// time offsets, which count from the message before.
func otherTimes() []byte {
	w := newWriter().fileID(4)
	w.define(1, 0xFF00, field{253, 4, uint32Type}).define(2, 0xFF01, field{0, 1, uint8Type})
	w.define(3, recordMesg, momentFields[1:]...)
	w.data(1, uint32(began-100)).data(1, uint32(began-40))
	w.data(0x80|2<<5|byte((began-20)&31), byte(0))
	for _, m := range moments(runLength) {
		w.data(0x80|3<<5|byte(m.Time&31), m.Lat, m.Long, m.Altitude, m.Heart, m.Cadence, m.Fraction, m.Distance, m.Speed)
	}
	return w.closing().file(header{})
}

func emptyText() []byte {
	w := newWriter().define(0, fileIDMesg, field{0, 1, enumType}, field{8, 0, stringType}).data(0, byte(4))
	return w.records(moments(runLength)).closing().file(header{})
}

func redefinedRun() []byte {
	w := newWriter().fileID(4)
	for _, m := range moments(runLength) {
		w.records([]moment{m})
		w.define(2, 0xFF00, field{1, 1, uint8Type}).data(2, byte(1))
	}
	return w.closing().file(header{})
}

// TestLimits holds each limit against a file just over it.
func TestLimits(t *testing.T) {
	lim := fit.Limits{Messages: 1000, Sessions: 10, Laps: 10, Events: 10, Parts: 10}
	fewer := func(change func(*fit.Limits)) fit.Limits {
		l := lim
		change(&l)
		return l
	}
	for name, test := range map[string]struct {
		lim  fit.Limits
		data []byte
		want outcome
	}{
		"within all": {lim, plainRun(), outcome{Samples: []int{60}, Sport: load.Running}},
		// file_id, event, then records
		"messages": {
			fewer(func(l *fit.Limits) { l.Messages = 40 }), plainRun(),
			outcome{Samples: []int{38}, Notes: []load.NoteCode{load.NoteSkipped}},
		},
		"no messages": {
			fewer(func(l *fit.Limits) { l.Messages = 0 }), plainRun(),
			outcome{Err: "over the limit of messages", Offset: 14 + 6 + 3*3},
		},
		"sessions": {
			fewer(func(l *fit.Limits) { l.Sessions = 1 }), threeSports(),
			outcome{Samples: []int{60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}},
		},
		"laps": {
			fewer(func(l *fit.Limits) { l.Laps = 0 }), plainRun(),
			outcome{Samples: []int{60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}},
		},
		"events": {
			fewer(func(l *fit.Limits) { l.Events = 1 }), plainRun(),
			outcome{Samples: []int{60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteSkipped}},
		},
		"parts": {
			fewer(func(l *fit.Limits) { l.Parts = 2 }), slices.Concat(plainRun(), plainRun(), plainRun()),
			outcome{Samples: []int{60, 60}, Sport: load.Running, Notes: []load.NoteCode{load.NoteTrailing}},
		},
	} {
		t.Run(name, func(t *testing.T) { checkOutcome(t, test.data, test.lim, test.want) })
	}
}

func TestSniff(t *testing.T) {
	for name, test := range map[string]struct {
		data []byte
		want bool
	}{
		"FIT":          {plainRun(), true},
		"nothing":      {nil, false},
		"eleven bytes": {plainRun()[:11], false},
		"twelve bytes": {plainRun()[:12], true},
		"XML":          {[]byte(`<?xml version="1.0"?><gpx>`), false},
	} {
		if got := fit.Sniff(test.data); got != test.want {
			t.Errorf("Sniff(%s) = %v, want %v", name, got, test.want)
		}
	}
}
