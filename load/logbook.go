package load

import (
	"cmp"
	"slices"
)

// Logbook is an input in order: which runs count, and what is known of each day. It
// serves the histories of all measures, and is never changed.
type Logbook struct {
	in       *Input
	sessions []*Session // up to Today, in the order of the input
	runs     []*Session // that count, in order of start
	doubles  map[string]string
	first    Day        // of the runs; meaningless without one
	states   []DayState // of each day from first to today, whatever the measure
	open     []bool     // no record, and nobody said anything of the day
	records  []DayState // of each day; noState: none
	spoken   []bool     // a record, or an answer that says what the day was
}

// NewLogbook orders what in holds up to its Today. Later sessions are left out, so that
// they cannot stand for anything before; so are runs that another one stands for
// (Doubles) or the runner excluded, and all that are no runs.
func NewLogbook(in *Input) *Logbook {
	l := &Logbook{in: in}
	past := upTo(in.Sessions, in.Today)
	l.doubles = Doubles(past)
	records := make(map[Day]DayState, len(past)+len(in.Rests))
	for _, day := range in.Rests {
		records[day] = Rest
	}
	l.sessions = make([]*Session, len(past))
	for i := range past {
		s := &past[i]
		l.sessions[i] = s
		records[s.Day] = recordOf(records[s.Day], s)
		if s.Sport == Running && !s.Excluded && l.doubles[s.ID] == "" {
			l.runs = append(l.runs, s)
		}
	}
	if len(l.runs) == 0 {
		return l // what is told of a time without any run is no history
	}
	l.first = l.runs[0].Day
	for _, s := range l.runs {
		l.first = min(l.first, s.Day)
	}
	if len(in.Gaps) > 0 {
		l.addTold(records)
	}
	slices.SortFunc(l.runs, byStartAndID)
	l.records, l.spoken = make([]DayState, in.Today-l.first+1), make([]bool, in.Today-l.first+1)
	for day, state := range records {
		if day >= l.first && day <= in.Today {
			l.records[day-l.first], l.spoken[day-l.first] = state, state != Unknown
		}
	}
	l.layStates(0, l.first)
	return l
}

// RunDays returns the days on which a run counts.
func (l *Logbook) RunDays() map[Day]bool {
	days := make(map[Day]bool, len(l.runs))
	for _, s := range l.runs {
		days[s.Day] = true
	}
	return days
}

func byStartAndID(a, b *Session) int {
	return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.ID, b.ID))
}

// recordOf is the record of a day with one more session.
func recordOf(was DayState, s *Session) DayState {
	if !s.Typed || was == Recorded {
		return Recorded
	}
	return Reported
}

// addTold adds the runs that answers about gaps tell of, but for those before the first
// run that somebody knows the date of: history does not begin with a guess.
func (l *Logbook) addTold(records map[Day]DayState) {
	ran := make(map[Day]int)
	for _, s := range l.runs {
		ran[s.Day]++
	}
	told := l.in.tell(records, ran)
	for i := range told {
		if told[i].Day > l.first {
			l.runs = append(l.runs, &told[i])
		}
	}
}

// upTo leaves out what lies after today.
func upTo(sessions []Session, today Day) []Session {
	later := func(s Session) bool { return s.Day > today }
	if !slices.ContainsFunc(sessions, later) {
		return sessions
	}
	return slices.DeleteFunc(slices.Clone(sessions), later)
}

// layStates says what is known of the days from the i-th on, the last record before
// being of day last. "Nobody knows" is no record that days of rest could follow.
func (l *Logbook) layStates(from int, last Day) {
	l.states, l.open = grown(l.states[:from], len(l.records)), grown(l.open[:from], len(l.records))
	for i := from; i < len(l.records); i++ {
		day := l.first + Day(i)
		state := l.records[i]
		l.open[i] = state == noState
		switch {
		case state != noState:
			if l.spoken[i] {
				last = day
			}
		case float64(day-last) <= l.in.Settings.on(day).AssumedRestDays:
			state = Assumed
		default:
			state = Unknown
		}
		l.states[i] = state
	}
}

// with returns the logbook with one more run; ok is false where it had to be ordered
// anew, for the run may change what stands before it.
func (l *Logbook) with(s *Session) (out *Logbook, ok bool) {
	if len(l.runs) == 0 || s.Day < l.first || s.Day > l.in.Today || s.Sport != Running || s.Excluded || l.touches(s) {
		in := *l.in
		in.Sessions = make([]Session, 0, len(l.sessions)+1)
		for _, old := range l.sessions {
			in.Sessions = append(in.Sessions, *old)
		}
		in.Sessions = append(in.Sessions, *s)
		return NewLogbook(&in), false
	}
	n := *l
	n.sessions = append(slices.Clip(l.sessions), s)
	at, _ := slices.BinarySearchFunc(l.runs, s, byStartAndID)
	n.runs = slices.Insert(slices.Clip(l.runs), at, s)
	i := int(s.Day - l.first)
	n.records = slices.Clone(l.records)
	n.records[i] = recordOf(n.records[i], s)
	n.spoken = slices.Clone(l.spoken)
	n.spoken[i] = true
	n.layStates(i, s.Day)
	return &n, true
}

// touches reports whether a run may be a double, or stand in days that somebody told
// of.
func (l *Logbook) touches(s *Session) bool {
	if slices.ContainsFunc(l.in.Gaps, func(g Gap) bool { return g.Holds(s.Day) }) {
		return true
	}
	return slices.ContainsFunc(l.sessions, func(t *Session) bool {
		overlap := t.Start < s.End && s.Start < t.End
		return t.ID == s.ID || s.Double != DoubleApart && (overlap || t.Day == s.Day && (t.NoStart || s.NoStart))
	})
}

// reachBack is how many days before a run the bouts begin that it may change: zones
// differ by up to a day, and a bout may begin on the day before.
const reachBack = 3

// With returns the history with one more session. What lies before it is taken over
// and only what depends on it is laid out anew, unless the session may be another's
// double or is no run of the days that are laid out. The history is not changed.
func (h *History) With(s Session) *History {
	book, ok := h.book.with(&s)
	if !ok {
		return book.History(h.measure)
	}
	c, ok := h.cutBefore(s.Day)
	if !ok {
		return book.History(h.measure)
	}
	n := *h
	n.book, n.in, n.runs = book, book.in, book.runs
	n.lay(c)
	return &n
}

// cutBefore finds where what a run of day may change begins; ok is false where runs and
// days do not part cleanly there.
func (h *History) cutBefore(day Day) (c cut, ok bool) {
	from := max(0, int(day-reachBack-h.first))
	c.day, c.bout, c.run = from, h.days[from].bouts[0], len(h.runs)
	for _, b := range h.bouts[c.bout:] {
		c.run = min(c.run, b.runs[0])
	}
	return c, h.partsAt(c)
}

// partsAt reports whether the runs before a cut and those after it are of the days before
// it and after: a bout may go on past midnight, and zones differ.
func (h *History) partsAt(c cut) bool {
	for _, b := range h.bouts[max(0, c.bout-4*reachBack):c.bout] {
		if b.runs[1] > c.run {
			return false
		}
	}
	day, near := h.first+Day(c.day), Instant(2*reachBack*24*3600*1000)
	at := InstantOf(day.Noon())
	for i := c.run - 1; i >= 0 && h.runs[i].Start > at-near; i-- {
		if h.runs[i].Day >= day {
			return false
		}
	}
	for i := c.run; i < len(h.runs) && h.runs[i].Start < at+near; i++ {
		if h.runs[i].Day < day {
			return false
		}
	}
	return true
}
