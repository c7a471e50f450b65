package load

import (
	"errors"
	"fmt"
	"slices"
)

// GapAnswer is what a runner says of days without a record. The empty one takes
// back what was said.
type GapAnswer string

// The answers.
const (
	GapRested  GapAnswer = "rested"
	GapRan     GapAnswer = "ran"     // without a watch
	GapUnknown GapAnswer = "unknown" // nobody remembers
)

// Gap is what the runner said of some days without a record.
type Gap struct {
	DaySpan
	Answer  GapAnswer
	Runs    int    // about how many, if the answer is GapRan
	Longest Amount // of them, in Distance; zero: not said
}

// mostToldKM is the longest run that is believed; project default.
const mostToldKM = 300

// Check reports why g cannot be an answer.
func (g Gap) Check() error {
	days := int(g.Last-g.First) + 1
	switch {
	case days < 1:
		return fmt.Errorf("the last day, %v, is before the first, %v", g.Last, g.First)
	case !slices.Contains([]GapAnswer{GapRested, GapRan, GapUnknown, ""}, g.Answer):
		return fmt.Errorf("answer %.20q: want rested, ran or unknown", string(g.Answer))
	case g.Answer != GapRan && (g.Runs != 0 || g.Longest != 0):
		return errors.New("runs belong to the answer ran alone")
	case g.Answer != GapRan:
		return nil
	case g.Runs < 1 || g.Runs > days:
		return fmt.Errorf("%d runs in %d days: want 1 to %d", g.Runs, days, days)
	case g.Longest < 0 || g.Longest > Distance.Of(mostToldKM):
		return fmt.Errorf("the longest run of %g km: want up to %d", Distance.In(g.Longest), mostToldKM)
	}
	return nil
}

// toldIDs begin the ID of a run that only an answer tells of. It is no session of
// the journal.
const toldIDs = "told-"

// tell lays what the runner said over the days without a record, a later answer
// over an earlier one, and returns the runs it tells of.
//
// Of "about 4 runs, the longest 9 km" the dates and the other lengths are not
// known. The runs are spread evenly over the free days, the longest in the middle;
// the others have no length, so that their days are unknown and sums are lower
// bounds, rather than a number that nobody said (project default). The other free
// days are taken as rest. Recorded runs of those days count among the told.
func (in *Input) tell(records map[Day]DayState, ran map[Day]int) (told []Session) {
	owner := make(map[Day]int)
	for i, g := range in.Gaps {
		for day := g.First; day <= min(g.Last, in.Today); day++ {
			owner[day] = i
		}
	}
	for i, g := range in.Gaps {
		var free []Day
		recorded := 0
		for day := g.First; day <= min(g.Last, in.Today); day++ {
			if owner[day] != i {
				continue
			}
			recorded += ran[day]
			if _, ok := records[day]; !ok {
				free = append(free, day)
			}
		}
		told = append(told, g.lay(free, recorded, records)...)
	}
	return told
}

// lay gives the free days of one answer their states, and makes its runs.
func (g Gap) lay(free []Day, recorded int, records map[Day]DayState) (told []Session) {
	states := map[GapAnswer]DayState{GapRested: Rest, GapRan: Assumed, GapUnknown: Unknown}
	state, ok := states[g.Answer]
	if !ok {
		return nil
	}
	for _, day := range free {
		records[day] = state
	}
	runs := min(len(free), max(0, g.Runs-recorded))
	for k := range runs {
		day := free[(2*k+1)*len(free)/(2*runs)]
		records[day] = Reported
		noon := InstantOf(day.Noon())
		s := Session{ID: toldIDs + day.String(), Day: day, Start: noon, End: noon, NoStart: true, Typed: true, Sport: Running}
		if k == runs/2 && g.Longest > 0 {
			s.Measures.Set(Distance, g.Longest)
			s.Measures.Set(RunDistance, g.Longest)
			s.Measures.Set(Flat, g.Longest)
		}
		told = append(told, s)
	}
	return told
}

// IsTold reports whether a session, by its ID, is one that an answer about a gap
// tells of.
func IsTold(id string) bool { return len(id) > len(toldIDs) && id[:len(toldIDs)] == toldIDs }

// Gaps returns the spans of days without any record of which the runner has not
// been asked, in order: those that hold a day on which nothing is known. The last
// one ends on the day before today.
func (h *History) Gaps() (open []DaySpan) {
	free := h.book.open
	for i := 0; i < len(free); {
		from := i
		unknown := false
		for ; i < len(free) && free[i]; i++ {
			unknown = unknown || h.book.states[i] == Unknown
		}
		if last := h.first + Day(i) - 1; unknown && h.first+Day(from) < h.in.Today {
			open = append(open, DaySpan{h.first + Day(from), min(last, h.in.Today-1)})
		}
		i = max(i, from+1)
	}
	return open
}
