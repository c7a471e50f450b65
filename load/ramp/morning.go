package ramp

import (
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// freeze stops all progress after mornings that nobody answered.
type freeze struct {
	on      bool
	onTime  int // mornings in a row
	missing load.Day
	before  bool // there was a missing one
}

// morning takes the verdict on a run by the date of its morning.
func (f *freeze) morning(date load.Day, v load.Verdict, onTime bool) {
	if onTime {
		if f.onTime++; f.onTime >= FreezeOnTime {
			f.on = false
		}
		return
	}
	f.onTime = 0
	if v != load.Missing {
		return
	}
	if f.before && date-f.missing < FreezeWithin {
		f.on = true
	}
	f.missing, f.before = date, true
}

// scored is what a waking date said.
type scored struct {
	pain, stiff       float64
	hasPain, hasStiff bool
}

// median holds progress while the middle score of seven dates is above that of the seven
// before.
type median struct {
	scores []scored // by date, as in the book
	since  load.Day // from which it has been so
	is     bool
}

func (m *median) set(i int, said *rehab.Morning) {
	var s scored
	if said.Next != nil && !said.Late {
		s.pain, s.hasPain = float64(*said.Next), true
	}
	if said.Stiffness != nil && !said.Late {
		s.stiff, s.hasStiff = float64(*said.Stiffness), true
	}
	m.scores[i] = s
}

// look takes the scores of a date and returns words if a hold begins. Unless mornings are
// asked for, a date of which nothing was said counts as usual from the start on.
func (p *planner) look(date load.Day) string {
	i := p.book.at(date)
	m := p.said(date)
	switch {
	case m != nil:
		p.median.set(i, m)
	case date > p.in.Start && !p.in.Asked:
		p.median.scores[i] = scored{p.in.Base.Pain, p.in.Base.Stiffness, true, p.in.Base.HasStiffness}
	}
	if date > p.lastSaid+2*MedianDays || i < 2*MedianDays {
		p.median.is = false // all as usual
		return ""
	}
	what, before, now, known := p.median.rise(i)
	switch {
	case what == "" && !known && date-p.median.since < MedianHold: // as it was
	case what == "":
		p.median.is = false
	case !p.median.is:
		p.median.is, p.median.since = true, date
		return p.say("; %v: the middle %s of the last %d mornings is %g, before %g: no stage up for %d days at most", date, what, MedianDays, now, before, MedianHold)
	}
	return ""
}

// said returns the morning of a date, after a run or after none.
func (p *planner) said(date load.Day) *rehab.Morning {
	if i := p.book.at(date - 1); i >= 0 && p.book.run[i] > 0 {
		return p.answers[date]
	}
	return p.resting[date]
}

// rise says which score is up, if one is; known: enough was said to tell.
func (m *median) rise(i int) (what string, before, now float64, known bool) {
	pain := func(s scored) (float64, bool) { return s.pain, s.hasPain }
	stiff := func(s scored) (float64, bool) { return s.stiff, s.hasStiff }
	last, ago := m.scores[i-MedianDays+1:i+1], m.scores[i-2*MedianDays+1:i-MedianDays+1]
	for _, s := range []struct {
		what string
		of   func(scored) (float64, bool)
		by   float64
	}{{"score", pain, MedianPain}, {"stiffness", stiff, MedianStiff}} {
		now, ok := middle(last, s.of)
		before, okBefore := middle(ago, s.of)
		if ok && okBefore && now-before >= s.by {
			return s.what, before, now, true
		}
		known = known || ok && okBefore
	}
	return "", 0, 0, known
}

// middle returns the median of what was said; ok is false for too few.
func middle(days []scored, of func(scored) (float64, bool)) (m float64, ok bool) {
	var buf [MedianDays]float64
	said := buf[:0]
	for _, d := range days {
		if v, ok := of(d); ok {
			said = append(said, v)
		}
	}
	if len(said) < MedianLeast {
		return 0, false
	}
	slices.Sort(said)
	n := len(said)
	return (said[(n-1)/2] + said[n/2]) / 2, true
}

// held says why no stage goes up on a morning, if so.
func (p *planner) held(date load.Day) string {
	stop, frozen := StopOn(p.in.Frozen, date)
	switch {
	case frozen:
		return "nothing grows: " + stop.Why
	case p.freeze.on:
		return "frozen until two mornings in a row are answered on time"
	case p.median.is && date-p.median.since < MedianHold:
		return "held, the middle of the week's mornings is up"
	}
	return ""
}

// wake lets a morning after a day without a run act: it ends the wait after a flare, or
// is one itself.
func (p *planner) wake(date load.Day) (Action, string) {
	m := p.said(date)
	ran := p.book.at(date) > 0 && p.book.run[p.book.at(date-1)] > 0
	if m != nil && !ran {
		j := rehab.Judge(m, p.in.baseOn(date), false, false, p.zones)
		switch {
		case j.Verdict == load.Flared && p.healing:
			p.flared(date) // the same flare goes on
		case j.Verdict == load.Flared:
			action, words := p.flare(date)
			return action, p.say("the morning flared (%s), %s", because(j), words)
		}
	}
	if p.healing || len(p.flares) > 0 && p.wide == FlaredRuns {
		p.heal(date, m, ran)
	}
	return "", ""
}

// heal ends the wait after a flare if a morning is as usual again, and begins it anew if a
// later one is not before the next run; silence ends it only where mornings are not asked for,
// and none after a rest day has said that it is not so.
func (p *planner) heal(date load.Day, m *rehab.Morning, ran bool) {
	back := m != nil && rehab.BackToBaseline(m, p.in.baseOn(date), p.zones)
	switch {
	case back && !m.Late, m == nil && !p.in.Asked && !p.unwell:
		p.healing, p.unwell = false, false
		p.woke = append(p.woke, rehab.Woke{Day: date, Back: true})
	case m != nil && m.Next != nil && !back && !ran && date > p.flares[len(p.flares)-1].Last:
		p.healing, p.unwell = true, true
	}
}
