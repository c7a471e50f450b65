package load

import "slices"

// Until returns the history as it will be on a later day if nothing comes until then. What
// lies before the last days is taken over, unless something of the days to come is known
// already. The history is not changed. It panics for a day before its last.
func (h *History) Until(day Day) *History {
	if day < h.in.Today {
		panic("load: Until: day before the history's last")
	}
	book, ok := h.book.until(day)
	if !ok {
		return book.History(h.measure)
	}
	n := *h
	n.book, n.in, n.runs = book, book.in, book.runs
	if h.Empty() {
		return &n
	}
	c, ok := h.cutBefore(h.in.Today)
	if !ok {
		return book.History(h.measure)
	}
	n.lay(c)
	return &n
}

// until returns the logbook with days on which nothing came; ok is false where it had to be
// ordered anew.
func (l *Logbook) until(day Day) (out *Logbook, ok bool) {
	in := *l.in
	in.Today = day
	if l.in.knowsAfter(l.in.Today) {
		return NewLogbook(&in), false
	}
	n := *l
	n.in = &in
	if len(l.runs) == 0 {
		return &n, true
	}
	from, last := len(l.records), l.first
	for i, spoken := range slices.Backward(l.spoken) {
		if spoken {
			last += Day(i)
			break
		}
	}
	n.records, n.spoken = grown(l.records, int(day-l.first)+1), grown(l.spoken, int(day-l.first)+1)
	n.layStates(from, last)
	return &n, true
}

// knowsAfter reports whether something is known of the days after one that a history is made
// of: a clock ran ahead, or somebody said that they will rest.
func (in *Input) knowsAfter(day Day) bool {
	for i := range in.Sessions {
		if in.Sessions[i].Day > day {
			return true
		}
	}
	return slices.ContainsFunc(in.Rests, func(d Day) bool { return d > day }) || slices.ContainsFunc(in.Gaps, func(g Gap) bool { return g.Last > day })
}
