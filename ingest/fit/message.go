package fit

import (
	"encoding/binary"
	"strings"
)

// message is one data message, its header byte first.
type message struct {
	def  *definition
	data []byte
}

// field returns the bytes of the first field of that number and their base
// type; nil if there is none.
func (m message) field(number fieldNumber) (data []byte, baseType uint8) {
	at := 1
	for f := m.def.fields; len(f) >= fieldSize; f = f[fieldSize:] {
		next := at + int(f[1])
		if fieldNumber(f[0]) == number {
			return m.data[at:next], f[2] & baseTypeMask
		}
		at = next
	}
	return nil, 0
}

// integer returns the field's value, the first if it is an array. It goes by
// the size and type that the file gives, not by those of the profile; floating
// point, text and 64 bits, which no field read here has, count as absent.
func (m message) integer(number fieldNumber) (value int64, ok bool) {
	data, baseType := m.field(number)
	switch baseType {
	case typeEnum, typeUint8, typeByte, typeUint8z, typeSint8:
		return small(data, baseType)
	case typeUint16, typeUint16z, typeSint16:
		return medium(data, baseType, m.def.order())
	case typeUint32, typeUint32z, typeSint32:
		return large(data, baseType, m.def.order())
	}
	return 0, false
}

func small(data []byte, baseType uint8) (value int64, ok bool) {
	if len(data) < 1 {
		return 0, false
	}
	v := data[0]
	switch baseType {
	case typeSint8:
		return int64(int8(v)), v != 0x7F
	case typeUint8z:
		return int64(v), v != 0
	}
	return int64(v), v != invalid8
}

func medium(data []byte, baseType uint8, order binary.ByteOrder) (value int64, ok bool) {
	if len(data) == 0 || len(data)%2 != 0 {
		return 0, false
	}
	v := order.Uint16(data)
	switch baseType {
	case typeSint16:
		return int64(int16(v)), v != 0x7FFF
	case typeUint16z:
		return int64(v), v != 0
	}
	return int64(v), v != invalid16
}

func large(data []byte, baseType uint8, order binary.ByteOrder) (value int64, ok bool) {
	if len(data) == 0 || len(data)%4 != 0 {
		return 0, false
	}
	v := order.Uint32(data)
	switch baseType {
	case typeSint32:
		return int64(int32(v)), v != invalidS32
	case typeUint32z:
		return int64(v), v != 0
	}
	return int64(v), v != invalid32
}

// u32, u16, u8 and s32 return the field's value, or the type's invalid one if
// there is none or it does not fit.
func (m message) u32(number fieldNumber) uint32 { return uint32(m.upTo(number, invalid32)) }
func (m message) u16(number fieldNumber) uint16 { return uint16(m.upTo(number, invalid16)) }
func (m message) u8(number fieldNumber) uint8   { return uint8(m.upTo(number, invalid8)) }

func (m message) upTo(number fieldNumber, invalid int64) int64 {
	if v, ok := m.integer(number); ok && v >= 0 && v < invalid {
		return v
	}
	return invalid
}

func (m message) s32(number fieldNumber) int32 {
	if v, ok := m.integer(number); ok && v >= -1<<31 && v < invalidS32 {
		return int32(v)
	}
	return invalidS32
}

func (m message) s16(number fieldNumber) int16 {
	if v, ok := m.integer(number); ok && v >= -1<<15 && v < invalidS16 {
		return int16(v)
	}
	return invalidS16
}

// u24 returns a field of three bytes, which the profile has as an array.
func (m message) u24(number fieldNumber) uint32 {
	if b, _ := m.field(number); len(b) == 3 {
		return uint32(b[0]) | uint32(b[1])<<8 | uint32(b[2])<<16
	}
	return invalid24
}

// text returns the field up to its first NUL as valid UTF-8.
func (m message) text(number fieldNumber) string {
	data, baseType := m.field(number)
	if baseType != typeString {
		return ""
	}
	text, _, _ := strings.Cut(string(data), "\x00")
	return strings.TrimSpace(strings.ToValidUTF8(text, ""))
}

// timestamp returns the time that the message itself holds.
func (m message) timestamp() uint32 {
	if m.def.layout.odd {
		return m.u32(timestampField)
	}
	return m.def.layout.u32(m.data, m.def.layout.timestamp)
}

func (m message) fileID() fileID {
	return fileID{given: true, kind: m.u8(fileIDType), productName: m.text(fileIDProductName)}
}

func (m message) sport() sport {
	return sport{sport: m.u8(sportSport), subSport: m.u8(sportSubSport)}
}

func (m message) session(timestamp uint32) session {
	return session{
		timestamp:   timestamp,
		startTime:   m.u32(sessionStartTime),
		elapsedTime: m.u32(sessionElapsedTime),
		timerTime:   m.u32(sessionTimerTime),
		distance:    m.u32(sessionDistance),
		cycles:      m.u32(sessionCycles),
		ascent:      m.u16(sessionAscent),
		descent:     m.u16(sessionDescent),
		sport:       m.u8(sessionSport),
		subSport:    m.u8(sessionSubSport),
		workoutRPE:  m.u8(sessionWorkoutRPE),
	}
}

func (m message) lap(timestamp uint32) lap {
	return lap{
		timestamp:   timestamp,
		startTime:   m.u32(lapStartTime),
		elapsedTime: m.u32(lapElapsedTime),
		timerTime:   m.u32(lapTimerTime),
		distance:    m.u32(lapDistance),
	}
}

func (m message) event(timestamp uint32) event {
	return event{timestamp: timestamp, event: m.u8(eventEvent), eventType: m.u8(eventEventType)}
}

// barometer reports whether the message tells of one in the device.
func (m message) barometer() bool {
	return m.u8(deviceSource) == sourceLocal && m.u8(deviceType) == localBarometer
}

func (m message) activity(timestamp uint32) activity {
	return activity{timestamp: timestamp, localTimestamp: m.u32(activityLocalTime)}
}

// usual rewrites a record of odd layout as usualLayout has it, little-endian and
// with the sizes of the profile.
func (m message) usual(timestamp uint32) (data [usualSize]byte) {
	l, order := &usualLayout, binary.LittleEndian
	order.PutUint32(data[l.timestamp:], timestamp)
	order.PutUint32(data[l.lat:], uint32(m.s32(recordLat)))
	order.PutUint32(data[l.long:], uint32(m.s32(recordLong)))
	order.PutUint32(data[l.distance:], m.u32(recordDistance))
	order.PutUint32(data[l.enhancedSpeed:], m.u32(recordEnhancedSpeed))
	order.PutUint32(data[l.enhancedAltitude:], m.u32(recordEnhancedAlt))
	order.PutUint32(data[l.compressed:], m.u24(recordCompressed)) // its fourth byte is zero
	order.PutUint16(data[l.speed:], m.u16(recordSpeed))
	order.PutUint16(data[l.altitude:], m.u16(recordAltitude))
	order.PutUint16(data[l.grade:], uint16(m.s16(recordGrade)))
	data[l.heartRate] = m.u8(recordHeartRate)
	data[l.cadence] = m.u8(recordCadence)
	data[l.fractional] = m.u8(recordFractional)
	return data
}
