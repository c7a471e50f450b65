package journal

import (
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// Rights is a set of what a person may do with one runner's book.
type Rights uint16

// The rights, one bit each.
const (
	RightLoad    Rights = 1 << iota // see runs and what follows from them, and until when a runner is held
	RightMedical                    // see complaints, mornings, tests, programmes, the ramp and what follows from them
	RightRecord                     // add and correct runs, mornings and what was done
	RightTell                       // say what hurts, what was found, what happened
	RightAdvise                     // plan races and answer findings
	RightPlan                       // the ramp downwards
	RightTreat                      // programmes, limits and the ramp upwards; closing: whoever is in charge
	RightShare                      // let others in, and carry everything away
	RightDelete
	AllRights Rights = 1<<iota - 1
)

// Has reports whether all of need are in r.
func (r Rights) Has(need Rights) bool { return r&need == need }

// Role is what a person is to a runner.
type Role string

// The roles.
const (
	RoleRunner    Role = "runner"   // the logbook's owner
	RoleGuardian  Role = "guardian" // the owner of a child's logbook
	RoleCoach     Role = "coach"
	RoleClinician Role = "clinician"
)

// Owns reports whether the logbook is the role's own.
func (r Role) Owns() bool { return r == RoleRunner || r == RoleGuardian }

// Granted lists what each role may do; a coach more where the runner allows it.
var granted = map[Role]Rights{
	RoleRunner:    AllRights,
	RoleGuardian:  AllRights,
	RoleCoach:     RightLoad | RightAdvise,
	RoleClinician: RightLoad | RightMedical | RightTell | RightAdvise | RightPlan | RightTreat,
}

// rights returns what a grant gives.
func (g *Grant) rights() Rights {
	r := granted[g.Role]
	if g.Role == RoleCoach && g.Medical {
		r |= RightMedical
	}
	if g.Role == RoleCoach && g.Plan {
		r |= RightPlan
	}
	return r
}

// rightsOf returns what person may do now with a runner that exists. Who owns a logbook is in
// charge of it, but while a clinician follows something that hurts.
func rightsOf(tx Tx, person Person, runner RunnerID, now load.Instant) (Rights, error) {
	if person == Local {
		return AllRights, nil
	}
	grants, err := tx.Grants(runner)
	if err != nil {
		return 0, err
	}
	stand := standingGrants(grants)
	i := slices.IndexFunc(stand, func(g Grant) bool { return g.Person == person })
	if i < 0 {
		return 0, nil
	}
	r := stand[i].rights()
	if r.Has(RightTreat) && stand[i].Role.Owns() {
		led, err := ledByClinician(tx, runner, stand, now)
		if err != nil {
			return 0, err
		}
		if led {
			r &^= RightTreat
		}
	}
	return r, nil
}

// ledByClinician reports whether a clinician is in charge: one has been let in, and
// something is followed that was not handed over by the day that it is where the runner lives
// (model 7).
func ledByClinician(tx Tx, runner RunnerID, stand []Grant, now load.Instant) (bool, error) {
	if !slices.ContainsFunc(stand, func(g Grant) bool { return g.Role == RoleClinician }) {
		return false, nil
	}
	r, err := tx.Runner(runner)
	if err != nil {
		return false, err
	}
	today, err := r.Today(now)
	if err != nil {
		return false, err
	}
	all, err := complaints(tx, runner)
	return slices.ContainsFunc(all, func(c rehab.Complaint) bool {
		status, _ := c.Status(today)
		return status == rehab.Open
	}), err
}
