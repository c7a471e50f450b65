package rehab

import (
	"slices"

	"tidemark/load"
)

// How a baseline comes about where nobody typed one; project defaults.
const (
	firstDays  = 7 // after opening, whose mornings it is made of
	firstLeast = 3 // of them
	mostFirst  = 2 // that a first score alone may set
	quietDays  = 7 // whose mornings it falls to
	quietLeast = 3 // of them, none after a run
)

// baseOf follows the baseline of a complaint from morning to morning.
type baseOf struct {
	c        *Complaint
	ran      func(load.Day) bool
	mornings []Morning // of the complaint so far, with a score
	now      Baseline
	has      bool
	typed    Base // the latest that a person typed
}

// at returns the baseline that a morning is judged by. Mornings come in order of day.
func (b *baseOf) at(m *Morning) Baseline {
	for _, t := range b.c.Bases {
		if t.From <= m.Day && (b.typed.Pain == nil && b.typed.Stiffness == nil || t.From >= b.typed.From) {
			b.type_(t)
		}
	}
	b.fall(m.Day)
	if m.Next == nil || m.Late {
		return b.now
	}
	b.mornings = append(b.mornings, *m)
	b.first(m)
	return b.now
}

// type_ takes what a person typed, once.
func (b *baseOf) type_(t Base) {
	if b.typed == t {
		return
	}
	b.typed, b.has = t, true
	if t.Pain != nil {
		b.now.Pain = *t.Pain
	}
	if t.Stiffness != nil {
		b.now.Stiffness, b.now.HasStiffness = *t.Stiffness, true
	}
}

// first makes a baseline of the mornings of the first week: of the first alone at most
// 2, of three or more their medians. What a person typed stands.
func (b *baseOf) first(m *Morning) {
	var pains, stiff []float64
	for _, q := range b.mornings {
		if q.Day < b.c.Opened()+firstDays {
			pains = append(pains, float64(*q.Next))
			if q.Stiffness != nil {
				stiff = append(stiff, float64(*q.Stiffness))
			}
		}
	}
	early := m.Day < b.c.Opened()+firstDays
	switch {
	case b.typed.Pain != nil:
	case early && len(pains) >= firstLeast:
		b.now.Pain = medianOf(pains)
	case !b.has:
		b.now.Pain = min(mostFirst, float64(*m.Next))
	}
	switch {
	case b.typed.Stiffness != nil:
	case early && len(stiff) >= firstLeast:
		b.now.Stiffness, b.now.HasStiffness = medianOf(stiff), true
	case !b.now.HasStiffness && m.Stiffness != nil:
		b.now.Stiffness, b.now.HasStiffness = float64(*m.Stiffness), true
	}
	b.has = true
}

// fall lowers the baseline to the median of the last days' mornings that followed no
// run. It never rises by itself.
func (b *baseOf) fall(day load.Day) {
	var pains, stiff []float64
	for _, q := range b.mornings {
		if q.Day < day-quietDays || q.Day >= day || b.ran(q.Day-1) {
			continue
		}
		pains = append(pains, float64(*q.Next))
		if q.Stiffness != nil {
			stiff = append(stiff, float64(*q.Stiffness))
		}
	}
	if len(pains) >= quietLeast && b.has {
		b.now.Pain = min(b.now.Pain, medianOf(pains))
	}
	if len(stiff) >= quietLeast && b.now.HasStiffness {
		b.now.Stiffness = min(b.now.Stiffness, medianOf(stiff))
	}
}

// medianOf sorts values and returns the middle, or the mean of the middle two. It panics
// on none.
func medianOf(values []float64) float64 {
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
