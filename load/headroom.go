package load

import (
	"math"
	"slices"
	"sort"
)

// HeadroomState says what kind of answer a headroom is.
type HeadroomState string

// The states of a headroom.
const (
	Open           HeadroomState = "open"
	Provisional    HeadroomState = "provisional"   // less than 30 days of history
	Uncertain      HeadroomState = "unknown"       // nothing is known of some of the last seven days
	HeldBack       HeadroomState = "held"          // not to run until a day
	LedByClinician HeadroomState = "clinician-led" // only what a clinician has typed
	RaceDay        HeadroomState = "race"          // a planned race: no number, but what is known of such a race
)

// The limits of this package. Others come from their own packages as values.
const (
	LimitSession = "session"
	LimitDay     = "day"
	LimitWeek    = "week"
	LimitBreak   = "break"
	LimitRace    = "race"

	LimitClinicianLed = "clinician-led"
)

// Limit is one rule's answer for a day: the ceiling, and what counts against it
// already.
type Limit struct {
	Rule  string
	Value Amount // what counts against it already
	Limit Amount
	Why   string // one sentence with the numbers
	Alone bool   // the limits of this package are not asked beside it: it has them in itself
}

// Room returns what the limit still allows, never less than nothing.
func (l Limit) Room() Amount { return max(0, l.Limit-l.Value) }

// Headroom is the largest session of a day such that every limit holds. It is a
// roof, never a plan.
type Headroom struct {
	Day     Day
	Measure Measure
	State   HeadroomState
	Amount  Amount
	Decides string // the rule with the least room
	Usual   Value  // in the measure's unit: the median of this weekday
	Said    Value  // the same as a newcomer said: a usual week by its runs
	Limits  []Limit

	Race      *PlannedRace // of RaceDay
	RaceClass SpikeClass   // of its distance against the longest run of the 30 days before
}

// Limited reports whether the limits are defined for m; for exertion and steps
// there is no headroom.
func (m Measure) Limited() bool { return m.IsLength() || m.IsTime() }

// Headroom answers for day, which is today or before it, with what was run
// before the instant as given: the runs of the day itself that started earlier
// count against it. Other packages' limits come in as more. It panics for a
// measure that is not Limited, and after the history's last day.
func (h *History) Headroom(day Day, before Instant, more []Limit) Headroom {
	if !h.measure.Limited() {
		panic("load: Headroom: no limits for " + h.measure.String())
	}
	if day > h.in.Today {
		panic("load: Headroom: day after today")
	}
	room := Headroom{Day: day, Measure: h.measure, State: h.state(day), Usual: h.usual(day), Said: h.said(day)}
	h.setRace(&room)
	if !slices.ContainsFunc(more, func(l Limit) bool { return l.Alone }) {
		room.Limits = h.limits(day, before)
	}
	room.Limits = append(room.Limits, more...)
	room.Amount = math.MaxInt64
	for _, l := range room.Limits {
		if r := l.Room(); r < room.Amount || r == room.Amount && l.holds() {
			room.Amount, room.Decides = r, l.Rule
		}
		if l.holds() && room.State != LedByClinician {
			room.State = HeldBack
		}
		if l.Rule == LimitClinicianLed {
			room.State = LedByClinician
		}
	}
	if room.State == RaceDay { // no limit speaks
		room.Amount, room.Decides, room.Limits = 0, "", nil
	}
	return room
}

// setRace makes a headroom that of a race day, if one is planned.
func (h *History) setRace(room *Headroom) {
	race, ok := h.in.raceOn(room.Day)
	if !ok {
		return
	}
	room.State, room.Race = RaceDay, &race
	if tidemark := h.tidemarkOn(room.Day); h.measure == Distance && race.Distance > 0 && tidemark > 0 {
		room.RaceClass = Classify(Distance, race.Distance, tidemark)
	}
}

// holds reports whether l keeps the runner from running at all: the race limit
// and those of other packages do, the others are only used up.
func (l Limit) holds() bool {
	switch l.Rule {
	case LimitSession, LimitDay, LimitWeek, LimitBreak:
		return false
	}
	return l.Limit == 0
}

// state is Provisional and Uncertain by what is known of the days before.
func (h *History) state(day Day) HeadroomState {
	if h.Empty() || day < h.first || h.provisional(day) {
		return Provisional
	}
	for d := day - weekDays + 1; d <= day; d++ {
		if h.days[d-h.first].state == Unknown {
			return Uncertain
		}
	}
	return Open
}

// limits asks every limit of this package. While a break is in force its own
// week stands in for the week limit: there is no week since the return to grow
// from.
func (h *History) limits(day Day, before Instant) []Limit {
	told := h.baseline(day)
	if h.Empty() || day < h.first {
		if told.longest == 0 {
			return []Limit{h.stepIn(day, 0, "no run is known yet")}
		}
		return h.toldLimits(told)
	}
	var limits []Limit
	today := h.startedBefore(day, before)
	longest := h.longestHeld(day)
	if told.longest > longest.amount {
		longest = base{amount: told.longest, told: true}
	}
	if longest.amount > 0 {
		limits = append(limits, h.sessionLimit(day, longest))
		limits = append(limits, h.dayLimit(day, today, longest))
	}
	inBreak := h.breakOn(day).class != noBreak
	if inBreak || longest.amount == 0 {
		limits = append(limits, h.breakLimit(day, today, before, longest.amount == 0))
	}
	if !inBreak {
		limits = append(limits, h.weekLimit(day, h.weekBefore(day, before), told))
	}
	return append(limits, h.raceLimits(day)...)
}

// startedBefore sums the runs of day that started before the instant, by their
// own day, as the days' sums do.
func (h *History) startedBefore(day Day, before Instant) (sum Amount) {
	const reach = Instant(48 * 3600 * 1000) // a day's starts lie within it of its noon, in every zone
	noon := InstantOf(day.Noon())
	from := sort.Search(len(h.runs), func(i int) bool { return h.runs[i].Start > noon-reach })
	for i, s := range h.runs[from:] {
		if s.Start > noon+reach {
			break
		}
		if s.Day == day && s.Start < before {
			sum += h.amounts[from+i].Amount
		}
	}
	return sum
}

// weekBefore sums the six days before day and what started on it before the
// instant.
func (h *History) weekBefore(day Day, before Instant) Amount {
	sum := h.startedBefore(day, before)
	for d := max(h.first, day-weekDays+1); d < day; d++ {
		sum += h.days[d-h.first].sum
	}
	return sum
}

// usual returns the median of the day's running on the same weekday over the
// eight weeks before, of three or more that are known.
func (h *History) usual(day Day) Value {
	var loads []Amount
	for week := Day(1); week <= 8; week++ {
		d := day - 7*week
		if i := int(d - h.first); !h.Empty() && i >= 0 && i < len(h.days) && h.days[i].runs > 0 && h.days[i].state != Unknown {
			loads = append(loads, h.days[i].sum)
		}
	}
	if len(loads) < 3 {
		return Undefined(ReasonHistory)
	}
	return Known(h.measure.In(medianAmount(loads)))
}

// medianAmount sorts amounts and returns the middle, or the mean of the middle two
// rounded down. It panics on none.
func medianAmount(amounts []Amount) Amount {
	slices.Sort(amounts)
	n := len(amounts)
	return (amounts[(n-1)/2] + amounts[n/2]) / 2
}
