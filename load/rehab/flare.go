package rehab

import "tidemark/load"

// Woke is a morning as far as flares are counted.
type Woke struct {
	Day    load.Day
	Ran    bool // the day before had a run
	Flared bool
	Back   bool // as usual again, and said on time
}

// Flare is one flare, from its first morning to its last.
type Flare struct{ First, Last load.Day }

// Flares puts mornings together, in order of day. One that flares after a day without a run
// belongs to the flare before it as long as none between was as usual again; a run that
// flares is always one more, for the rehab reference 5.5 counts runs. The rest is a project
// default.
func Flares(mornings []Woke) (flares []Flare) {
	back := true
	for _, m := range mornings {
		switch {
		case m.Flared && (m.Ran || back):
			flares = append(flares, Flare{m.Day, m.Day})
			back = false
		case m.Flared:
			flares[len(flares)-1].Last = m.Day
		case m.Back:
			back = true
		}
	}
	return flares
}

// FlaresIn counts the flares that began in so many days up to the beginning of the last.
func FlaresIn(flares []Flare, days load.Day) (n int) {
	for _, f := range flares {
		if flares[len(flares)-1].First-f.First < days {
			n++
		}
	}
	return n
}
