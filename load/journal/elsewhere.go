package journal

import (
	"slices"
	"strings"
)

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

// speaker names the accounts of this journal; whoever is none is named as they are.
func speaker(tx Tx) (speech, error) {
	accounts, err := tx.Accounts()
	names := make(map[Person]Person, len(accounts))
	for _, a := range accounts {
		names[a.ID] = Person(a.Name)
	}
	return func(p Person) Person {
		if name, ok := names[p]; ok {
			return name
		}
		return p
	}, err
}

// each names everybody in k otherwise.
func (k *Kept) each(name func(Person) Person) {
	for i := range histories {
		histories[i].mark(k, name)
	}
	k.Plan.Routines = slices.Clone(k.Plan.Routines)
	for i := range k.Plan.Routines {
		r := &k.Plan.Routines[i]
		r.By = name(r.By)
	}
}
