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
	in      *Input
	measure Measure
	first   Day        // meaningless while bouts is empty
	runs    []*Session // that count, in order of start
	amounts []reading  // what each asked
	days    []dayLoad
	bouts   []bout
	bad     bool         // some morning spoke against a run
	breaks  []breakState // one a day, before that day's own runs
	held    []Amount     // held tidemark, one a day

	// Prefix sums over the days, one more than there are days.
	sums    []Amount // of the loads
	counted []Amount // of the final counted lengths
	known   []int    // of the days that are not unknown
	assumed []int

	doubles map[string]string // session to the one that counts for it
}

type dayLoad struct {
	sum   Amount
	runs  int
	state DayState
	open  bool   // no record, and nobody said anything of it
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
	complete   bool // every session has the measure
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
func NewHistory(in *Input, m Measure) *History { return newHistory(in, m, nil) }

// newHistory adds an imagined run, which is nobody's double, on the last day.
func newHistory(in *Input, m Measure, imagined *Session) *History {
	h := &History{in: in, measure: m}
	records := h.sort(in)
	if imagined != nil {
		h.runs = append(h.runs, imagined)
		records[imagined.Day] = Recorded
	}
	h.readAmounts()
	h.gather()
	if len(h.bouts) == 0 {
		return h
	}
	h.first = h.runs[0].Day
	for _, s := range h.runs {
		h.first = min(h.first, s.Day)
	}
	h.layDays(records)
	h.layTidemarks()
	h.layBreaks()
	h.layHeld()
	return h
}

// Empty reports whether there is no run at all.
func (h *History) Empty() bool { return len(h.bouts) == 0 }

// First returns the first day with a run; only a history that is not Empty has
// one.
func (h *History) First() Day { return h.first }

// sort keeps the counting runs in order of start, and returns for every day with
// a record of any kind whether a watch made it.
func (h *History) sort(in *Input) (records map[Day]DayState) {
	past := upTo(in.Sessions, in.Today)
	h.doubles = Doubles(past)
	records = make(map[Day]DayState, len(past)+len(in.Rests))
	for _, day := range in.Rests {
		records[day] = Rest
	}
	for i := range past {
		s := &past[i]
		if !s.Typed {
			records[s.Day] = Recorded
		} else if records[s.Day] != Recorded {
			records[s.Day] = Reported
		}
		if s.Sport == Running && !s.Excluded && h.doubles[s.ID] == "" {
			h.runs = append(h.runs, s)
		}
	}
	if len(in.Gaps) > 0 {
		h.addTold(records)
	}
	slices.SortFunc(h.runs, func(a, b *Session) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.ID, b.ID))
	})
	return records
}

// addTold adds the runs that answers about gaps tell of.
func (h *History) addTold(records map[Day]DayState) {
	ran := make(map[Day]int)
	for _, s := range h.runs {
		ran[s.Day]++
	}
	told := h.in.tell(records, ran)
	for i := range told {
		h.runs = append(h.runs, &told[i])
	}
}

// upTo leaves out what lies after today, so that it cannot stand for anything
// before.
func upTo(sessions []Session, today Day) []Session {
	later := func(s Session) bool { return s.Day > today }
	if !slices.ContainsFunc(sessions, later) {
		return sessions
	}
	return slices.DeleteFunc(slices.Clone(sessions), later)
}

// reading is a Reading that may be missing.
type reading struct {
	Reading
	has bool
}

func (r reading) whole() bool { return r.has && r.Whole }

// readAmounts reads what each run asked of the runner.
func (h *History) readAmounts() {
	h.amounts = make([]reading, len(h.runs))
	var scale heartScale
	for i, s := range h.runs {
		r := &h.amounts[i]
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

// gather makes bouts of the runs, which are in order of start.
func (h *History) gather() {
	h.bouts = make([]bout, 0, len(h.runs))
	for i, s := range h.runs {
		amount, ok := h.amounts[i].Amount, h.amounts[i].whole()
		estimated := s.Surface == Treadmill && h.measure.IsLength() && s.DistanceSource != DistanceTyped
		verdict := h.in.Verdicts[s.ID]
		h.bad = h.bad || verdict.Bad()
		if n := len(h.bouts); n > 0 && joins(&h.bouts[n-1], s) {
			b := &h.bouts[n-1]
			b.runs[1] = i + 1
			b.end = max(b.end, s.End)
			b.amount += amount
			b.complete = b.complete && ok
			b.race = b.race || s.Race
			b.estimated = b.estimated || estimated
			b.verdict = worse(b.verdict, verdict)
			continue
		}
		h.bouts = append(h.bouts, bout{
			id: s.ID, runs: [2]int{i, i + 1}, day: s.Day, start: s.Start, end: s.End, amount: amount, complete: ok,
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
func (h *History) layDays(records map[Day]DayState) {
	h.days = make([]dayLoad, h.in.Today-h.first+1)
	for i, s := range h.runs {
		d := &h.days[s.Day-h.first]
		d.sum += h.amounts[i].Amount
		d.runs++
		if !h.amounts[i].whole() {
			d.state = Unknown
		}
	}
	last := h.first
	for i := range h.days {
		day := h.first + Day(i)
		state, ok := records[day]
		h.days[i].open = !ok
		switch {
		case ok:
			last = day
		case float64(day-last) <= h.in.Settings.on(day).AssumedRestDays:
			state = Assumed
		default:
			state = Unknown
		}
		if h.days[i].state == noState {
			h.days[i].state = state
		}
	}
	h.indexBouts()
	h.markRaces()
	h.sumDays()
}

// markRaces takes the longest bout of a day with a planned race for the race.
func (h *History) markRaces() {
	for _, r := range h.in.Races {
		bouts := h.on(r.Day)
		if len(bouts) == 0 {
			continue
		}
		longest := 0
		for i := range bouts {
			if bouts[i].amount > bouts[longest].amount {
				longest = i
			}
		}
		bouts[longest].race = true
	}
}

// sumDays lays the prefix sums, so that a window is a difference of two.
func (h *History) sumDays() {
	n := len(h.days) + 1
	h.sums, h.known, h.assumed = make([]Amount, n), make([]int, n), make([]int, n)
	for i := range h.days {
		h.sums[i+1] = h.sums[i] + h.days[i].sum
		h.known[i+1] = h.known[i] + flag(h.days[i].state != Unknown)
		h.assumed[i+1] = h.assumed[i] + flag(h.days[i].state == Assumed)
	}
}

// indexBouts notes which bouts start on each day. Zones differ, so bouts are in
// order of instants but their days may step back by one.
func (h *History) indexBouts() {
	slices.SortStableFunc(h.bouts, func(a, b bout) int { return cmp.Compare(a.day, b.day) })
	b := 0
	for i := range h.days {
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
