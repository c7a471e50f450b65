package fit_test

import (
	"encoding/binary"
	"errors"
	"slices"
	"strings"
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

// outcome is what came of a file, shortly.
type outcome struct {
	Samples []int // of each activity
	Sport   load.Sport
	Notes   []load.NoteCode
	Err     string // a part of it
	Offset  int64  // of the error
}

// TestDamage builds the defects that were seen or thought of and says what each
// must come to.
func TestDamage(t *testing.T) {
	whole := plainRun()
	recordsEnd := len(newWriter().fileID(4).events().timer(began, 0).records(moments(runLength)).buf.Bytes()) + 14
	const recordSize = 27 + 1
	run := func(notes ...load.NoteCode) outcome {
		return outcome{Samples: []int{runLength}, Sport: load.Running, Notes: notes}
	}
	cut := func(n int) outcome {
		return outcome{Samples: []int{n}, Notes: []load.NoteCode{load.NoteTruncated}}
	}
	refused := func(text string, offset int) outcome { return outcome{Err: text, Offset: int64(offset)} }
	for name, test := range map[string]struct {
		data []byte
		want outcome
	}{
		"healthy":                     {whole, run()},
		"empty":                       {nil, refused("empty file", 0)},
		"zeros":                       {make([]byte, 4096), refused("not a FIT file", 0)},
		"cut in the header":           {whole[:8], refused("not a FIT file", 0)},
		"cut behind the magic":        {whole[:13], refused("the header is cut off", 0)},
		"header alone":                {whole[:14], refused("nothing after the header", 0)},
		"header of 13 bytes":          {with(whole, 0, 13), refused("a header of 13 bytes, want 12 or 14", 0)},
		"magic damaged":               {with(whole, 11, 'X'), refused("not a FIT file", 0)},
		"cut between records":         {whole[:recordsEnd-10*recordSize], cut(50)},
		"cut in a record":             {whole[:recordsEnd-10*recordSize+5], cut(50)},
		"cut two bytes into a record": {whole[:recordsEnd-10*recordSize+2], cut(50)},
		"cut before the session":      {whole[:recordsEnd], cut(60)},
		"checksum missing":            {whole[:len(whole)-2], run(load.NoteTruncated)},
		"checksum halved":             {whole[:len(whole)-1], run(load.NoteTruncated)},
		"checksum wrong":              {with(whole, len(whole)-1, whole[len(whole)-1]^0xFF), run(load.NoteChecksum)},
		"header checksum wrong":       {reseal(with(whole, 13, whole[13]^0xFF)), run(load.NoteChecksum)},
		"data size 0":                 {sized(whole, 0), run(load.NoteSize)},
		"data size 4 GB":              {sized(whole, 0xFFFFFFFF), run(load.NoteSize)},
		"data size half":              {sized(whole, uint32(len(whole)/2)), run(load.NoteSize)},
		"data size half, on a record": {sized(whole, uint32(recordsEnd-14-10*recordSize)), run(load.NoteSize)},
		"data size 0 and cut": {
			sized(whole[:recordsEnd-5], 0),
			outcome{Samples: []int{59}, Notes: []load.NoteCode{load.NoteSize, load.NoteTruncated}},
		},
		"bytes behind":            {append(slices.Clone(whole), "GARBAGE!GARBAGE!"...), run(load.NoteTrailing)},
		"wrong sum, bytes behind": {append(with(whole, len(whole)-1, whole[len(whole)-1]^0xFF), "GARBAGE!"...), run(load.NoteChecksum, load.NoteTrailing)},
		"zeros at the end": {
			zeroed(whole, recordsEnd-10*recordSize),
			outcome{Samples: []int{50}, Notes: []load.NoteCode{load.NoteChecksum, load.NoteTruncated}},
		},
		"second part broken": {
			append(slices.Clone(whole), 14, 0x20, 0, 0, 0xFF, 0xFF, 0, 0, '.', 'F', 'I', 'T', 0, 0, 1, 2, 3, 4),
			run(load.NoteSkipped),
		},
		"local type never defined": {
			newWriter().fileID(4).data(2, moments(1)[0]).file(header{}),
			refused("a message of local type 2, which was never defined", 14+6+3*3+8),
		},
		"never defined, later on": {
			newWriter().fileID(4).records(moments(20)).data(7, uint32(0)).session(runSums()).file(header{}),
			outcome{Samples: []int{20}, Notes: []load.NoteCode{load.NoteTruncated}},
		},
		"number of size zero": {
			newWriter().fileID(4).define(2, recordMesg, field{253, 0, uint32Type}, field{3, 1, uint8Type}).data(2, byte(120)).file(header{}),
			refused("a definition has a number of size zero (field 253 of message 20)", 14+6+3*3+8),
		},
		"byte order that is none": {
			with(newWriter().fileID(4).records(moments(20)).file(header{}), 14+6+3*3+8+2, 9),
			refused("byte order", 14+6+3*3+8),
		},
		"base type unknown": {unknownType(), outcome{Samples: []int{0}, Sport: load.Running, Notes: []load.NoteCode{load.NoteTime}}},
		"records without time": {
			timeless(),
			outcome{Samples: []int{0}, Sport: load.Running, Notes: []load.NoteCode{load.NoteTime}},
		},
		"one record without time": {
			oneTimeless(),
			outcome{Samples: []int{runLength - 1}, Sport: load.Running, Notes: []load.NoteCode{load.NoteTime}},
		},
		"compressed time with nothing before": {
			newWriter().fileID(4).define(3, recordMesg, field{3, 1, uint8Type}).data(0x80|3<<5|7, byte(99)).session(runSums()).file(header{}),
			outcome{Samples: []int{0}, Sport: load.Running, Notes: []load.NoteCode{load.NoteTime}},
		},
		"session alone":  {newWriter().fileID(4).session(runSums()).file(header{}), outcome{Samples: []int{0}, Sport: load.Running}},
		"nothing at all": {newWriter().fileID(4).file(header{}), refused("no record with a time and no session", 0)},
		"session of nothing": {
			newWriter().fileID(4).session(sums{Written: began, Start: began, Sport: 1}).file(header{}),
			refused("a session without records and without totals", 0),
		},
		"session without time": {
			newWriter().fileID(4).define(5, sessionMesg, field{9, 4, uint32Type}).data(5, uint32(500)).file(header{}),
			refused("neither the session nor a record has a time", 0),
		},
		"times from power-on": {powerOn(), refused("times count from power-on, no date", 0)},
		"one time from power-on": {
			firstFrom1989(),
			outcome{Samples: []int{runLength}, Sport: load.Running},
		},
		"records without content":      {empties(recordMesg, 60_000), refused("no record with a time and no session", 0)},
		"sessions without content":     {empties(sessionMesg, 60_000), refused("neither the session nor a record has a time", 0)},
		"records of a time alone":      {timesAlone(), outcome{Samples: []int{1_001}, Notes: []load.NoteCode{load.NoteSkipped}}},
		"65 kB in an unknown message":  {hugeMessage(), run()},
		"messages without content":     {someEmpties(1_001), run(load.NoteSkipped)},
		"few messages without content": {someEmpties(1_000), run()},
		"position valid in one half":   {halfPosition(), run()},
		"flipped bit in a value":       {with(whole, recordsEnd-20, whole[recordsEnd-20]^0x40), run(load.NoteChecksum)},
	} {
		t.Run(name, func(t *testing.T) { checkOutcome(t, test.data, fit.DefaultLimits, test.want) })
	}
}

// checkOutcome decodes and compares.
func checkOutcome(t *testing.T, data []byte, lim fit.Limits, want outcome) {
	t.Helper()
	activities, err := fit.Decode(data, lim)
	if want.Err != "" {
		checkError(t, err, want)
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, outcomeOf(activities)); diff != "" {
		t.Errorf("outcome (-want +got):\n%s", diff)
	}
}

func checkError(t *testing.T, err error, want outcome) {
	t.Helper()
	var decodeError *load.DecodeError
	if !errors.As(err, &decodeError) {
		t.Fatalf("error %v, want a *load.DecodeError about %q", err, want.Err)
	}
	if decodeError.Format != "fit" || decodeError.Offset != want.Offset || !strings.Contains(err.Error(), want.Err) {
		t.Errorf("error %q at byte %d, want %q at byte %d", err, decodeError.Offset, want.Err, want.Offset)
	}
}

func outcomeOf(activities []load.Activity) outcome {
	got := outcome{Sport: activities[0].Sport}
	for _, a := range activities {
		got.Samples = append(got.Samples, len(a.Samples))
		for _, note := range a.Notes {
			got.Notes = append(got.Notes, note.Code)
		}
	}
	return got
}

// with returns data with one byte changed.
func with(data []byte, at int, b byte) []byte {
	data = slices.Clone(data)
	data[at] = b
	return data
}

// reseal gives data the checksum that it should have.
func reseal(data []byte) []byte { return seal(data[:len(data)-2]) }

// sized returns data with another length in the header, whose own checksum fits.
func sized(data []byte, size uint32) []byte {
	data = slices.Clone(data)
	binary.LittleEndian.PutUint32(data[4:], size)
	binary.LittleEndian.PutUint16(data[12:], nibbleCRC(data[:12]))
	return data
}

// zeroed returns data with nothing but zeros from a byte on, as after a lost
// write to flash. The zeros read as more file_id messages.
func zeroed(data []byte, from int) []byte {
	data = slices.Clone(data)
	clear(data[from:])
	return data
}

func unknownType() []byte {
	fields := slices.Clone(momentFields)
	fields[0].baseType = 0x1F
	w := newWriter().fileID(4).define(2, recordMesg, fields...)
	for _, m := range moments(runLength) {
		w.data(2, m)
	}
	return w.closing().file(header{})
}

func timeless() []byte {
	w := newWriter().fileID(4).define(2, recordMesg, field{3, 1, uint8Type})
	for range runLength {
		w.data(2, byte(120))
	}
	return w.closing().file(header{})
}

func oneTimeless() []byte {
	list := moments(runLength)
	list[7].Time = 0xFFFFFFFF
	return newWriter().whole(list, runSums()).file(header{})
}

func powerOn() []byte {
	list, s := moments(runLength), runSums()
	for i := range list {
		list[i].Time = 1000 + uint32(i)
	}
	s.Start, s.Written = 1000, 1059
	return newWriter().whole(list, s).file(header{})
}

func firstFrom1989() []byte {
	list := moments(runLength)
	list[0].Time = 1
	return newWriter().whole(list, runSums()).file(header{})
}

func empties(message uint16, n int) []byte {
	w := newWriter().fileID(4).define(2, message)
	for range n {
		w.data(2)
	}
	return w.file(header{})
}

func someEmpties(n int) []byte {
	w := newWriter().fileID(4).define(9, lapMesg)
	for range n {
		w.data(9)
	}
	return w.records(moments(runLength)).closing().file(header{})
}

// timesAlone has one record with a time and then 2000 that have nothing but the
// time offset in their header.
func timesAlone() []byte {
	w := newWriter().fileID(4).records(moments(1)).define(3, recordMesg)
	for i := range 2000 {
		w.data(0x80 | 3<<5 | byte((began+i)&31))
	}
	return w.file(header{})
}

func hugeMessage() []byte {
	var fields []field
	for i := range 255 {
		fields = append(fields, field{byte(i), 255, byteType})
	}
	w := newWriter().fileID(4).define(2, 0xFF01, fields...).data(2, make([]byte, 255*255))
	return w.records(moments(runLength)).closing().file(header{})
}

func halfPosition() []byte {
	list := moments(runLength)
	list[3].Long = noPosition
	return newWriter().whole(list, runSums()).file(header{})
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
