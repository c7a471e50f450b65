package assess

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"tidemark/load"
	"tidemark/load/rehab"
)

// Evidence is how often the days of a runner, or of several, fell into the classes that
// studies counted by. It describes logbooks; CannotShow says what does not follow.
type Evidence struct {
	First, Last load.Day // the days that were looked at
	PersonDays  int      // of them known, and past the first 30 days of history
	LeftOut     int      // unknown, or among the first 30
	BySpike     []Count
	ByRatio     []Count
	// Complaints that began on a day that was counted, by the worst run of the three days up
	// to it, and by the ratio of the day.
	OnsetsBySpike []Onsets
	OnsetsByRatio []Onsets
}

// Count is how many person-days fell into one class, and per 100 person-days with
// the exact 95 % interval of a Poisson count.
type Count struct {
	Class           string
	Days            int
	Rate, Low, High float64 // per 100 person-days
}

// Onsets is how many complaints began on the person-days of one class, and per 1000
// person-days with the exact 95 % interval of a Poisson count. Rate, Low and High are 0 in a
// class without a day.
type Onsets struct {
	Class           string
	Days            int
	Complaints      int
	Rate, Low, High float64 // per 1000 person-days
}

// Pool adds up the counts of several runners. Complaints are counted on the days of those of
// whom they are known.
func Pool(all []Evidence) (e Evidence) {
	days := [2]map[string]int{{}, {}}
	onsets := [2]tally{{}, {}}
	var told bool
	for _, one := range all {
		if one.BySpike == nil {
			continue
		}
		if e.BySpike == nil || one.First < e.First {
			e.First = one.First
		}
		e.Last, e.PersonDays, e.LeftOut = max(e.Last, one.Last), e.PersonDays+one.PersonDays, e.LeftOut+one.LeftOut
		e.BySpike, e.ByRatio = one.BySpike, one.ByRatio // for their classes
		for i, counts := range [2][]Count{one.BySpike, one.ByRatio} {
			for _, c := range counts {
				days[i][c.Class] += c.Days
			}
		}
		for i, counts := range [2][]Onsets{one.OnsetsBySpike, one.OnsetsByRatio} {
			for _, o := range counts {
				told = true
				c := onsets[i][o.Class]
				c.days, c.complaints = c.days+o.Days, c.complaints+o.Complaints
				onsets[i][o.Class] = c
			}
		}
	}
	if e.BySpike == nil {
		return e
	}
	spikes, ratios := classesOf(e.BySpike), classesOf(e.ByRatio)
	e.BySpike, e.ByRatio = e.pooled(days[0], spikes), e.pooled(days[1], ratios)
	if told {
		e.OnsetsBySpike, e.OnsetsByRatio = onsets[0].onsets(spikes), onsets[1].onsets(ratios)
	}
	return e
}

func classesOf(counts []Count) (classes []string) {
	for _, c := range counts {
		classes = append(classes, c.Class)
	}
	return classes
}

func (e *Evidence) pooled(days map[string]int, classes []string) []Count {
	t := make(tally)
	for class, n := range days {
		t[class] = struct{ days, complaints int }{days: n}
	}
	return e.counts(t, classes)
}

// CannotShowPooled is CannotShow of several runners.
func CannotShowPooled() []string {
	out := slices.Clone(CannotShow)
	out[2] = "They are of the runners whose logbooks you may see, who are no sample of anybody: what they show of some is no chance of one."
	return out
}

// CannotShow says plainly what such counts are no evidence of.
var CannotShow = []string{
	"They say what went before, not what did harm: a complaint that followed a spike need not have come from it.",
	"A complaint begins when somebody says so: one that nobody told is not counted, and its first day is often a guess.",
	"They are of one runner. What a cohort showed of many is no chance of anybody's, and cannot be checked on one.",
	"Days that follow each other are not independent, as the intervals assume: they are too narrow.",
	"Who is sore runs less. A class that goes with fewer complaints may be its consequence and not its cause.",
	"Days that are not known, and runs that were not recorded, are missing from every class.",
}

// ratioCuts are where counts by the uncoupled ratio are divided: the bounds that
// studies of team sports wrote about (Gabbett 2016, value from memory). They are no
// limits here.
var ratioCuts = []struct {
	below float64
	class string
}{
	{0.8, "below 0.80"}, {1.3, "0.80 to below 1.30"}, {1.5, "1.30 to below 1.50"}, {math.Inf(1), "1.50 and above"},
}

// The classes of days that belong to none of the others.
const (
	classNoRun      = "no run"
	classNoTidemark = "no run in the 30 days before"
	classNoRatio    = "not defined"
)

// exposureDays is for how many days, its own included, a run counts as what went before a
// complaint: 72 hours; project default.
const exposureDays = 3

// EvidenceOf counts the days of a runner's distances up to the input's Today, and the
// complaints that began on them; nil: they are not known.
func EvidenceOf(in *load.Input, complaints []rehab.Complaint) (e Evidence) {
	h := load.NewHistory(in, load.Distance)
	if h.Empty() {
		return e
	}
	rows := h.DayRows(h.First(), in.Today)
	e.First, e.Last = h.First(), in.Today
	began := make(map[load.Day]int)
	for i := range complaints {
		began[complaints[i].Onset]++
	}
	spikes, ratios, exposed := make(tally), make(tally), make(tally)
	for i := range rows {
		row := &rows[i]
		if row.State == load.Unknown || row.Provisional {
			e.LeftOut++
			continue
		}
		e.PersonDays++
		n := began[row.Date]
		spikes.add(spikeClass(row), n)
		ratios.add(ratioClass(row), n)
		exposed.add(exposure(rows[max(0, i-exposureDays+1):i+1]), n)
	}
	spikeNames := append(spikeClasses(), classNoTidemark, classNoRun)
	ratioNames := make([]string, 0, len(ratioCuts)+1)
	for _, cut := range ratioCuts {
		ratioNames = append(ratioNames, cut.class)
	}
	ratioNames = append(ratioNames, classNoRatio)
	e.BySpike, e.ByRatio = e.counts(spikes, spikeNames), e.counts(ratios, ratioNames)
	if complaints != nil {
		e.OnsetsBySpike, e.OnsetsByRatio = exposed.onsets(spikeNames), ratios.onsets(ratioNames)
	}
	return e
}

// tally counts days and the complaints that began on them, by class.
type tally map[string]struct{ days, complaints int }

func (t tally) add(class string, complaints int) {
	c := t[class]
	c.days++
	c.complaints += complaints
	t[class] = c
}

func (t tally) onsets(classes []string) (out []Onsets) {
	for _, class := range classes {
		o := Onsets{Class: class, Days: t[class].days, Complaints: t[class].complaints}
		if o.Days > 0 {
			low, high := PoissonInterval(o.Complaints)
			per := 1000 / float64(o.Days)
			o.Rate, o.Low, o.High = float64(o.Complaints)*per, low*per, high*per
		}
		out = append(out, o)
	}
	return out
}

// exposure is the worst class of some days in a row: the largest spike, else a run with
// nothing to hold it against, else no run.
func exposure(rows []load.DayRow) string {
	worst, class := load.Unclassed, classNoRun
	for i := range rows {
		switch row := &rows[i]; {
		case row.Class != load.Unclassed && (worst == load.Unclassed || row.Class > worst):
			worst, class = row.Class, row.Class.String()
		case worst == load.Unclassed && spikeClass(row) == classNoTidemark:
			class = classNoTidemark
		}
	}
	return class
}

func spikeClasses() (classes []string) {
	for c := load.NoSpike; c <= load.LargeSpike; c++ {
		classes = append(classes, c.String())
	}
	return classes
}

func spikeClass(row *load.DayRow) string {
	switch {
	case row.Class != load.Unclassed:
		return row.Class.String()
	case row.Spike.Reason() == load.ReasonNotRecorded:
		return classNoRun
	}
	return classNoTidemark
}

func ratioClass(row *load.DayRow) string {
	ratio, ok := row.RatioUncoupled.Get()
	if !ok {
		return classNoRatio
	}
	i := 0
	for ratio >= ratioCuts[i].below {
		i++
	}
	return ratioCuts[i].class
}

func (e *Evidence) counts(days tally, classes []string) (counts []Count) {
	for _, class := range classes {
		n := days[class].days
		c := Count{Class: class, Days: n}
		if e.PersonDays > 0 {
			per := 100 / float64(e.PersonDays)
			low, high := PoissonInterval(n)
			c.Rate, c.Low, c.High = float64(n)*per, low*per, high*per
		}
		counts = append(counts, c)
	}
	return counts
}

// PoissonInterval returns the exact 95 % interval of the mean of a Poisson count of n
// (Garwood 1936, Biometrika 28:437): quantiles of chi-squared. It panics on a
// negative count.
func PoissonInterval(n int) (low, high float64) {
	if n < 0 {
		panic("assess: PoissonInterval: negative count")
	}
	const tail = 0.025
	if n > 0 {
		low = distuv.ChiSquared{K: float64(2 * n)}.Quantile(tail) / 2
	}
	return low, distuv.ChiSquared{K: float64(2*n + 2)}.Quantile(1-tail) / 2
}
