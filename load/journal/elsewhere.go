package journal

import "strings"

// elsewhere begins the name of a person of another journal. What is taken over from there
// carries their name as it was written down, which nobody here has vouched for, so that it
// never passes for a person of this journal.
const elsewhere = "elsewhere:"

// Elsewhere returns the name that a person of another journal has there; ok is false for
// everybody else.
func (p Person) Elsewhere() (name string, ok bool) {
	return strings.CutPrefix(string(p), elsewhere)
}

// fromElsewhere is the person as they are known here. Who came from elsewhere to the other
// journal stays so. The rules are the same program everywhere.
func fromElsewhere(p Person) Person {
	if _, ok := p.Elsewhere(); ok || p == Rules {
		return p
	}
	return elsewhere + p
}
