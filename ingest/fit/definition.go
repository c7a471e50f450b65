package fit

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math/bits"
)

// fieldSize is the number of bytes that define one field: number, size, type.
const fieldSize = 3

// definition is what a definition message says of the data messages of its
// local type. It stands until the local type is defined anew.
type definition struct {
	big     bool // big-endian
	message messageNumber
	size    int    // of a data message without its header byte
	fields  []byte // fieldSize bytes each; developer fields count in size only
	layout  layout
}

func (d *definition) order() binary.ByteOrder {
	if d.big {
		return binary.BigEndian
	}
	return binary.LittleEndian
}

// wanted reports whether anything but the time is read of the messages.
func (d *definition) wanted() bool {
	switch d.message {
	case fileIDMessage, sportMessage, sessionMessage, lapMessage, recordMessage, eventMessage,
		deviceMessage, activityMessage, heartRateMessage:
		return true
	}
	return false
}

var (
	errCutMessage   = errors.New("the last message is cut off")
	errByteOrder    = errors.New("a definition gives a byte order that does not exist")
	errSizelessType = errors.New("a definition has a number of size zero")
)

// parseDefinition reads the definition message that data begins with, its
// header byte included, and returns its length.
func parseDefinition(data []byte) (d definition, length int, err error) {
	const lead = 6 // header, reserved, byte order, message number, number of fields
	if len(data) < lead {
		return d, 0, errCutMessage
	}
	if data[2] > 1 {
		return d, 0, errByteOrder
	}
	d.big = data[2] == 1
	d.message = messageNumber(d.order().Uint16(data[3:]))
	length = lead + fieldSize*int(data[5])
	if len(data) < length {
		return d, 0, errCutMessage
	}
	d.fields = data[lead:length]
	if data[0]&developerBit != 0 {
		if len(data) <= length {
			return d, 0, errCutMessage
		}
		developer := length + 1
		length = developer + fieldSize*int(data[length])
		if len(data) < length {
			return d, 0, errCutMessage
		}
		d.size = sizes(data[developer:length])
	}
	d.size += sizes(d.fields)
	return d, length, d.arrange()
}

// sizes sums the sizes of fields.
func sizes(fields []byte) int {
	sum := 0
	for f := fields; len(f) >= fieldSize; f = f[fieldSize:] {
		sum += int(f[1])
	}
	return sum
}

// arrange works out where the fields lie. An empty text is harmless; a number
// without bytes is a damaged definition, behind which nothing can be trusted.
func (d *definition) arrange() error {
	d.layout.big = d.big
	at := 1
	for f := d.fields; len(f) >= fieldSize; f = f[fieldSize:] {
		number, size, baseType := fieldNumber(f[0]), f[1], f[2]&baseTypeMask
		if size == 0 && baseType != typeString {
			return fmt.Errorf("%w (field %d of message %d)", errSizelessType, number, d.message)
		}
		d.layout.add(d.message, number, size, baseType, at)
		at += int(size)
	}
	return nil
}

// layout says where the messages of a definition hold what is wanted of them,
// counted from the header byte; 0 is nowhere. Values that are not there read as
// invalid.
type layout struct {
	timestamp, lat, long, distance  int
	enhancedSpeed, enhancedAltitude int
	compressed, speed, altitude     int
	grade                           int
	heartRate, cadence, fractional  int

	big bool // big-endian
	odd bool // some field has an unusual size or type: see message.usual
}

// add enters a field that lies at offset at. Of a number that is there twice
// the first counts.
func (l *layout) add(about messageNumber, number fieldNumber, size, baseType uint8, at int) {
	place, usualSize, usualType := l.place(about, number)
	if place == nil || *place != 0 {
		return
	}
	*place = at
	if size != usualSize || baseType != usualType {
		l.odd = true
	}
}

// place returns where the offset of a field belongs, nil if it is not wanted,
// and what the profile says of it.
func (l *layout) place(about messageNumber, number fieldNumber) (place *int, size, baseType uint8) {
	if number == timestampField {
		return &l.timestamp, 4, typeUint32
	}
	if about != recordMessage {
		return nil, 0, 0
	}
	switch number {
	case recordLat:
		return &l.lat, 4, typeSint32
	case recordLong:
		return &l.long, 4, typeSint32
	case recordAltitude:
		return &l.altitude, 2, typeUint16
	case recordHeartRate:
		return &l.heartRate, 1, typeUint8
	case recordCadence:
		return &l.cadence, 1, typeUint8
	case recordDistance:
		return &l.distance, 4, typeUint32
	case recordSpeed:
		return &l.speed, 2, typeUint16
	case recordCompressed:
		return &l.compressed, 3, typeByte
	case recordGrade:
		return &l.grade, 2, typeSint16
	case recordFractional:
		return &l.fractional, 1, typeUint8
	case recordEnhancedSpeed:
		return &l.enhancedSpeed, 4, typeUint32
	case recordEnhancedAlt:
		return &l.enhancedAltitude, 4, typeUint32
	}
	return nil, 0, 0
}

// u32, s32, u24, u16 and u8 read what lies at a place of the layout. Slices with
// a fixed capacity cost the compiler fewer checks.
func (l *layout) u32(m []byte, at int) uint32 {
	if at == 0 {
		return invalid32
	}
	v := binary.LittleEndian.Uint32(m[at : at+4 : at+4])
	if l.big {
		v = bits.ReverseBytes32(v)
	}
	return v
}

func (l *layout) s32(m []byte, at int) int32 {
	if at == 0 {
		return invalidS32
	}
	return int32(l.u32(m, at))
}

func (l *layout) u24(m []byte, at int) uint32 {
	if at == 0 {
		return invalid24
	}
	return uint32(m[at]) | uint32(m[at+1])<<8 | uint32(m[at+2])<<16
}

func (l *layout) u16(m []byte, at int) uint16 {
	if at == 0 {
		return invalid16
	}
	v := binary.LittleEndian.Uint16(m[at : at+2 : at+2])
	if l.big {
		v = bits.ReverseBytes16(v)
	}
	return v
}

func (l *layout) s16(m []byte, at int) int16 {
	if at == 0 {
		return invalidS16
	}
	return int16(l.u16(m, at))
}

func (l *layout) u8(m []byte, at int) uint8 {
	if at == 0 {
		return invalid8
	}
	return m[at]
}

// usualLayout is where message.usual puts the values of a record.
var usualLayout = layout{
	timestamp: 1, lat: 5, long: 9, distance: 13, enhancedSpeed: 17, enhancedAltitude: 21,
	speed: 25, altitude: 27, compressed: 29, heartRate: 32, cadence: 33, fractional: 34, grade: 35,
}

const usualSize = 37
