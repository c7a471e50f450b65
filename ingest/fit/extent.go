package fit

import (
	"encoding/binary"
	"errors"
	"fmt"

	"tidemark/load"
)

const (
	magic        = ".FIT"
	magicAt      = 8
	shortHeader  = 12
	longHeader   = 14 // the same and the header's own checksum
	checksumSize = 2
)

var (
	errNotFIT      = errors.New("not a FIT file")
	errEmpty       = errors.New("empty file; export or copy it again")
	errHeaderOnly  = errors.New("nothing was recorded after the header")
	errShortHeader = errors.New("cut off within its header; export or copy it again")
)

// extent is where the messages of one part lie in the file, and what is wrong
// with what the header says of that.
type extent struct {
	from, end int // of the messages
	next      int // where another part may begin
	survey    survey
	notes     load.Notes
}

// Sniff reports whether data begins like a FIT file: with ".FIT" at byte 8.
func Sniff(data []byte) bool {
	return len(data) >= magicAt+len(magic) && string(data[magicAt:magicAt+len(magic)]) == magic
}

// locate reads the header at start and finds out how far the part reaches. The
// header's length is believed if something confirms it: the end of the file,
// another part, or the checksum.
func locate(data []byte, start, limit int) (extent, error) {
	header, err := headerSize(data[start:])
	if err != nil {
		return extent{}, err
	}
	x := extent{from: start + header}
	x.checkHeader(data[start:x.from])
	size := int64(binary.LittleEndian.Uint32(data[start+4:]))
	declared := int64(x.from) + size
	whole := size > 0 && declared+checksumSize <= int64(len(data))
	switch {
	case !whole:
		x.untilEnd(data, limit, size == 0)
	case x.believe(data, start, int(declared), limit):
	case look(data, x.from, int(declared), limit).fault != nil || x.reachesEnd(data, limit):
		x.untilEnd(data, limit, true)
	default:
		x.take(data, int(declared), limit)
		x.notes.Add(load.NoteChecksum, "the checksum of the file does not match, so something in it was changed; it was read all the same")
	}
	return x, nil
}

func headerSize(data []byte) (int, error) {
	switch {
	case len(data) == 0:
		return 0, errEmpty
	case !Sniff(data):
		return 0, errNotFIT
	case data[0] != shortHeader && data[0] != longHeader:
		return 0, fmt.Errorf("%w: a header of %d bytes, want %d or %d", errNotFIT, data[0], shortHeader, longHeader)
	case len(data) < int(data[0]):
		return 0, errShortHeader
	case len(data) == int(data[0]):
		return 0, errHeaderOnly
	}
	return int(data[0]), nil
}

// checkHeader compares the header's own checksum; zero means that none was
// computed.
func (x *extent) checkHeader(header []byte) {
	if len(header) != longHeader {
		return
	}
	given := binary.LittleEndian.Uint16(header[shortHeader:])
	if given != 0 && given != checksum(header[:shortHeader]) {
		x.notes.Add(load.NoteChecksum, "the checksum of the header does not match; the file was read all the same")
	}
}

// take sets the end and the place behind the checksum.
func (x *extent) take(data []byte, end, limit int) {
	x.end = end
	x.next = min(end+checksumSize, len(data))
	x.survey = look(data, x.from, end, limit)
}

// believe takes the declared end if something confirms it.
func (x *extent) believe(data []byte, start, declared, limit int) bool {
	matches := binary.LittleEndian.Uint16(data[declared:]) == checksum(data[start:declared])
	behind := data[declared+checksumSize:]
	if !matches && len(behind) > 0 && !Sniff(behind) {
		return false
	}
	x.take(data, declared, limit)
	if !matches {
		x.notes.Add(load.NoteChecksum, "the checksum of the file does not match, so something in it was changed; it was read all the same")
	}
	return true
}

// reachesEnd reports whether messages follow each other without a fault up to
// where the checksum of a whole file would be.
func (x *extent) reachesEnd(data []byte, limit int) bool {
	s := look(data, x.from, max(x.from, len(data)-checksumSize), limit)
	return s.fault == nil && s.closed
}

// untilEnd takes what there is up to the end of the file. Where whole messages
// and what closes a recording lead to the checksum, the file is whole and its
// header wrong; else the file was cut.
func (x *extent) untilEnd(data []byte, limit int, wrong bool) {
	if x.reachesEnd(data, limit) {
		x.take(data, len(data)-checksumSize, limit)
		wrong = true
	} else {
		x.take(data, len(data), limit)
		if x.survey.fault == nil || !wrong {
			x.notes.Add(load.NoteTruncated, "the file ends early; what was whole before its end was kept")
		}
	}
	if wrong {
		x.notes.Add(load.NoteSize, "the length that the file gives of itself is wrong, as when a recording was not closed: all of it was read")
	}
	x.next = len(data)
}
