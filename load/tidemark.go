package load

import "time"

// SpikeClass says how far a session stands over its tidemark. The bounds are
// those of Frandsen et al. 2025, Br J Sports Med 59:1203: up to 10 % is the
// reference, then up to 30 %, up to 100 %, and above. They were found for
// distance alone.
type SpikeClass uint8

// The classes. Unclassed is a session without a tidemark, or of a measure that
// has no classes.
const (
	Unclassed SpikeClass = iota
	NoSpike
	SmallSpike
	ModerateSpike
	LargeSpike
)

var classNames = [...]string{"", "none", "small", "moderate", "large"}

func (c SpikeClass) String() string { return classNames[c] }

// SpikeFigure is what the cohort showed of a class: how often runners were hurt after
// such sessions against those of up to 10 %, with its 95 % interval. It is theirs; no
// chance of anybody follows from it.
type SpikeFigure struct {
	Over             string
	Ratio, Low, High float64
}

// SpikeFigures are the hazard rate ratios of Frandsen et al. 2025, Br J Sports Med
// 59:1203 (18 months, 5,205 runners, distance alone, observational).
var SpikeFigures = map[SpikeClass]SpikeFigure{
	SmallSpike:    {"10 to 30 % over", 1.64, 1.31, 2.05},
	ModerateSpike: {"30 to 100 % over", 1.52, 1.16, 2.00},
	LargeSpike:    {"more than 100 % over", 2.28, 1.50, 3.48},
}

// tidemarkReach is how far back a session's tidemark looks, the far end
// included, and tidemarkDays the same for a day.
const (
	tidemarkReach = 30 * 24 * time.Hour
	tidemarkDays  = 30
)

// Classify returns the class of an amount against a tidemark above zero, on
// whole metres or seconds so that 13.2 km against 12 km is exactly 10 %.
func Classify(m Measure, amount, tidemark Amount) SpikeClass {
	a, t := m.whole(amount), m.whole(tidemark)
	switch {
	case 10*a <= 11*t:
		return NoSpike
	case 10*a <= 13*t:
		return SmallSpike
	case a <= 2*t:
		return ModerateSpike
	}
	return LargeSpike
}

// whole rounds to the grain on which amounts are compared: a metre, a second, a
// whole unit.
func (m Measure) whole(a Amount) Amount {
	grain := Amount(1)
	if measureTable[m].parts >= 1000 {
		grain = 1000
	}
	return (a + grain/2) / grain
}

// layTidemarks gives each bout from one on the longest that started in the 30 x 24 h before
// its own start.
func (h *History) layTidemarks(first int) {
	from := max(0, first-1)
	for from > 0 && h.bouts[from-1].day >= h.bouts[first-1].day-tidemarkDays-1 {
		from--
	}
	for i := first; i < len(h.bouts); i++ {
		b := &h.bouts[i]
		for h.bouts[from].day < b.day-tidemarkDays-1 {
			from++
		}
		for j := from; j < len(h.bouts) && h.bouts[j].day <= b.day+1; j++ {
			c := &h.bouts[j]
			if c.start < b.start && b.start.Sub(c.start) <= tidemarkReach && !c.estimated {
				b.tidemark = max(b.tidemark, c.amount)
				if !c.race && c.verdict != Flared {
					b.tolerated = max(b.tolerated, c.amount)
				}
			}
		}
	}
}

// tidemarkOn returns the longest bout of the 30 days before day, or zero.
func (h *History) tidemarkOn(day Day) (longest Amount) {
	before := h.between(day-tidemarkDays, day-1)
	for i := range before {
		if b := &before[i]; !b.estimated {
			longest = max(longest, b.amount)
		}
	}
	return longest
}

// over10 reports whether an amount is more than 10 % over a tidemark, or there is
// none.
func (h *History) over10(amount, tidemark Amount) bool {
	return tidemark == 0 || Classify(h.measure, amount, tidemark) != NoSpike
}

// SessionRow is what the windows say of one bout: sessions less than half an
// hour apart are one row with the first's ID, day and start.
type SessionRow struct {
	ID           string
	Day          Day
	Start        Instant
	Load         Amount // a lower bound where a part of it lacks the measure
	Lacking      bool   // all of it lacks the measure
	Tidemark     Value  // in the measure's unit
	HeldTidemark Value
	Spike        Value      // share over the tidemark
	Class        SpikeClass // of distances with a tidemark
	Low, High    Value      // the ends of an estimate with a band, in the measure's unit
	Race         bool       // accepted: no warning of its length
	UpperBound   bool       // a missed run may make the spike smaller
	Provisional  bool       // less than 30 days of history
}

// SessionRows returns the bouts that started from first to last, in order.
func (h *History) SessionRows(first, last Day) []SessionRow {
	bouts := h.between(first, last)
	rows := make([]SessionRow, len(bouts))
	for i := range bouts {
		rows[i] = h.sessionRow(&bouts[i])
		rows[i].Low, rows[i].High = h.band(&bouts[i])
	}
	return rows
}

func (h *History) sessionRow(b *bout) SessionRow {
	row := SessionRow{
		ID: b.id, Day: b.day, Start: b.start, Load: b.amount, Lacking: !b.some,
		Tidemark:     h.amountValue(b.tidemark),
		HeldTidemark: h.amountValue(h.held[b.day-h.first]),
		Race:         b.race,
		UpperBound:   h.upperBound(int(b.day - h.first)),
		Provisional:  h.provisional(b.day),
	}
	switch {
	case !b.complete:
		row.Spike = Undefined(ReasonNotRecorded)
	case b.tidemark == 0:
		row.Spike = Undefined(ReasonNoTidemark)
	default:
		row.Spike = Known(float64(b.amount)/float64(b.tidemark) - 1)
		if h.measure == Distance {
			row.Class = Classify(h.measure, b.amount, b.tidemark)
		}
	}
	return row
}

// band sums the ends of what the sessions of a bout may have asked.
func (h *History) band(b *bout) (low, high Value) {
	var least, most Amount
	banded := false
	for i, s := range h.runs[b.runs[0]:b.runs[1]] {
		from, to, ok := h.in.Settings.on(s.Day).Band(s, h.measure)
		if !ok {
			from, to = h.amounts[b.runs[0]+i].Amount, h.amounts[b.runs[0]+i].Amount
		}
		least, most, banded = least+from, most+to, banded || ok
	}
	if !banded {
		return Undefined(ReasonNotRecorded), Undefined(ReasonNotRecorded)
	}
	return Known(h.measure.In(least)), Known(h.measure.In(most))
}

// amountValue is a tidemark in the measure's unit; zero stands for none.
func (h *History) amountValue(a Amount) Value {
	if a == 0 {
		return Undefined(ReasonNoTidemark)
	}
	return Known(h.measure.In(a))
}

// provisional reports whether day lies within the first 30 days of history.
func (h *History) provisional(day Day) bool { return day-h.first+1 < tidemarkDays }
