package load

// vote is what a stretch asks of a machine with two states.
type vote int8

const (
	off     vote = -1
	neither vote = 0
	on      vote = 1
)

// machine is a state that turns once the other one has been asked for without
// a break for a time. It turns in hindsight, from the first that asked.
type machine struct {
	on          bool
	toOn, toOff millis // how long the other state must be asked for
	asking      millis // how long it has been
	since       int    // the first stretch that asked
}

// step takes the vote of stretch k, which lasts so long, and reports whether the
// state is now another, from stretch since on.
func (m *machine) step(k int, v vote, lasts millis) (turned bool) {
	wanted, hold := on, m.toOn
	if m.on {
		wanted, hold = off, m.toOff
	}
	if v != wanted {
		m.asking = 0
		return false
	}
	if m.asking == 0 {
		m.since = k
	}
	if m.asking += lasts; m.asking < hold {
		return false
	}
	m.on, m.asking = !m.on, 0
	return true
}
