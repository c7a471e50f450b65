package fit_test

import (
	"bytes"
	"encoding/binary"
	"math"

	"tidemark/load"
)

// Base types and message numbers of the FIT profile, for the writer.
const (
	enumType   = 0x00
	sint8Type  = 0x01
	uint8Type  = 0x02
	stringType = 0x07
	floatType  = 0x88
	byteType   = 0x0D
	sint16Type = 0x83
	uint16Type = 0x84
	sint32Type = 0x85
	uint32Type = 0x86
	zeroType   = 0x8C // uint32z

	smallZeroType  = 0x0A // uint8z
	mediumZeroType = 0x8B // uint16z

	fileIDMesg   = 0
	sportMesg    = 12
	sessionMesg  = 18
	lapMesg      = 19
	recordMesg   = 20
	eventMesg    = 21
	activityMesg = 34
	hrMesg       = 132
)

// field is one field of a definition: number, size in bytes, base type.
type field struct{ number, size, baseType byte }

// writer writes the messages of a FIT file.
type writer struct {
	buf   bytes.Buffer
	order binary.ByteOrder
}

func newWriter() *writer { return &writer{order: binary.LittleEndian} }

// define writes a definition message.
func (w *writer) define(local byte, message uint16, fields ...field) *writer {
	return w.defineWith(local, message, fields, nil)
}

// defineWith writes a definition with developer fields, if there are any.
func (w *writer) defineWith(local byte, message uint16, fields, developer []field) *writer {
	head := 0x40 | local
	if developer != nil {
		head |= 0x20
	}
	architecture := byte(0)
	if w.order == binary.BigEndian {
		architecture = 1
	}
	w.buf.Write([]byte{head, 0, architecture})
	w.number(message)
	w.fields(fields)
	if developer != nil {
		w.fields(developer)
	}
	return w
}

func (w *writer) fields(fields []field) {
	w.buf.WriteByte(byte(len(fields)))
	for _, f := range fields {
		w.buf.Write([]byte{f.number, f.size, f.baseType})
	}
}

// data writes a data message: its header byte, then the values as they are.
func (w *writer) data(head byte, values ...any) *writer {
	w.buf.WriteByte(head)
	for _, v := range values {
		w.number(v)
	}
	return w
}

func (w *writer) number(v any) {
	if err := binary.Write(&w.buf, w.order, v); err != nil {
		panic(err)
	}
}

// header says how the messages are wrapped.
type header struct {
	size  int  // 0: 14
	noCRC bool // a header checksum of zero
}

// file wraps what was written.
func (w *writer) file(h header) []byte {
	if h.size == 0 {
		h.size = 14
	}
	head := make([]byte, h.size)
	head[0], head[1] = byte(h.size), 0x20
	binary.LittleEndian.PutUint16(head[2:], 2188)
	binary.LittleEndian.PutUint32(head[4:], uint32(w.buf.Len()))
	copy(head[8:], ".FIT")
	if h.size == 14 && !h.noCRC {
		binary.LittleEndian.PutUint16(head[12:], nibbleCRC(head[:12]))
	}
	return seal(append(head, w.buf.Bytes()...))
}

// seal appends the checksum.
func seal(data []byte) []byte {
	return binary.LittleEndian.AppendUint16(data, nibbleCRC(data))
}

// nibbleCRC is the checksum as the FIT protocol prints it, half a byte at a
// time (FIT protocol description, section CRC).
func nibbleCRC(data []byte) uint16 {
	table := [16]uint16{
		0x0000, 0xCC01, 0xD801, 0x1400, 0xF001, 0x3C00, 0x2800, 0xE401,
		0xA001, 0x6C00, 0x7800, 0xB401, 0x5000, 0x9C01, 0x8801, 0x4400,
	}
	var crc uint16
	for _, b := range data {
		crc = crc>>4&0x0FFF ^ table[crc&0xF] ^ table[b&0xF]
		crc = crc>>4&0x0FFF ^ table[crc&0xF] ^ table[b>>4&0xF]
	}
	return crc
}

// The invented run of these tests: due north over the Atlantic at 3 m/s, one
// record a second.
const (
	began      = 1_100_000_000 // 2024-11-08T11:33:20Z
	beganUnix  = 1_731_065_600 // the same: began + 631065600
	runLength  = 60
	noPosition = 0x7FFFFFFF
)

// moment is one record as the writer writes it.
type moment struct {
	Time      uint32
	Lat, Long int32
	Altitude  uint32
	Heart     uint8
	Cadence   uint8
	Fraction  uint8
	Distance  uint32
	Speed     uint32
}

// momentFields define a moment.
var momentFields = []field{
	{253, 4, uint32Type},
	{0, 4, sint32Type},
	{1, 4, sint32Type},
	{78, 4, uint32Type},
	{3, 1, uint8Type},
	{4, 1, uint8Type},
	{53, 1, uint8Type},
	{5, 4, uint32Type},
	{73, 4, uint32Type},
}

// moments returns n of them.
func moments(n int) []moment {
	list := make([]moment, n)
	for i := range list {
		list[i] = moment{
			Time: began + uint32(i), Lat: semicircles(10) + int32(322*i), Long: semicircles(-30),
			Altitude: (12 + 500) * 5, Heart: 120 + uint8(i%40), Cadence: 84, Fraction: 64,
			Distance: uint32(300 * i), Speed: 3000,
		}
	}
	return list
}

func semicircles(degrees float64) int32 { return int32(math.Round(degrees / 180 * (1 << 31))) }

// sample is what a moment should come to, by the scales of the profile.
func (m moment) sample() load.Sample {
	return load.Sample{
		At: load.Unix(int64(m.Time) + fitEpoch),
		Position: load.Position{
			Lat: load.Degrees(float64(m.Lat) * 180 / (1 << 31)),
			Lon: load.Degrees(float64(m.Long) * 180 / (1 << 31)),
		},
		Distance: load.Metres(float64(m.Distance) / 100),
		Altitude: load.Metres(float64(m.Altitude)/5 - 500),
		Speed:    load.Speed(float64(m.Speed) / 1000),
		Cadence:  load.Cadence(float64(m.Cadence) + float64(m.Fraction)/128),
		Heart:    load.BPM(m.Heart),
		Has: load.HasPosition | load.HasDistance | load.HasAltitude | load.HasSpeed |
			load.HasCadence | load.HasHeart,
	}
}

// samples are what a list of moments should come to.
func samples(list []moment) []load.Sample {
	var want []load.Sample
	for _, m := range list {
		want = append(want, m.sample())
	}
	return want
}

// fileID writes a file_id message as local type 0.
func (w *writer) fileID(kind byte) *writer {
	w.define(fileIDMesg, fileIDMesg, field{0, 1, enumType}, field{1, 2, uint16Type}, field{4, 4, uint32Type})
	return w.data(0, kind, uint16(255), uint32(began))
}

// events defines timer events as local type 1.
func (w *writer) events() *writer {
	return w.define(1, eventMesg, field{253, 4, uint32Type}, field{0, 1, enumType}, field{1, 1, enumType})
}

// timer writes a timer event: start 0, stop 1, stop_all 4.
func (w *writer) timer(at uint32, kind byte) *writer { return w.data(1, at, byte(0), kind) }

// records writes moments as local type 2.
func (w *writer) records(list []moment) *writer {
	w.define(2, recordMesg, momentFields...)
	for _, m := range list {
		w.data(2, m)
	}
	return w
}

// sums is a session as the writer writes it.
type sums struct {
	Written, Start  uint32
	Elapsed, Timer  uint32 // ms
	Distance        uint32 // cm
	Cycles          uint32
	Ascent, Descent uint16
	Sport, SubSport uint8
	RPE             uint8
}

// runSums are those of the run of moments(runLength): 84.5 strides a minute for
// 59 s are 83.
func runSums() sums {
	return sums{
		Written: began + runLength - 1, Start: began, Elapsed: 59_000, Timer: 59_000, Distance: 17_700,
		Cycles: 83, Ascent: 3, Descent: 2, Sport: 1, RPE: 0xFF,
	}
}

// session writes sums as local type 5.
func (w *writer) session(s sums) *writer {
	w.define(5, sessionMesg, field{253, 4, uint32Type}, field{2, 4, uint32Type}, field{7, 4, uint32Type},
		field{8, 4, uint32Type}, field{9, 4, uint32Type}, field{10, 4, uint32Type}, field{22, 2, uint16Type},
		field{23, 2, uint16Type}, field{5, 1, enumType}, field{6, 1, enumType}, field{193, 1, uint8Type})
	return w.data(5, s)
}

// lap writes a lap as local type 4.
func (w *writer) lap(written, start, elapsed, timer, distance uint32) *writer {
	w.define(4, lapMesg, field{253, 4, uint32Type}, field{2, 4, uint32Type}, field{7, 4, uint32Type},
		field{8, 4, uint32Type}, field{9, 4, uint32Type})
	return w.data(4, written, start, elapsed, timer, distance)
}

// activity closes the recording, with local time ahead by some seconds.
func (w *writer) activity(at uint32, ahead int32) *writer {
	w.define(6, activityMesg, field{253, 4, uint32Type}, field{1, 2, uint16Type}, field{5, 4, uint32Type})
	return w.data(6, at, uint16(1), uint32(int64(at)+int64(ahead)))
}

// whole writes a complete recording of moments with the given sums.
func (w *writer) whole(list []moment, s sums) *writer {
	w.fileID(4).events().timer(list[0].Time, 0).records(list).timer(list[len(list)-1].Time, 4)
	w.lap(s.Written, s.Start, s.Elapsed, s.Timer, s.Distance)
	return w.session(s).activity(s.Written, 3600)
}

// plainRun is a healthy file.
func plainRun() []byte { return newWriter().whole(moments(runLength), runSums()).file(header{}) }
