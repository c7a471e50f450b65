package load

import "slices"

// heldWait is the number of uneventful days after which a run that nobody asked
// a morning about carries the limits (project default).
const heldWait = 7

// layHeld decides for each bout from which day on it is held, and for each day
// the held tidemark: the longest counted length of the 30 days before. A bout waits
// for a week, so that those of the week before the first day are decided anew.
func (h *History) layHeld(from int) {
	h.layEventful(from)
	h.held = grown(h.held[:from], len(h.days))
	decided := max(0, from-heldWait)
	h.counted = grown(h.counted[:min(decided+1, len(h.counted))], len(h.days)+1)
	for i := decided; i < len(h.days); i++ {
		day := h.first + Day(i)
		if i >= from {
			h.held[i] = h.longestCounted(day)
		}
		today := h.on(day)
		for j := range today {
			b := &today[j]
			b.waiting = min(b.amount, h.held[i])
			b.heldFrom = h.heldFrom(b)
		}
		h.counted[i+1] = h.counted[i] + h.countedTotal(day)
	}
}

// longestCounted returns the longest counted length of the 30 days before one.
func (h *History) longestCounted(day Day) (longest Amount) {
	before := h.between(day-tidemarkDays, day-1)
	for j := range before {
		if b := &before[j]; !b.estimated {
			longest = max(longest, b.countedOn(day))
		}
	}
	return longest
}

// layEventful notes for each day from one on whether something happened that speaks
// against taking a run as tolerated: a flared morning, an open complaint, a break
// limit.
func (h *History) layEventful(from int) {
	h.eventful = grown(h.eventful[:from], len(h.days))
	for i := from; i < len(h.days); i++ {
		day := h.first + Day(i)
		h.eventful[i] = h.breaks[i].now.class != noBreak || h.in.complaintOn(day)
		if h.bad {
			h.eventful[i] = h.eventful[i] || slices.ContainsFunc(h.on(day-1), func(b bout) bool { return b.verdict == Flared })
		}
	}
}

// heldFrom returns the day from which on b is held. A race, or a run that flared,
// is no length that another may repeat at once.
func (h *History) heldFrom(b *bout) Day {
	switch {
	case b.race || b.verdict == Flared:
		return never
	case !h.over10(b.amount, b.tolerated):
		return b.day
	case b.verdict == Settled:
		return b.day + 1
	case h.in.complaintOn(b.day):
		return never
	}
	for day := b.day + 1; day <= b.day+heldWait; day++ {
		if i := int(day - h.first); i >= len(h.eventful) || h.eventful[i] {
			return never
		}
	}
	return b.day + heldWait
}

// countedOn returns the length that b counts in the limits of day, which is
// later than its own: all of it if it is held by then or only unsettled, else no
// more than the held tidemark it had. An estimate never counts more than that.
func (b *bout) countedOn(day Day) Amount {
	whole := b.heldFrom <= day || b.verdict == Unsettled && !b.race
	if whole && !b.estimated {
		return b.amount
	}
	return b.waiting
}

// countedFinal is countedOn after the seven days in which it can change.
func (b *bout) countedFinal() Amount { return b.countedOn(b.day + heldWait) }

// countedTotal returns the sum of the final counted lengths of a day.
func (h *History) countedTotal(day Day) (sum Amount) {
	bouts := h.on(day)
	for i := range bouts {
		sum += bouts[i].countedFinal()
	}
	return sum
}
