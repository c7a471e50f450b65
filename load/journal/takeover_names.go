package journal

import (
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// names says what complaints and routines from elsewhere are called here.
type names struct{ complaints, routines map[string]string }

// namesFor gives what is here already its name here, and the rest the next free one.
func namesFor(here, k *Kept, speak speech) names {
	n := names{make(map[string]string), make(map[string]string)}
	taken := make(map[string]bool)
	for _, c := range here.Complaints {
		taken[c.ID] = true
	}
	paired := make(map[string]bool)
	for _, c := range k.Complaints {
		id, ok := sameComplaint(here, k, c, paired, speak)
		for next := 2; !ok && taken[id]; next++ {
			id = fmt.Sprintf("%s-%s-%d", c.Site, c.Side, next)
		}
		n.complaints[c.ID], taken[id], paired[id] = id, true, true
	}
	routines := len(here.Plan.Routines)
	for _, r := range k.Plan.Routines {
		id, ok := sameRoutine(here, r, paired, speak)
		if !ok {
			routines++
			id = fmt.Sprintf("own-%d", routines) // as BuildRoutine counts
		}
		n.routines[r.ID], paired[id] = id, true
	}
	return n
}

// sameComplaint returns the name here of a complaint from elsewhere: of one that says the
// same and holds all its steps, or of the one of its own name if the steps of both can be
// those of one. ok is false if it is another one. What is paired stands for another already.
func sameComplaint(here, k *Kept, c Complaint, paired map[string]bool, speak speech) (id string, ok bool) {
	coming := stepsOf(k, c.ID)
	for _, old := range here.Complaints {
		if alike(old, c) && !paired[old.ID] {
			if _, added := mergeSteps(stepsOf(here, old.ID), coming, speak); added == 0 {
				return old.ID, true
			}
		}
	}
	for _, old := range here.Complaints {
		if old.ID == c.ID && alike(old, c) && !paired[old.ID] {
			merged, _ := mergeSteps(stepsOf(here, old.ID), coming, speak)
			return c.ID, complaintOfSteps(c, merged) == nil
		}
	}
	return c.ID, false
}

// alike leaves out names, which may differ between two journals.
func alike(a, b Complaint) bool {
	return a.Site == b.Site && a.Side == b.Side && a.Onset == b.Onset && a.Bone == b.Bone
}

func stepsOf(k *Kept, id string) (steps []ComplaintStep) {
	for _, s := range k.Steps {
		if s.Complaint == id {
			s.Complaint = ""
			steps = append(steps, s)
		}
	}
	return steps
}

func mergeSteps(there, coming []ComplaintStep, speak speech) (merged []ComplaintStep, added int) {
	return mergeRows(there, coming, func(s *ComplaintStep) load.Instant { return s.At }, speak)
}

// complaintOfSteps reports why a complaint cannot have gone that way.
func complaintOfSteps(c Complaint, steps []ComplaintStep) error {
	whole := rehab.Complaint{ID: c.ID, Site: c.Site, Side: c.Side, Onset: c.Onset, Bone: c.Bone, Linked: c.Linked}
	for _, s := range steps {
		whole.Take(s.Step)
	}
	return whole.Check()
}

// sameRoutine returns the name here of a routine that says the same.
func sameRoutine(here *Kept, r Routine, paired map[string]bool, speak speech) (id string, ok bool) {
	r.ID = ""
	key := keyBy(r, speak)
	i := slices.IndexFunc(here.Plan.Routines, func(old Routine) bool {
		id := old.ID
		old.ID = ""
		return !paired[id] && keyBy(old, speak) == key
	})
	if i < 0 {
		return "", false
	}
	return here.Plan.Routines[i].ID, true
}

// rename calls everything in k as it is called here. A name that means nothing in k stays.
func (n names) rename(k *Kept) {
	complaint, routine := renamer(n.complaints), renamer(n.routines)
	k.Complaints = renamed(k.Complaints, func(c *Complaint) { complaint(&c.ID); complaint(&c.Linked) })
	k.Steps = renamed(k.Steps, func(s *ComplaintStep) { complaint(&s.Complaint); complaint(&s.Linked) })
	k.Bases = renamed(k.Bases, func(b *ComplaintBase) { complaint(&b.Complaint) })
	k.Mornings = renamed(k.Mornings, func(m *Morning) { complaint(&m.Complaint) })
	k.Plan.Routines = renamed(k.Plan.Routines, func(r *Routine) { routine(&r.ID) })
	k.Plan.Prescriptions = renamed(k.Plan.Prescriptions, func(p *Prescription) { complaint(&p.Complaint); routine(&p.Programme) })
	k.Plan.Done = renamed(k.Plan.Done, func(d *Done) { complaint(&d.Complaint) })
	k.Plan.Orders = renamed(k.Plan.Orders, func(o *Order) { complaint(&o.Complaint) })
}

func renamer(to map[string]string) func(*string) {
	return func(name *string) {
		if here, ok := to[*name]; ok {
			*name = here
		}
	}
}

// renamed changes copies of the rows.
func renamed[T any](rows []T, change func(*T)) []T {
	rows = slices.Clone(rows)
	for i := range rows {
		change(&rows[i])
	}
	return rows
}
