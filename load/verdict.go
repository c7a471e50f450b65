package load

// Verdict is what the morning after a run said of it. Package load/rehab judges
// mornings; the limits here only need the outcome.
type Verdict uint8

// The verdicts. NoVerdict is a run that no morning answers, because nothing is
// being asked.
const (
	NoVerdict Verdict = iota
	Settled
	Unsettled
	Flared
	Missing
)

// Bad reports whether v speaks against the run.
func (v Verdict) Bad() bool { return v == Unsettled || v == Flared }

// DaySpan is a run of days, both ends included.
type DaySpan struct{ First, Last Day }

// Holds reports whether day lies in s.
func (s DaySpan) Holds(day Day) bool { return s.First <= day && day <= s.Last }
