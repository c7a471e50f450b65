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
	compressedLocal     = 0x60
	compressedLocalMask = 0x03
	timeOffsetMask      = 0x1F
)

var errTooManyMessages = errors.New("over the limit of messages")

// walker goes through the messages of a part by definitions and sizes alone.
type walker struct {
	data []byte // the whole file, so that positions are those of the file
	pos  int
	end  int
	left int // messages that may still be read
	defs [16]definition

	run   run
	fault error // why it stopped before end; pos is where
}

// run is a row of data messages of one local type with nothing in between.
type run struct {
	def        *definition
	data       []byte // n messages, each with its header byte
	n          int
	compressed bool // the header bytes hold time offsets
}

// message returns the i-th of the run.
func (r *run) message(i int) message {
	stride := 1 + r.def.size
	return message{r.def, r.data[i*stride : (i+1)*stride]}
}

// next finds the next run; false means the end or a fault.
func (w *walker) next() bool {
	for w.pos < w.end {
		head := w.data[w.pos]
		if head&(compressedBit|definitionBit) != definitionBit {
			return w.gather(head)
		}
		d, length, err := parseDefinition(w.data[w.pos:w.end])
		if err != nil {
			w.fault = err
			return false
		}
		w.defs[head&localMask] = d
		w.pos += length
	}
	return false
}

// gather makes a run of the messages at pos whose header byte is, but for the
// time offset, head.
func (w *walker) gather(head byte) bool {
	local, mask := head&localMask, byte(0xFF)
	if head&compressedBit != 0 {
		local, mask = head>>5&compressedLocalMask, compressedBit|compressedLocal
	}
	def := &w.defs[local]
	stride := 1 + def.size
	switch {
	case !def.known:
		w.fault = fmt.Errorf("a message of local type %d, which was never defined", local)
	case w.pos+stride > w.end:
		w.fault = errCutMessage
	case w.left <= 0:
		w.fault = errTooManyMessages
	default:
		n, pos := 0, w.pos
		for n < w.left && pos+stride <= w.end && w.data[pos]&mask == head&mask {
			n++
			pos += stride
		}
		w.run = run{def, w.data[w.pos:pos], n, head&compressedBit != 0}
		w.pos, w.left = pos, w.left-n
		return true
	}
	return false
}

// survey is what a walk without reading tells of a part.
type survey struct {
	records int  // record messages that hold something
	closed  bool // there is a session or an activity message
	stop    int  // where it ended
	fault   error
}

// look walks data from one position to another.
func look(data []byte, from, to, limit int) survey {
	w := walker{data: data, pos: from, end: to, left: limit}
	var s survey
	for w.next() {
		switch w.run.def.message {
		case recordMessage:
			if w.run.def.size > 0 {
				s.records += w.run.n
			}
		case sessionMessage, activityMessage:
			s.closed = true
		}
	}
	s.stop, s.fault = w.pos, w.fault
	return s
}
