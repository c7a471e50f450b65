package demo

import (
	"encoding/binary"
	"fmt"
	"math"
	"time"

	"github.com/tormoder/fit"
	"github.com/tormoder/fit/dyncrc16"
)

// Base types of the FIT protocol.
const (
	fitEnum   = 0x00
	fitUint8  = 0x02
	fitText   = 0x07
	fitUint16 = 0x84
	fitInt32  = 0x85
	fitUint32 = 0x86
	fitSerial = 0x8C // uint32 whose invalid value is zero
)

// fitField is one field of a definition message.
type fitField struct{ number, size, base byte }

// fitMessage is a definition message. Its place in the table is its local number.
type fitMessage struct {
	global fit.MesgNum
	fields []fitField
}

// Local numbers of the messages below.
const (
	fitFileID = iota
	fitEvent
	fitRecord
	fitRecordIndoors
	fitLap
	fitSession
	fitActivity
)

const fitProduct = "Watch"

// fitMessages follows the public FIT profile; field numbers are those of its
// messages.
var fitMessages = [...]fitMessage{
	fitFileID: {fit.MesgNumFileId, []fitField{
		{0, 1, fitEnum}, {1, 2, fitUint16}, {2, 2, fitUint16}, {3, 4, fitSerial}, {4, 4, fitUint32}, {8, byte(len(fitProduct) + 1), fitText},
	}},
	fitEvent: {fit.MesgNumEvent, []fitField{
		{253, 4, fitUint32}, {0, 1, fitEnum}, {1, 1, fitEnum}, {3, 4, fitUint32},
	}},
	fitRecord: {fit.MesgNumRecord, []fitField{
		{253, 4, fitUint32},
		{5, 4, fitUint32},
		{73, 4, fitUint32},
		{3, 1, fitUint8},
		{4, 1, fitUint8},
		{53, 1, fitUint8},
		{0, 4, fitInt32},
		{1, 4, fitInt32},
		{78, 4, fitUint32},
	}},
	fitRecordIndoors: {fit.MesgNumRecord, []fitField{
		{253, 4, fitUint32}, {5, 4, fitUint32}, {73, 4, fitUint32}, {3, 1, fitUint8}, {4, 1, fitUint8}, {53, 1, fitUint8},
	}},
	fitLap: {fit.MesgNumLap, []fitField{
		{254, 2, fitUint16},
		{253, 4, fitUint32},
		{0, 1, fitEnum},
		{1, 1, fitEnum},
		{2, 4, fitUint32},
		{7, 4, fitUint32},
		{8, 4, fitUint32},
		{9, 4, fitUint32},
		{15, 1, fitUint8},
		{16, 1, fitUint8},
		{17, 1, fitUint8},
		{24, 1, fitEnum},
		{25, 1, fitEnum},
	}},
	fitSession: {fit.MesgNumSession, []fitField{
		{254, 2, fitUint16},
		{253, 4, fitUint32},
		{0, 1, fitEnum},
		{1, 1, fitEnum},
		{2, 4, fitUint32},
		{5, 1, fitEnum},
		{6, 1, fitEnum},
		{7, 4, fitUint32},
		{8, 4, fitUint32},
		{9, 4, fitUint32},
		{10, 4, fitUint32},
		{124, 4, fitUint32},
		{125, 4, fitUint32},
		{16, 1, fitUint8},
		{17, 1, fitUint8},
		{18, 1, fitUint8},
		{22, 2, fitUint16},
		{23, 2, fitUint16},
		{25, 2, fitUint16},
		{26, 2, fitUint16},
		{28, 1, fitEnum},
		{193, 1, fitUint8},
	}},
	fitActivity: {fit.MesgNumActivity, []fitField{
		{253, 4, fitUint32}, {0, 4, fitUint32}, {1, 2, fitUint16}, {2, 1, fitEnum}, {3, 1, fitEnum}, {4, 1, fitEnum}, {5, 4, fitUint32},
	}},
}

// fitAbsent is "no value" of the unsigned types, all bits set.
const fitAbsent = -1

// fitEpoch is 1989-12-31T00:00:00Z, from which FIT counts seconds.
const fitEpoch = 631065600

// fitFile is a FIT file being written. The library's own encoder goes through
// maps: it puts the fields in another order each time, and cannot write the
// same run as the same bytes.
type fitFile struct {
	r    *recording
	data []byte
	seen [len(fitMessages)]bool
}

// fitBytes returns r as a watch's FIT file, its messages in order of time.
func fitBytes(r *recording) []byte {
	f := fitFile{r: r}
	f.begin()
	f.samples()
	f.end()
	return f.sealed()
}

// write appends one message, defined before its first use.
func (f *fitFile) write(local byte, values ...int) {
	m := fitMessages[local]
	if !f.seen[local] {
		f.seen[local] = true
		f.data = append(f.data, 0x40|local, 0, 0)
		f.data = binary.LittleEndian.AppendUint16(f.data, uint16(m.global))
		f.data = append(f.data, byte(len(m.fields)))
		for _, field := range m.fields {
			f.data = append(f.data, field.number, field.size, field.base)
		}
	}
	f.data = append(f.data, local)
	for i, v := range values {
		var word [8]byte
		binary.LittleEndian.PutUint64(word[:], uint64(v))
		f.data = append(f.data, word[:m.fields[i].size]...)
	}
}

// stamp returns the FIT time of a second of the recording.
func (f *fitFile) stamp(second int) int { return int(f.r.at(second).Unix()) - fitEpoch }

// begin writes what comes before the first sample.
func (f *fitFile) begin() {
	start := f.stamp(0)
	f.write(fitFileID, int(fit.FileTypeActivity), int(fit.ManufacturerDevelopment), 1, 1, start)
	f.data = append(f.data, fitProduct+"\x00"...)
	f.event(0, fit.EventTypeStart, false)
}

// event writes that the timer starts or stops, by hand or by itself.
func (f *fitFile) event(second int, what fit.EventType, byItself bool) {
	trigger := 0
	if byItself {
		trigger = 1
	}
	f.write(fitEvent, f.stamp(second), int(fit.EventTimer), int(what), trigger)
}

// samples writes the records, and among them pauses and laps where they fall.
func (f *fitFile) samples() {
	leg := 0
	for i, l := range f.r.laps() {
		points := l.points
		if i > 0 {
			// The point that ends a lap begins the next.
			points = points[1:]
		}
		for j := range points {
			if p := &points[j]; p.leg > leg {
				f.event(f.r.pauses[leg].from, fit.EventTypeStopAll, true)
				f.event(f.r.pauses[leg].to, fit.EventTypeStart, true)
				leg = p.leg
			}
			f.record(&points[j])
		}
		f.lap(i, l)
	}
}

// record writes one sample.
func (f *fitFile) record(p *point) {
	turns := int(math.Round(p.turns * 2))
	values := [...]int{
		f.stamp(p.second), whole(p.metres * 100), whole(p.speed * 1000), whole(p.heart), turns / 2, turns % 2 * 64,
		semicircles(p.lat), semicircles(p.lon), whole((p.height + 500) * 5),
	}
	if f.r.kind == belt {
		f.write(fitRecordIndoors, values[:6]...)
		return
	}
	f.write(fitRecord, values[:]...)
}

// lap writes the summary of the numbered lap.
func (f *fitFile) lap(number int, l lap) {
	t := f.r.totals(l.points)
	sport, _ := f.sport()
	f.write(fitLap, number, f.stamp(l.points[len(l.points)-1].second), int(fit.EventLap), int(fit.EventTypeStop), f.stamp(l.points[0].second),
		1000*t.elapsed, 1000*t.timer, whole(t.metres*100), whole(t.heart), whole(t.heartMax), whole(t.turns),
		int(fit.LapTriggerDistance), int(sport))
}

// sport returns the file's own words for what was done.
func (f *fitFile) sport() (fit.Sport, fit.SubSport) {
	switch f.r.kind {
	case ride:
		return fit.SportCycling, fit.SubSportGeneric
	case belt:
		return fit.SportRunning, fit.SubSportTreadmill
	}
	return fit.SportRunning, fit.SubSportGeneric
}

// end writes the sums.
func (f *fitFile) end() {
	points := f.r.points
	last := points[len(points)-1].second
	f.event(last, fit.EventTypeStopAll, false)
	t := f.r.totals(points)
	sport, sub := f.sport()
	rpe := fitAbsent
	if f.r.rpe > 0 {
		rpe = whole(f.r.rpe * 10)
	}
	ascent, descent := whole(t.ascent), whole(t.descent)
	if f.r.kind == belt {
		ascent, descent = fitAbsent, fitAbsent
	}
	f.write(fitSession, 0, f.stamp(last), int(fit.EventSession), int(fit.EventTypeStop), f.stamp(0), int(sport), int(sub),
		1000*t.elapsed, 1000*t.timer, whole(t.metres*100), whole(t.strides),
		whole(t.metres/float64(t.timer)*1000), whole(t.speedMax*1000), whole(t.heart), whole(t.heartMax), whole(t.turns),
		ascent, descent, 0, len(f.r.laps()), int(fit.SessionTriggerActivityEnd), rpe)
	_, ahead := f.r.at(last).Zone()
	f.write(fitActivity, f.stamp(last), 1000*t.timer, 1, int(fit.ActivityModeManual), int(fit.EventActivity), int(fit.EventTypeStop), f.stamp(last)+ahead)
}

// sealed returns the file with its header and checksum.
func (f *fitFile) sealed() []byte {
	h := fit.NewHeader(fit.V20, true)
	h.DataSize = uint32(len(f.data))
	file, err := h.MarshalBinary()
	if err != nil {
		panic(fmt.Sprintf("demo: FIT header: %v", err))
	}
	file = append(file, f.data...)
	return binary.LittleEndian.AppendUint16(file, dyncrc16.Checksum(file))
}

func whole(v float64) int { return int(math.Round(v)) }

// semicircles returns an angle in degrees in the unit of FIT positions, 2^31 of
// which are half a circle.
func semicircles(angle float64) int { return whole(angle / 180 * (1 << 31)) }

// stampName returns the local start as watches put it into file names.
func stampName(start time.Time) string { return start.Format("2006-01-02-1504") }
