package journaltest

import (
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// testWarnings: what stands open of many is as their books say it, as far as one may see it,
// also where a row went stale or never was.
func testWarnings(t *testing.T, s journal.Store) {
	j, w := watched(s)
	f, b := follow(t, j, "local")
	coach, clinician := join(t, j, "Rafe", ""), join(t, j, "Ada", "")
	must(t, b.Grant(t.Context(), coach.ID, journal.RoleCoach, false, false))
	must(t, b.Grant(t.Context(), clinician.ID, journal.RoleClinician, false, false))
	book(t, j, "Another's")
	w.wait(48 * time.Hour)
	open := func(person journal.Person) (ids []string) {
		t.Helper()
		for _, one := range get[[]journal.OpenFinding](t)(j.OpenFindings(t.Context(), person)) {
			if one.Runner.ID != f.runner || one.Rule == "" || one.Text == "" {
				t.Errorf("%+v", one)
			}
			ids = append(ids, one.ID)
		}
		return ids
	}
	said := func(person journal.Person) (ids []string) {
		t.Helper()
		of := get[*journal.Book](t)(j.Open(t.Context(), person, f.runner))
		must(t, of.Refresh(t.Context(), firstUse+2))
		for level := load.Stop; ; level-- {
			for _, one := range get[[]journal.Finding](t)(of.Findings(t.Context())) { // by day
				if one.State == journal.Open && one.Level == level {
					ids = append(ids, one.ID)
				}
			}
			if level == load.Remark {
				return ids
			}
		}
	}
	for _, person := range []journal.Person{journal.Local, coach.ID, clinician.ID} {
		same(t, string(person), open(person), said(person))
	}
	if whole, bare := len(open(clinician.ID)), len(open(coach.ID)); whole <= bare {
		t.Errorf("%d with leave for medical detail, %d without", whole, bare)
	}
	same(t, "of nobody", len(open("nobody")), 0)
	answered := open(clinician.ID)[0]
	of := get[*journal.Book](t)(j.Open(t.Context(), clinician.ID, f.runner))
	must(t, of.Answer(t.Context(), answered, journal.Seen, ""))
	same(t, "after one was seen", len(open(clinician.ID)), len(said(clinician.ID)))
	for _, id := range open(clinician.ID) {
		if id == answered {
			t.Errorf("%s was seen and stands open", id)
		}
	}
	must(t, b.Revoke(t.Context(), clinician.ID))
	same(t, "after it was revoked", len(open(clinician.ID)), 0)
}
