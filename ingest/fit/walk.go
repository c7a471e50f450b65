package fit

import (
	"errors"
	"fmt"
)

// Bits of the byte that leads every message, and where they name a local type.
const (
	compressedBit = 0x80 // a data message with a time offset in the low five bits
	definitionBit = 0x40
	developerBit  = 0x20 // of a definition: developer fields follow

	localMask           = 0x0F
	compressedLocalMask = 0x60
	timeOffsetMask      = 0x1F
)

var errTooManyMessages = errors.New("over the limit of messages")

// walker goes through the messages of a part by definitions and sizes alone. It
// takes them in runs: rows of data messages of one local type with nothing in
// between.
type walker struct {
	data  []byte // the whole file, so that positions are those of the file
	pos   int
	end   int
	left  int // messages that may still be read
	defs  [16]definition
	steps [256]step

	from  int   // the run found: where it begins,
	n     int   // how many messages it has,
	head  byte  // and the header byte of the first
	fault error // why it stopped before end; pos is where
}

// step is what a header byte says of its message.
type step struct {
	stride  int32 // to the next message; 0: not defined
	local   uint8
	mask    uint8 // what the header bytes of a run have in common
	record  uint8 // 1: it is a record
	closing uint8 // 1: it is a session or an activity
}

// next finds the next run; false means the end or a fault.
func (w *walker) next() bool {
	for w.pos < w.end {
		head := w.data[w.pos]
		if w.steps[head].stride != 0 {
			return w.gather(head)
		}
		if !w.define(head) {
			return false
		}
	}
	return false
}

// gather makes a run of the messages at pos whose header byte is, but for the
// time offset, head.
func (w *walker) gather(head byte) bool {
	step := &w.steps[head]
	stride, mask := int(step.stride), step.mask
	data, pos, n := w.data[:w.end], w.pos, 0
	for pos+stride <= len(data) && (data[pos]^head)&mask == 0 && n < w.left {
		n++
		pos += stride
	}
	switch {
	case n > 0:
		w.from, w.n, w.head = w.pos, n, head
		w.pos = pos
		w.left -= n
		return true
	case w.left <= 0:
		w.fault = errTooManyMessages
	default:
		w.fault = errCutMessage
	}
	return false
}

// define reads the definition message at pos.
func (w *walker) define(head byte) bool {
	if head&(compressedBit|definitionBit) != definitionBit {
		local := head & localMask
		if head&compressedBit != 0 {
			local = head & compressedLocalMask >> 5
		}
		w.fault = fmt.Errorf("a message of local type %d, which was never defined", local)
		return false
	}
	d, length, err := parseDefinition(w.data[w.pos:w.end])
	if err != nil {
		w.fault = err
		return false
	}
	w.defs[head&localMask] = d
	w.pos += length
	w.enter(head&localMask, &d)
	return true
}

// enter notes the step of each header byte that a definition covers: those with
// the local type in the low bits, whatever the reserved bits are, and for the
// first four local types those of compressed headers.
func (w *walker) enter(local byte, d *definition) {
	s := step{stride: int32(1 + d.size), local: local, mask: 0xFF}
	switch d.message {
	case recordMessage:
		s.record = 1
	case sessionMessage, activityMessage:
		s.closing = 1
	}
	for reserved := range byte(4) {
		w.steps[reserved<<4|local] = s
	}
	if local > compressedLocalMask>>5 {
		return
	}
	s.mask = compressedBit | compressedLocalMask
	for offset := range byte(timeOffsetMask + 1) {
		w.steps[compressedBit|local<<5|offset] = s
	}
}

// definition returns that of the run.
func (w *walker) definition() *definition { return &w.defs[w.steps[w.head].local] }

// compressed reports whether the header bytes of the run hold time offsets.
func (w *walker) compressed() bool { return w.head&compressedBit != 0 }

// message returns the i-th of the run.
func (w *walker) message(i int) message {
	stride := int(w.steps[w.head].stride)
	from := w.from + i*stride
	return message{w.definition(), w.data[from : from+stride]}
}

// maxEmpty is how many messages without a byte are read. A time offset in the
// header makes something of one now and then; thousands are an attack.
const maxEmpty = 1_000

// worth returns how many messages of the run are to be read: all, but of those
// without a byte no more than spare, which shrinks.
func (w *walker) worth(spare *int) int {
	if w.steps[w.head].stride > 1 {
		return w.n
	}
	n := min(w.n, *spare)
	*spare -= n
	return n
}

// survey is what a walk without reading tells of a part.
type survey struct {
	records int  // record messages worth reading
	closed  bool // there is a session or an activity message
	stop    int  // where it ended
	fault   error
}

// look walks data from one position to another.
func look(data []byte, from, to, limit int) survey {
	w := walker{data: data, pos: from, end: to, left: limit}
	records, closing, spare := 0, uint8(0), maxEmpty
	for w.next() {
		step := &w.steps[w.head]
		closing |= step.closing
		if step.record != 0 {
			records += w.worth(&spare)
		}
	}
	return survey{records: records, closed: closing != 0, stop: w.pos, fault: w.fault}
}
