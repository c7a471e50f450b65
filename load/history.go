package load

import (
	"cmp"
	"slices"
	"time"
)

// Input is everything known about one runner, as values, in any order.
type Input struct {
	Sessions   []Session
	Rests      []Day         // rest days that the runner confirmed
	Gaps       []Gap         // what the runner said of days without a record, in order of entry
	Races      []PlannedRace // one a day at most
	Settings   Schedule
	Verdicts   map[string]Verdict // by session: what the next morning said
	Complaints []DaySpan          // days with an open complaint
	Today      Day
}

// complaintOn reports whether a complaint was open on day.
func (in *Input) complaintOn(day Day) bool {
	return slices.ContainsFunc(in.Complaints, func(s DaySpan) bool { return s.Holds(day) })
}

// DayState says what is known of a day.
type DayState uint8

// The states of a day. Sums count assumed and unknown days as zero.
const (
	noState  DayState = iota
	Recorded          // a watch recorded something
	Reported          // typed, or from a diary
	Rest              // confirmed
	Assumed           // no record, taken as rest
	Unknown           // nothing is known, or a session lacks the measure
)

var stateNames = [...]string{"", "recorded", "reported", "rest", "assumed", "unknown"}

func (s DayState) String() string { return stateNames[s] }

// History is one runner's running load in one measure, day by day from the
// first day with a run to today, and what the limits need to know of it. It is
// never changed once it is laid out.
type History struct {
	book     *Logbook
	in       *Input // of the book
	measure  Measure
	first    Day        // meaningless while bouts is empty
	runs     []*Session // of the book
	amounts  []reading  // what each asked
	days     []dayLoad
	bouts    []bout      // in order of day, then start
	bad      bool        // some morning spoke against a run
	breaks   []breakWalk // one a day, before that day's own runs
	eventful []bool      // one a day: something speaks against taking runs as tolerated
	held     []Amount    // held tidemark, one a day
	mute     bool        // nobody reads the words

	// Prefix sums over the days, one more than there are days.
	sums    []Amount // of the loads
	counted []Amount // of the final counted lengths
	known   []int    // of the days that are not unknown
	assumed []int
}

type dayLoad struct {
	sum   Amount
	runs  int
	state DayState
	bouts [2]int // first and one past the last of the day's bouts
}

// bout is one or several sessions that started less than half an hour after
// the one before ended: one effort for the tendon.
type bout struct {
	id         string
	runs       [2]int // first and one past the last of the history's runs
	day        Day
	start, end Instant
	amount     Amount
	some       bool // a session has the measure
	complete   bool // every session has it, whole
	noStart    bool
	told       bool // its day is not known: see Gap
	race       bool
	estimated  bool // a treadmill's distance, which sets no tidemark
	verdict    Verdict
	tidemark   Amount // zero: none
	tolerated  Amount // the same without races and runs that flared
	heldFrom   Day    // from which on it carries the limits
	waiting    Amount // what it counts until then, or for good
}

const (
	never   = Day(1 << 30)
	boutGap = 30 * time.Minute // load reference 4.1, project default
)

// NewHistory lays out what in holds of measure m up to its Today. Later sessions
// are left out; so are those that another one stands for (Doubles) or the runner
// excluded, and all that are no runs.
func NewHistory(in *Input, m Measure) *History { return NewLogbook(in).History(m) }

// History lays out one measure of the logbook.
func (l *Logbook) History(m Measure) *History {
	h := &History{book: l, in: l.in, measure: m, runs: l.runs, first: l.first}
	if len(l.runs) > 0 {
		h.lay(cut{})
	}
	return h
}

// cut is where what must be laid out anew begins.
type cut struct{ day, run, bout int }

// lay lays out everything from a cut on; what is before it is there.
func (h *History) lay(c cut) {
	h.readAmounts(c.run)
	h.gather(c)
	h.layDays(c)
	h.layTidemarks(c.bout)
	h.layBreaks(c.day)
	h.layHeld(c.day)
}

// Empty reports whether there is no run at all.
func (h *History) Empty() bool { return len(h.bouts) == 0 }

// First returns the first day with a run; only a history that is not Empty has
// one.
func (h *History) First() Day { return h.first }

// reading is a Reading that may be missing.
type reading struct {
	Reading
	has bool
}

func (r reading) whole() bool { return r.has && r.Whole }

// readAmounts reads what each run from one on asked of the runner.
func (h *History) readAmounts(from int) {
	h.amounts = grown(h.amounts[:from], len(h.runs))
	var scale heartScale
	for i := from; i < len(h.runs); i++ {
		s, r := h.runs[i], &h.amounts[i]
		if h.measure != Heart {
			r.Reading, r.has = h.in.Settings.on(s.Day).Reading(s, h.measure)
			continue
		}
		set := h.in.Settings.on(s.Day)
		most, ok := set.HeartMax(s.Day)
		if !ok {
			continue
		}
		if key := set.heartKey(most.BPM); key != scale.heartKey {
			if scale, ok = key.scale(); !ok {
				scale = heartScale{}
				continue
			}
		}
		r.Reading, r.has = scale.read(s)
	}
}

// grown returns a slice of n that begins with a copy of kept.
func grown[T any](kept []T, n int) []T {
	out := make([]T, n)
	copy(out, kept)
	return out
}

// gather makes bouts of the runs from the cut on, which are in order of start.
func (h *History) gather(c cut) {
	h.bouts = append(make([]bout, 0, c.bout+len(h.runs)-c.run), h.bouts[:c.bout]...)
	for i := c.run; i < len(h.runs); i++ {
		s := h.runs[i]
		amount, ok := h.amounts[i].Amount, h.amounts[i].whole()
		estimated := s.Surface == Treadmill && h.measure.IsLength() && s.DistanceSource != DistanceTyped
		verdict := h.in.Verdicts[s.ID]
		h.bad = h.bad || verdict.Bad()
		if n := len(h.bouts); n > 0 && joins(&h.bouts[n-1], s) {
			b := &h.bouts[n-1]
			b.runs[1] = i + 1
			b.end = max(b.end, s.End)
			b.amount += amount
			b.some = b.some || h.amounts[i].has
			b.complete = b.complete && ok
			b.race = b.race || s.Race
			b.estimated = b.estimated || estimated
			b.verdict = worse(b.verdict, verdict)
			continue
		}
		h.bouts = append(h.bouts, bout{
			id: s.ID, runs: [2]int{i, i + 1}, day: s.Day, start: s.Start, end: s.End, amount: amount,
			some: h.amounts[i].has, complete: ok,
			noStart: s.NoStart, told: IsTold(s.ID), race: s.Race, estimated: estimated, verdict: verdict,
		})
	}
}

func joins(b *bout, s *Session) bool {
	return !b.noStart && !s.NoStart && s.Start.Sub(b.end) < boutGap
}

// worse prefers what speaks against a run, then what is missing.
func worse(a, b Verdict) Verdict {
	rank := [...]int{NoVerdict: 0, Settled: 1, Missing: 2, Unsettled: 3, Flared: 4}
	if rank[b] > rank[a] {
		return b
	}
	return a
}

// layDays sums the runs by their own days and says what is known of each day.
func (h *History) layDays(c cut) {
	h.days = grown(h.days[:c.day], int(h.in.Today-h.first)+1)
	for i := c.day; i < len(h.days); i++ {
		h.days[i].state = h.book.states[i]
	}
	for i := c.run; i < len(h.runs); i++ {
		d := &h.days[h.runs[i].Day-h.first]
		d.sum += h.amounts[i].Amount
		d.runs++
		if !h.amounts[i].whole() {
			d.state = Unknown
		}
	}
	h.indexBouts(c)
	h.markRaces(c.day)
	h.sumDays(c.day)
}

// raceNear is by which part a run may be shorter or longer than the planned race that it
// is taken for; project default.
const raceNear = 0.2

// markRaces takes the longest bout of a day with a planned race for the race, of those
// that are about as long as planned.
func (h *History) markRaces(from int) {
	for _, r := range h.in.Races {
		bouts := h.on(r.Day)
		if len(bouts) == 0 || int(r.Day-h.first) < from {
			continue
		}
		longest := -1
		for i := range bouts {
			if h.isAbout(&bouts[i], r.Distance) && (longest < 0 || bouts[i].amount > bouts[longest].amount) {
				longest = i
			}
		}
		if longest >= 0 {
			bouts[longest].race = true
		}
	}
}

// isAbout reports whether a bout is about as long as a planned distance, as far as both
// are known.
func (h *History) isAbout(b *bout, planned Amount) bool {
	var ran Amount
	for _, s := range h.runs[b.runs[0]:b.runs[1]] {
		distance, ok := s.Measures.Get(Distance)
		if !ok {
			return true
		}
		ran += distance
	}
	off := float64(ran) / max(1, float64(planned))
	return planned == 0 || off >= 1-raceNear && off <= 1+raceNear
}

// sumDays lays the prefix sums, so that a window is a difference of two.
func (h *History) sumDays(from int) {
	n := len(h.days) + 1
	kept := min(from+1, len(h.sums))
	h.sums, h.known, h.assumed = grown(h.sums[:kept], n), grown(h.known[:kept], n), grown(h.assumed[:kept], n)
	for i := from; i < len(h.days); i++ {
		h.sums[i+1] = h.sums[i] + h.days[i].sum
		h.known[i+1] = h.known[i] + flag(h.days[i].state != Unknown)
		h.assumed[i+1] = h.assumed[i] + flag(h.days[i].state == Assumed)
	}
}

// indexBouts notes which bouts start on each day. Zones differ, so bouts are in
// order of instants but their days may step back by one.
func (h *History) indexBouts(c cut) {
	slices.SortStableFunc(h.bouts[c.bout:], func(a, b bout) int { return cmp.Compare(a.day, b.day) })
	b := c.bout
	for i := c.day; i < len(h.days); i++ {
		from := b
		for b < len(h.bouts) && h.bouts[b].day == h.first+Day(i) {
			b++
		}
		h.days[i].bouts = [2]int{from, b}
	}
}

// on returns the bouts that started on day, which may lie outside the history.
func (h *History) on(day Day) []bout {
	if len(h.days) == 0 || day < h.first || int(day-h.first) >= len(h.days) {
		return nil
	}
	at := h.days[day-h.first].bouts
	return h.bouts[at[0]:at[1]]
}

// between returns the bouts that started on the days from first to last.
func (h *History) between(first, last Day) []bout {
	first, last = max(first, h.first), min(last, h.first+Day(len(h.days))-1)
	if len(h.days) == 0 || first > last {
		return nil
	}
	return h.bouts[h.days[first-h.first].bouts[0]:h.days[last-h.first].bouts[1]]
}
