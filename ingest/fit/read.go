package fit

import (
	"errors"

	"tidemark/load"
)

// part holds what one FIT file says of a recording.
type part struct {
	id         fileID
	sports     []sport
	sessions   []session
	laps       []lap
	events     []event // of the timer
	activity   activity
	barometer  bool
	heartRates int // messages of heart rates apart from records
	track      track

	notes load.Notes
	stop  int   // where reading ended
	fault error // why, if that was early
}

// maxSports is how many sport messages are kept; one a sport is usual.
const maxSports = 100

// reader fills a part.
type reader struct {
	part
	left  *Limits
	over  bool   // some session, lap or event was over its limit
	spare int    // messages without a byte that are still read
	empty int    // those that were not
	now   uint32 // the last time seen
}

// read reads the messages of an extent.
func read(data []byte, x extent, left *Limits) *part {
	walk := walker{data: data, pos: x.from, end: x.end, left: left.Messages}
	r := &reader{left: left, now: invalid32, spare: maxEmpty}
	r.notes = x.notes
	r.activity = activity{invalid32, invalid32}
	r.track = newTrack(x.survey.records)
	for walk.next() {
		r.take(&walk)
	}
	left.Messages = walk.left
	r.stop, r.fault = walk.pos, walk.fault
	r.remark()
	return &r.part
}

// remark notes what was not read.
func (r *reader) remark() {
	switch {
	case errors.Is(r.fault, errTooManyMessages):
		r.notes.Add(load.NoteSkipped, "what follows was left out: %v (from byte %d)", r.fault, r.stop)
	case r.fault != nil && !r.notes.Has(load.NoteTruncated):
		r.notes.Add(load.NoteTruncated, "the file is damaged or ends early: what was whole before was kept (%v, byte %d)", r.fault, r.stop)
	}
	if r.over {
		r.notes.Add(load.NoteSkipped, "the file has more sessions, laps or timer events than any recording: the rest of them was left out")
	}
	if r.empty > 0 {
		r.notes.Add(load.NoteSkipped, "%d messages without content were left out", r.empty)
	}
}

// take reads the run that the walker found.
func (r *reader) take(w *walker) {
	n := w.worth(&r.spare)
	r.empty += w.n - n
	d := w.definition()
	switch {
	case d.message == recordMessage:
		r.records(w, n)
	case d.wanted() || w.compressed():
		for i := range n {
			m := w.message(i)
			r.other(m, r.timeOf(m, w.compressed()))
		}
	case n > 0 && d.layout.timestamp != 0:
		r.timeOf(w.message(n-1), false)
	}
}

// timeOf returns the time of a message, and keeps it for the time offsets of
// later ones.
func (r *reader) timeOf(m message, compressed bool) uint32 {
	t := uint32(invalid32)
	if compressed {
		t = offsetTime(r.now, m.data[0])
	}
	if given := m.timestamp(); given != invalid32 {
		t = given
	}
	if t != invalid32 {
		r.now = t
	}
	return t
}

// offsetTime returns the first time at or after now whose low five bits are
// those of a compressed header (FIT protocol, compressed timestamp header).
func offsetTime(now uint32, header byte) uint32 {
	if now == invalid32 {
		return invalid32
	}
	return now + (uint32(header&timeOffsetMask)-now)&timeOffsetMask
}

// other reads a message that is not a record.
func (r *reader) other(m message, timestamp uint32) {
	switch m.def.message {
	case fileIDMessage:
		if !r.id.given { // bytes that were lost and read as zero look like more of them
			r.id = m.fileID()
		}
	case sportMessage:
		if len(r.sports) < maxSports {
			r.sports = append(r.sports, m.sport())
		}
	case sessionMessage:
		if r.within(&r.left.Sessions) {
			r.sessions = append(r.sessions, m.session(timestamp))
		}
	case lapMessage:
		if r.within(&r.left.Laps) {
			r.laps = append(r.laps, m.lap(timestamp))
		}
	case eventMessage:
		if e := m.event(timestamp); e.event == eventTimer && r.within(&r.left.Events) {
			r.events = append(r.events, e)
		}
	case deviceMessage:
		r.barometer = r.barometer || m.barometer()
	case activityMessage:
		r.activity = m.activity(timestamp)
	case heartRateMessage:
		r.heartRates++
	}
}

// within takes one of what is left of a limit.
func (r *reader) within(left *int) bool {
	if *left <= 0 {
		r.over = true
		return false
	}
	*left--
	return true
}

// records reads the first n records of the run.
func (r *reader) records(w *walker, n int) {
	l := &w.definition().layout
	if w.compressed() || l.odd {
		r.oddRecords(w, n)
		return
	}
	stride := int(w.steps[w.head].stride)
	for data := w.data[w.from : w.from+n*stride]; len(data) > 0; data = data[stride:] {
		t := l.u32(data, l.timestamp)
		r.track.add(l, data[:stride], t)
		if t != invalid32 {
			r.now = t
		}
	}
}

// oddRecords does the same for compressed headers and odd layouts.
func (r *reader) oddRecords(w *walker, n int) {
	for i := range n {
		m := w.message(i)
		t := r.timeOf(m, w.compressed())
		if m.def.layout.odd {
			data := m.usual(t)
			r.track.add(&usualLayout, data[:], t)
		} else {
			r.track.add(&m.def.layout, m.data, t)
		}
	}
}
