package web

import "tidemark/load/journal"

// roleWords names a role.
func roleWords(role journal.Role) string {
	return map[journal.Role]string{
		journal.RoleRunner: "the runner", journal.RoleGuardian: "guardian", journal.RoleCoach: "coach", journal.RoleClinician: "clinician",
	}[role]
}

// mayWords says what a role may do with a logbook.
func mayWords(role journal.Role, medical, plan bool) string {
	switch role {
	case journal.RoleRunner, journal.RoleGuardian:
		return "sees and does everything, and lets others in"
	case journal.RoleClinician:
		return "sees everything, and sets the programme, the limits and the way back to running"
	case journal.RoleCoach:
		text := "sees runs, load and warnings, and until when there is no running; plans races"
		if medical {
			text += "; sees what hurts, the mornings and the programme"
		}
		if plan {
			text += "; may brake the way back to running"
		}
		return text
	}
	return ""
}

// may is what the person may do with the logbook of a page, for its forms and links.
type may struct{ Medical, Record, Tell, Advise, Plan, Treat, Share, Delete bool }

func mayOf(r journal.Rights) may {
	return may{
		Medical: r.Has(journal.RightMedical), Record: r.Has(journal.RightRecord), Tell: r.Has(journal.RightTell), Advise: r.Has(journal.RightAdvise),
		Plan: r.Has(journal.RightPlan), Treat: r.Has(journal.RightTreat), Share: r.Has(journal.RightShare), Delete: r.Has(journal.RightDelete),
	}
}
