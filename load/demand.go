package load

import "fmt"

// demand is what a run asked besides its length.
type demand struct {
	has   bool
	value float64 // in the kind's unit
}

// demandKind is one way in which a run can ask something new.
type demandKind struct {
	unit  string
	least func(*Settings) float64 // over the best
	text  func(d *demands, value, best float64) string
}

// The kinds of demand.
const (
	fastDemand = iota
	ascentDemand
	tendonDemand
	demandKinds
)

var demandTable = [demandKinds]demandKind{
	fastDemand: {"min", func(s *Settings) float64 { return s.FastMin }, func(d *demands, value, best float64) string {
		return fmt.Sprintf("%.0f min faster than %s, and at most %.0f in one run of the 30 days before", value, perKM(d.limit/10), best)
	}},
	ascentDemand: {"m", func(s *Settings) float64 { return s.AscentM }, func(_ *demands, value, best float64) string {
		return fmt.Sprintf("%.0f m of ascent, and at most %.0f m in one run of the 30 days before", value, best)
	}},
	tendonDemand: {"km", func(s *Settings) float64 { return s.TendonLeast }, func(_ *demands, value, best float64) string {
		return fmt.Sprintf("a tendon load of %.1f km at 3 m/s (an estimate), and at most %.1f in one run of the 30 days before", value, best)
	}},
}

// perKM writes a speed in m/s as a pace.
func perKM(v float64) string {
	seconds := int(1000/v + 0.5)
	return fmt.Sprintf("%d:%02d min/km", seconds/60, seconds%60)
}

// The speeds of four weeks; project defaults.
const (
	speedSteps  = 160       // tenths of m/s
	leastPaced  = 3_600_000 // ms of running that a median speed must be of
	speedWindow = 28        // days
)

// demands goes through the bouts and knows the usual speed of the weeks before.
type demands struct {
	h     *History
	asked [][demandKinds]demand
	usual [speedSteps]int64 // ms in the window, by tenths of m/s
	total int64
	from  int // bouts in the window
	to    int
	limit float64 // tenths of m/s above which is fast; zero: not known
}

// demands finds runs that asked for much more than any of the 30 days before: fast
// minutes, ascent, tendon load, or other shoes. The first 30 days have nothing to
// hold against.
func (h *History) demands() (found []Trigger) {
	d := demands{h: h, asked: make([][demandKinds]demand, len(h.bouts))}
	first := 0
	for i := range h.bouts {
		b := &h.bouts[i]
		set := h.in.Settings.on(b.day)
		d.slide(b.day, set)
		d.asked[i] = d.ask(b, set)
		for h.bouts[first].day < b.day-tidemarkDays {
			first++
		}
		if b.told || h.provisional(b.day) {
			continue
		}
		found = append(found, d.judge(i, first, set)...)
	}
	return found
}

// slide moves the window of speeds to the days before one.
func (d *demands) slide(day Day, set *Settings) {
	for ; d.to < len(d.h.bouts) && d.h.bouts[d.to].day < day; d.to++ {
		d.count(&d.h.bouts[d.to], 1)
	}
	for ; d.from < d.to && d.h.bouts[d.from].day < day-speedWindow; d.from++ {
		d.count(&d.h.bouts[d.from], -1)
	}
	d.limit = 0
	if d.total < leastPaced {
		return
	}
	var slower int64
	for step := range d.usual {
		if slower += d.usual[step]; 2*slower >= d.total {
			d.limit = float64(step) * set.FastFactor
			return
		}
	}
}

// count adds the speeds of a bout to the window, or with -1 takes them out.
func (d *demands) count(b *bout, sign int64) {
	for _, s := range d.h.runs[b.runs[0]:b.runs[1]] {
		s.Speeds.Each(func(step int, ms int64) {
			d.usual[min(step, speedSteps-1)] += sign * ms
			d.total += sign * ms
		})
	}
}

// ask sums what the runs of a bout asked for.
func (d *demands) ask(b *bout, set *Settings) (asked [demandKinds]demand) {
	add := func(kind int, value float64) {
		asked[kind].has = true
		asked[kind].value += value
	}
	for _, s := range d.h.runs[b.runs[0]:b.runs[1]] {
		if s.HasAscent {
			add(ascentDemand, float64(s.Ascent))
		}
		if r, ok := set.Reading(s, Tendon); ok {
			add(tendonDemand, Tendon.In(r.Amount))
		}
		if d.limit == 0 {
			continue
		}
		s.Speeds.Each(func(step int, ms int64) {
			if float64(step) > d.limit {
				add(fastDemand, float64(ms)/60e3)
			} else {
				add(fastDemand, 0)
			}
		})
	}
	return asked
}

// judge holds the i-th bout against those from first on.
func (d *demands) judge(i, first int, set *Settings) (found []Trigger) {
	h, b := d.h, &d.h.bouts[i]
	level := Remark
	if h.in.complaintOn(b.day) {
		level = Caution
	}
	for kind := range demandTable {
		value, least := d.asked[i][kind].value, demandTable[kind].least(set)
		if value <= least { // as is what was not recorded
			continue
		}
		best, any := d.best(kind, i, first)
		limit := max(best*(1+set.DemandShare), best+least)
		if !any || value <= limit {
			continue
		}
		e := evidence(RuleNewDemand, b.day, b.id, level)
		e.Value, e.Limit, e.Unit = value, limit, demandTable[kind].unit
		e.Text = demandTable[kind].text(d, value, best)
		found = append(found, Trigger{e, b.day})
	}
	if shoe := h.newShoe(i, first); shoe != "" {
		e := evidence(RuleNewDemand, b.day, b.id, level)
		e.Text = fmt.Sprintf("shoes not worn in the 30 days before: %s", shoe)
		found = append(found, Trigger{e, b.day})
	}
	return found
}

// best returns the most that one bout before the i-th asked for, by the measure of the
// i-th: the same speed is fast, and the runner's settings are those of its day.
func (d *demands) best(kind, i, first int) (best float64, any bool) {
	day := d.h.bouts[i].day
	set := d.h.in.Settings.on(day)
	for k := first; k < i && d.h.bouts[k].day < day; k++ {
		if q := d.ask(&d.h.bouts[k], set)[kind]; q.has {
			best, any = max(best, q.value), true
		}
	}
	return best, any
}

// newShoe returns the shoes of the i-th bout if others were worn in the bouts from
// first on, and these were not.
func (h *History) newShoe(i, first int) string {
	shoe := h.shoeOf(&h.bouts[i])
	if shoe == "" {
		return ""
	}
	others := false
	for k := first; k < i; k++ {
		switch was := h.shoeOf(&h.bouts[k]); was {
		case shoe:
			return ""
		case "":
		default:
			others = true
		}
	}
	if !others {
		return ""
	}
	return shoe
}

// shoeOf returns the shoes that the runner named for a bout.
func (h *History) shoeOf(b *bout) string {
	for _, s := range h.runs[b.runs[0]:b.runs[1]] {
		if s.Shoe != "" {
			return s.Shoe
		}
	}
	return ""
}
