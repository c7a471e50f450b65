package journal

// Person names who is asking.
type Person string

// Persons that are nobody's account.
const (
	Local Person = "local" // whoever can open the file at the machine
	Rules Person = "rules" // the program itself, where a finding changes its state
)

// Rights is a set of what a person may do with one runner's book.
type Rights uint8

// The rights, one bit each.
const (
	RightLoad    Rights = 1 << iota // see and add runs and what follows from them
	RightMedical                    // complaints, mornings and findings about them
	RightPlan                       // settings, limits, plans
	RightShare                      // let others in
	RightDelete
	AllRights Rights = 1<<iota - 1
)

// Has reports whether all of need are in r.
func (r Rights) Has(need Rights) bool { return r&need == need }

// rightsOf returns what person may do with a runner that exists. As long as
// nobody can be granted anything, only the local person may, and may all.
func rightsOf(person Person) Rights {
	if person == Local {
		return AllRights
	}
	return 0
}
