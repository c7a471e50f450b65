package load

import (
	"math"
	"slices"
)

// DayRow is what the windows say of one day. Sums, tidemarks and averages are in
// the measure's unit; what is undefined carries its reason.
type DayRow struct {
	Date  Day
	State DayState
	Load  float64

	Acute                            float64 // sum of the last seven days, this one included
	AcuteMost                        Value   // the same if on each unknown day of them a long run was missed
	ChronicCoupled, ChronicUncoupled Value   // sums per seven days
	RatioCoupled, RatioUncoupled     Value
	EWMAAcute, EWMAChronic           Value // per day
	RatioEWMA                        Value
	WeekChange, WeekChangeShare      Value
	Monotony, Strain                 Value
	PopulationSD                     bool // the deviation in them is that of n, not of n-1
	Tidemark, HeldTidemark           Value
	Spike                            Value // of the day's worst session
	Class                            SpikeClass

	History                                int // days since the first run, this one included
	KnownDays7, KnownDays28, AssumedDays28 int
	KnownDays30                            int  // of the 30 before this one, which the tidemark is of
	UpperBound                             bool // a missed run may make the spike smaller: some of those are unknown
	Provisional                            bool // less than 30 days of history
	Settling                               bool // less than 84: the averages still remember their start
}

// The lengths of history, in days, from which each value is defined.
const (
	weekDays     = 7
	changeDays   = 14
	chronicDays  = 28
	leastKnown   = 24 // of the 28
	settlingDays = 84
)

// The spans N of the exponential averages, lambda = 2/(N+1) (Williams et al.
// 2017, Br J Sports Med 51:209).
const (
	acuteLambda   = 2.0 / (7 + 1)
	chronicLambda = 2.0 / (28 + 1)
)

// DayRows returns one row for each day from first to last that lies within the
// history, in order. An empty history has none.
func (h *History) DayRows(first, last Day) []DayRow {
	if h.Empty() {
		return nil
	}
	first, last = max(first, h.first), min(last, h.in.Today)
	if first > last {
		return nil
	}
	rows := make([]DayRow, 0, last-first+1)
	var acute, chronic average
	acute.decay, chronic.decay = 1-acuteLambda, 1-chronicLambda
	for i := range h.days {
		day := h.first + Day(i)
		if day > last {
			break
		}
		known := h.days[i].state != Unknown
		acute.step(h.load(i), known)
		chronic.step(h.load(i), known)
		if day >= first {
			rows = append(rows, h.dayRow(i, &acute, &chronic))
		}
	}
	return rows
}

// average is an exponential average whose weights are normalised over the known
// days, so that neither its start nor a gap pulls it to zero (load reference
// 3.2).
type average struct{ decay, sum, weight float64 }

func (a *average) step(load float64, known bool) {
	a.sum = float64(a.sum * a.decay)
	a.weight = float64(a.weight * a.decay)
	if known {
		a.sum += load
		a.weight++
	}
}

func (a *average) value() Value {
	if a.weight == 0 {
		return Undefined(ReasonUnknownDays)
	}
	return Known(a.sum / a.weight)
}

// load returns the load of the i-th day in the measure's unit.
func (h *History) load(i int) float64 { return h.measure.In(h.days[i].sum) }

func (h *History) dayRow(i int, acute, chronic *average) DayRow {
	day := h.first + Day(i)
	row := DayRow{
		Date: day, State: h.days[i].state, Load: h.load(i),
		Acute:     h.measure.In(h.week(i)),
		EWMAAcute: acute.value(), EWMAChronic: chronic.value(),
		Tidemark:     h.amountValue(h.tidemarkOn(day)),
		HeldTidemark: h.amountValue(h.held[i]),
		History:      i + 1,
		Provisional:  h.provisional(day), Settling: i+1 < settlingDays,
	}
	h.countDays(i, &row)
	row.UpperBound = h.upperBound(i)
	h.bound(i, &row)
	h.ratios(i, &row)
	h.change(i, &row)
	h.variation(i, &row)
	h.worst(day, &row)
	return row
}

// countDays fills how much is known of the days that windows look at.
func (h *History) countDays(i int, row *DayRow) {
	from := max(0, i-chronicDays+1)
	row.KnownDays28, row.AssumedDays28 = h.known[i+1]-h.known[from], h.assumed[i+1]-h.assumed[from]
	row.KnownDays7 = h.known[i+1] - h.known[max(0, i-weekDays+1)]
	row.KnownDays30 = h.knownBefore(i)
}

// knownBefore counts the known ones of the 30 days before the i-th that lie in the
// history.
func (h *History) knownBefore(i int) int { return h.known[i] - h.known[max(0, i-tidemarkDays)] }

// upperBound reports whether some of the 30 days before the i-th are unknown, so that
// a spike is one against what is known.
func (h *History) upperBound(i int) bool { return h.knownBefore(i) < min(i, tidemarkDays) }

// bound fills the most that the last seven days may have been: on each unknown day of
// them a run that nine of ten running days of the year before were no longer than
// (load reference 10.1).
func (h *History) bound(i int, row *DayRow) {
	unknown := min(i+1, weekDays) - row.KnownDays7
	if unknown == 0 {
		row.AcuteMost = Known(row.Acute)
		return
	}
	var ran []Amount
	for j := max(0, i-boundDays+1); j <= i; j++ {
		if d := &h.days[j]; d.runs > 0 && d.state != Unknown {
			ran = append(ran, d.sum)
		}
	}
	if len(ran) == 0 {
		row.AcuteMost = Undefined(ReasonUnknownDays)
		return
	}
	slices.Sort(ran)
	long := ran[(9*len(ran)+9)/10-1]
	row.AcuteMost = Known(row.Acute + float64(float64(unknown)*h.measure.In(long)))
}

// boundDays is how far back a long run is looked for; project default.
const boundDays = 365

// week returns the sum of the seven days up to the i-th; days before the
// history count nothing.
func (h *History) week(i int) Amount { return h.sums[i+1] - h.sums[max(0, i-weekDays+1)] }

// ratios fills the workload ratios: coupled A/((A+W1+W2+W3)/4), uncoupled
// A/((W1+W2+W3)/3), and that of the averages. They describe; nothing is judged
// by them (load reference 3.6 and 3.7).
func (h *History) ratios(i int, row *DayRow) {
	why := NoReason
	if i+1 < chronicDays {
		why = ReasonHistory
		row.ChronicCoupled, row.ChronicUncoupled = Undefined(why), Undefined(why)
	} else {
		before := h.week(i-7) + h.week(i-14) + h.week(i-21)
		row.ChronicCoupled = Known(h.measure.In(h.week(i)+before) / 4)
		row.ChronicUncoupled = Known(h.measure.In(before) / 3)
		if row.KnownDays28 < leastKnown {
			why = ReasonUnknownDays
		}
	}
	floor := measureTable[h.measure].ratioFloor
	row.RatioCoupled = divide(row.Acute, row.ChronicCoupled, floor, why)
	row.RatioUncoupled = divide(row.Acute, row.ChronicUncoupled, floor, why)
	acute, _ := row.EWMAAcute.Get()
	row.RatioEWMA = divide(acute, row.EWMAChronic, 0, why)
}

// divide returns a/by, unless why says not to or by is below floor or zero.
func divide(a float64, by Value, floor float64, why Reason) Value {
	b, ok := by.Get()
	switch {
	case why != NoReason:
		return Undefined(why)
	case !ok:
		return Undefined(by.Reason())
	case b < floor || b == 0:
		return Undefined(ReasonFloor)
	}
	return Known(a / b)
}

// change fills the difference between this week and the one before.
func (h *History) change(i int, row *DayRow) {
	if i+1 < changeDays {
		row.WeekChange, row.WeekChangeShare = Undefined(ReasonHistory), Undefined(ReasonHistory)
		return
	}
	now, before := h.week(i), h.week(i-weekDays)
	row.WeekChange = Known(h.measure.In(now - before))
	row.WeekChangeShare = Undefined(ReasonZeroWeek)
	if before > 0 {
		row.WeekChangeShare = Known(float64(now-before) / float64(before))
	}
}

// variation fills Foster's monotony, mean over standard deviation of the seven
// day loads, and strain, the week times monotony (Foster et al. 2001, J Strength
// Cond Res 15:109). The paper does not say which deviation; the setting does.
func (h *History) variation(i int, row *DayRow) {
	row.PopulationSD = h.in.Settings.on(row.Date).PopulationSD == 1
	why := NoReason
	if i+1 < weekDays {
		why = ReasonHistory
	}
	var week [weekDays]float64
	loads := week[:0]
	for j := max(0, i-weekDays+1); j <= i; j++ {
		loads = append(loads, h.load(j))
		if why == NoReason && h.days[j].state == Unknown {
			why = ReasonUnknownDays
		}
	}
	if why != NoReason {
		row.Monotony, row.Strain = Undefined(why), Undefined(why)
		return
	}
	row.Monotony = Monotony(loads, row.PopulationSD)
	row.Strain = row.Monotony
	if m, ok := row.Monotony.Get(); ok {
		row.Strain = Known(m * row.Acute)
	}
}

// Monotony returns the mean of loads over their standard deviation, with the
// sample form (n-1) or the population form (n). It is undefined where all are
// equal, and panics on fewer than two.
func Monotony(loads []float64, population bool) Value {
	n := float64(len(loads))
	if n < 2 {
		panic("load: Monotony: fewer than two loads")
	}
	sum := 0.0
	for _, v := range loads {
		sum += v
	}
	mean, squares := sum/n, 0.0
	for _, v := range loads {
		squares += float64((v - mean) * (v - mean))
	}
	if squares <= 1e-18*sum*sum {
		return Undefined(ReasonNoVariation)
	}
	if !population {
		n--
	}
	return Known(mean / math.Sqrt(squares/n))
}

// worst fills the spike of the day's worst session.
func (h *History) worst(day Day, row *DayRow) {
	row.Spike = Undefined(ReasonNotRecorded)
	for i := range h.on(day) {
		s := h.sessionRow(&h.on(day)[i])
		now, had := row.Spike.Get()
		if v, ok := s.Spike.Get(); ok && (!had || v > now) {
			row.Spike, row.Class = s.Spike, s.Class
		} else if !had && row.Spike.Reason() == ReasonNotRecorded {
			row.Spike = s.Spike
		}
	}
}
