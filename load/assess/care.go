package assess

import (
	"slices"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// Care is what is followed of a runner: every complaint with its mornings, judged.
type Care struct {
	Records []rehab.Record
	Flags   []rehab.Raised
	Plan    rehab.Plan
	Grown   []load.Day // on which the running grew, as far as a programme asks
	Gates   []ramp.Found
	Ramp    *Ramp // nil: none is set, or it has ended
}

// Followed is what is kept of a runner besides the load.
type Followed struct {
	Complaints []rehab.Complaint
	Mornings   []rehab.Morning
	Flags      []rehab.Raised
	Plan       rehab.Plan
	Gates      []ramp.Found
	Terms      *ramp.Terms // of the ramp that was set last; nil: none was
	Sets       []ramp.Set  // all that was ever set of it, in order; nil: Terms stood from their start
}

// Follow judges the mornings of a runner and tells the input what they say of its runs:
// Verdicts, and the days with an open complaint. It changes in.
func Follow(in *load.Input, f Followed) *Care {
	c := &Care{Flags: f.Flags, Plan: f.Plan, Gates: f.Gates}
	if len(f.Complaints) == 0 {
		return c
	}
	if len(f.Plan.Prescriptions) > 0 {
		c.Grown = grownDays(in)
	}
	in.Verdicts, in.Complaints = make(map[string]load.Verdict), nil
	ran := load.NewLogbook(in).RunDays()
	for _, one := range f.Complaints {
		r := rehab.RecordOf(one, f.Mornings, func(day load.Day) bool { return ran[day] }, in.Today, rehab.DefaultZones)
		c.Records = append(c.Records, r)
		in.Complaints = append(in.Complaints, one.Spans(in.Today)...)
	}
	for i := range in.Sessions {
		s := &in.Sessions[i]
		if v := rehab.Answer(c.Records, s.Day); v != load.NoVerdict && s.Sport == load.Running {
			in.Verdicts[s.ID] = v
		}
	}
	if f.Terms != nil && f.Terms.State != ramp.Ended && len(c.Open(in.Today)) > 0 {
		sets := f.Sets
		if len(sets) == 0 {
			sets = []ramp.Set{{Terms: *f.Terms, Day: f.Terms.Start, Charge: true}}
		}
		c.Ramp = c.RampOf(in, sets)
	}
	return c
}

// grownDays lists the days with a run longer in minutes than every one of the 30 days
// before, first runs left out.
func grownDays(in *load.Input) (days []load.Day) {
	h := load.NewHistory(in, load.RunTime)
	if h.Empty() {
		return nil
	}
	for _, row := range h.SessionRows(h.First(), in.Today) {
		if mark, ok := row.Tidemark.Get(); ok && load.RunTime.In(row.Load) > mark {
			days = append(days, row.Day)
		}
	}
	return days
}

// Open returns the records of the complaints that are followed on a day.
func (c *Care) Open(day load.Day) (open []*rehab.Record) {
	for i := range c.Records {
		if c.Records[i].Complaint.Followed(day) {
			open = append(open, &c.Records[i])
		}
	}
	return open
}

// Measure is what limits are told in unless something else is asked: minutes of running
// while something is followed, else distance.
func (c *Care) Measure(day load.Day) load.Measure {
	if len(c.Open(day)) > 0 {
		return load.RunTime
	}
	return load.Distance
}

// answered is one day with a run while something was followed, and what the next morning
// said of it, the worst of all.
type answered struct {
	day     load.Day
	longest load.Amount // session of the day
	verdict load.Verdict
	whole   bool // every settled morning says all that moves a plan on
}

// answeredRuns lists the runs before a day that mornings were asked about, in order.
func (c *Care) answeredRuns(h *load.History, day load.Day) (runs []answered) {
	if h.Empty() {
		return nil
	}
	for _, row := range h.SessionRows(h.First(), day-1) {
		if !slices.ContainsFunc(c.Records, func(r rehab.Record) bool { return r.Complaint.Followed(row.Day) }) {
			continue
		}
		if n := len(runs); n > 0 && runs[n-1].day == row.Day {
			runs[n-1].longest = max(runs[n-1].longest, row.Load)
			continue
		}
		runs = append(runs, answered{row.Day, row.Load, rehab.Answer(c.Records, row.Day), c.whole(row.Day)})
	}
	return runs
}

// whole reports whether the mornings after a day all say enough to move a plan on.
func (c *Care) whole(day load.Day) bool {
	for _, r := range c.Open(day) {
		if m, ok := r.On(day + 1); !ok || !m.Judgement.Advances {
			return false
		}
	}
	return true
}

// flares lists the mornings up to a day on which something flared, in order, each once; with
// the one to come, if the run of the day has flared.
func (c *Care) flares(day load.Day) (days []load.Day) {
	for i := range c.Records {
		for _, m := range c.Records[i].Mornings {
			if m.Judgement.Verdict == load.Flared && (m.Day <= day || m.Early) {
				days = append(days, m.Day)
			}
		}
	}
	slices.Sort(days)
	return slices.Compact(days)
}

// lastFlared returns the last morning of a record that flared; ok is false where none did.
func lastFlared(r *rehab.Record) (day load.Day, ok bool) {
	for _, m := range slices.Backward(r.Mornings) {
		if m.Judgement.Verdict == load.Flared {
			return m.Day, true
		}
	}
	return 0, false
}

// backSince reports whether every complaint that flared since a morning and is followed has
// been as usual on one after its last flare.
func (c *Care) backSince(first, day load.Day) bool {
	for i := range c.Records {
		r := &c.Records[i]
		flare, flared := lastFlared(r)
		if !flared || flare < first || !r.Complaint.Followed(day) {
			continue
		}
		back := func(m rehab.Judged) bool {
			return m.Day > flare && m.Day <= day && !m.Late && rehab.BackToBaseline(&m.Morning, m.Base, rehab.DefaultZones)
		}
		if !slices.ContainsFunc(r.Mornings, back) {
			return false
		}
	}
	return true
}
