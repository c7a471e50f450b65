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
	hasPain  bool
	taken    int // of the typed ones, so far

	typedPain, typedStiff bool
}

// at returns the baseline that a morning is judged by. Mornings come in order of day.
func (b *baseOf) at(m *Morning) Baseline {
	for ; b.taken < len(b.c.Bases) && b.c.Bases[b.taken].From <= m.Day; b.taken++ {
		b.take(b.c.Bases[b.taken])
	}
	b.fall(m.Day)
	next, stiffness := m.usual()
	if next == nil {
		return b.now
	}
	b.mornings = append(b.mornings, Morning{Day: m.Day, Next: next, Stiffness: stiffness})
	b.first(&b.mornings[len(b.mornings)-1])
	return b.now
}

// take takes what a person typed, each field by itself.
func (b *baseOf) take(t Base) {
	if t.Pain != nil {
		b.now.Pain, b.hasPain, b.typedPain = *t.Pain, true, true
	}
	if t.Stiffness != nil {
		b.now.Stiffness, b.now.HasStiffness, b.typedStiff = *t.Stiffness, true, true
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
	case b.typedPain:
	case early && len(pains) >= firstLeast:
		b.now.Pain = medianOf(pains)
	case !b.hasPain:
		b.now.Pain, b.hasPain = min(mostFirst, float64(*m.Next)), true
	}
	switch {
	case b.typedStiff:
	case early && len(stiff) >= firstLeast:
		b.now.Stiffness, b.now.HasStiffness = medianOf(stiff), true
	case !b.now.HasStiffness && m.Stiffness != nil:
		b.now.Stiffness, b.now.HasStiffness = float64(*m.Stiffness), true
	}
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
	if len(pains) >= quietLeast && b.hasPain {
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
