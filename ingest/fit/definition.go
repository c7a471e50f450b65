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
	known   bool
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
	d.known, d.big = true, data[2] == 1
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
// counted from the header byte; 0 is nowhere.
type layout struct {
	timestamp, lat, long, distance  int
	enhancedSpeed, enhancedAltitude int
	compressed, speed, altitude     int
	heartRate, cadence, fractional  int

	big bool // big-endian
	odd bool // some field has an unusual size or type: message.record reads it
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
	case recordFractional:
		return &l.fractional, 1, typeUint8
	case recordEnhancedSpeed:
		return &l.enhancedSpeed, 4, typeUint32
	case recordEnhancedAlt:
		return &l.enhancedAltitude, 4, typeUint32
	}
	return nil, 0, 0
}

// read fills r from the record message m, whose layout is not odd. It is long
// because it is what a whole file comes through: one predictable branch and one
// load a field, no loop and no call.
func (l *layout) read(r *record, m []byte) {
	*r = blankRecord
	if at := l.timestamp; at != 0 {
		r.timestamp = binary.LittleEndian.Uint32(m[at:])
	}
	if at := l.lat; at != 0 {
		r.lat = int32(binary.LittleEndian.Uint32(m[at:]))
	}
	if at := l.long; at != 0 {
		r.long = int32(binary.LittleEndian.Uint32(m[at:]))
	}
	if at := l.distance; at != 0 {
		r.distance = binary.LittleEndian.Uint32(m[at:])
	}
	if at := l.enhancedSpeed; at != 0 {
		r.enhancedSpeed = binary.LittleEndian.Uint32(m[at:])
	}
	if at := l.enhancedAltitude; at != 0 {
		r.enhancedAltitude = binary.LittleEndian.Uint32(m[at:])
	}
	if at := l.speed; at != 0 {
		r.speed = binary.LittleEndian.Uint16(m[at:])
	}
	if at := l.altitude; at != 0 {
		r.altitude = binary.LittleEndian.Uint16(m[at:])
	}
	if at := l.heartRate; at != 0 {
		r.heartRate = m[at]
	}
	if at := l.cadence; at != 0 {
		r.cadence = m[at]
	}
	if at := l.fractional; at != 0 {
		r.fractional = m[at]
	}
	if at := l.compressed; at != 0 {
		r.compressed = uint32(m[at]) | uint32(m[at+1])<<8 | uint32(m[at+2])<<16
	}
	if l.big {
		l.swap(r)
	}
}

// swap turns the bytes of the numbers that were read around. All ones, the
// unsigned invalid value, is the same both ways.
func (l *layout) swap(r *record) {
	if l.lat != 0 {
		r.lat = int32(bits.ReverseBytes32(uint32(r.lat)))
	}
	if l.long != 0 {
		r.long = int32(bits.ReverseBytes32(uint32(r.long)))
	}
	r.timestamp = bits.ReverseBytes32(r.timestamp)
	r.distance = bits.ReverseBytes32(r.distance)
	r.enhancedSpeed = bits.ReverseBytes32(r.enhancedSpeed)
	r.enhancedAltitude = bits.ReverseBytes32(r.enhancedAltitude)
	r.speed = bits.ReverseBytes16(r.speed)
	r.altitude = bits.ReverseBytes16(r.altitude)
}
