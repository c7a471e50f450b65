package fit_test

import (
	"encoding/binary"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/fit"
	"tidemark/load"
)

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
		"cut behind the magic":        {whole[:13], refused("cut off within its header", 0)},
		"header alone":                {whole[:14], refused("nothing was recorded after the header", 0)},
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
		"nothing at all": {newWriter().fileID(4).file(header{}), refused("neither samples with a time nor sums, so nothing was recorded", 0)},
		"session of nothing": {
			newWriter().fileID(4).session(sums{Written: began, Start: began, Sport: 1}).file(header{}),
			refused("a session without samples and without sums", 0),
		},
		"session without time": {
			newWriter().fileID(4).define(5, sessionMesg, field{9, 4, uint32Type}).data(5, uint32(500)).file(header{}),
			refused("no usable time, so nothing says when this was", 0),
		},
		"times from power-on": {powerOn(), refused("the watch did not know the date", 0)},
		"one time from power-on": {
			firstFrom1989(),
			outcome{Samples: []int{runLength}, Sport: load.Running},
		},
		"records without content":      {empties(recordMesg, 60_000), refused("neither samples with a time nor sums, so nothing was recorded", 0)},
		"sessions without content":     {empties(sessionMesg, 60_000), refused("no usable time, so nothing says when this was", 0)},
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

// TestLeftAlone: what is wrong in a healthy file, but not for FIT to know, comes
// through as it is and without a note. Package ingest judges it.
func TestLeftAlone(t *testing.T) {
	for name, edit := range map[string]func([]moment) []moment{
		"time jumps back": func(list []moment) []moment {
			for i := 30; i < len(list); i++ {
				list[i].Time -= 3600
			}
			return list
		},
		"a day is missing": func(list []moment) []moment {
			for i := 30; i < len(list); i++ {
				list[i].Time += 86_400
			}
			return list
		},
		"every record twice": func(list []moment) []moment {
			var twice []moment
			for _, m := range list {
				twice = append(twice, m, m)
			}
			return twice
		},
		"the year 2091": func(list []moment) []moment {
			for i := range list {
				list[i].Time += 67 * 365.25 * 86_400
			}
			return list
		},
		"beyond the pole": func(list []moment) []moment {
			list[7].Lat = semicircles(100)
			return list
		},
		"null island": func(list []moment) []moment {
			list[7].Lat, list[7].Long = 0, 0
			return list
		},
		"another place": func(list []moment) []moment {
			list[7].Lat = semicircles(50)
			return list
		},
		"heart rates of 0 and 250": func(list []moment) []moment {
			list[7].Heart, list[8].Heart = 0, 250
			return list
		},
		"distance falls": func(list []moment) []moment {
			list[7].Distance = 0
			return list
		},
	} {
		t.Run(name, func(t *testing.T) {
			list := edit(moments(runLength))
			a := decode(t, newWriter().whole(list, runSums()).file(header{}))[0]
			if diff := cmp.Diff(samples(list), a.Samples); diff != "" || len(a.Notes) > 0 {
				t.Errorf("notes %v, samples (-want +got):\n%s", a.Notes, diff)
			}
		})
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
