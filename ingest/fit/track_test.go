package fit_test

import (
	"encoding/binary"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

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
		"the same of 16 bits":           {[]field{{6, 3, uint16Type}}, []any{[3]byte{1}}, load.Sample{}},
		"zero of 8 bits":                {[]field{{3, 1, smallZeroType}}, []any{byte(0)}, load.Sample{}},
		"zero of 16 bits":               {[]field{{6, 2, mediumZeroType}}, []any{uint16(0)}, load.Sample{}},
		"largest signed number":         {[]field{{3, 1, sint8Type}, {6, 2, sint16Type}, {5, 4, sint32Type}}, []any{byte(0x7F), uint16(0x7FFF), uint32(0x7FFFFFFF)}, load.Sample{}},
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
