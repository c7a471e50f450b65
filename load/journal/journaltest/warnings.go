package journaltest

import (
	"slices"
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

// testWarned: only a row of now, by which nothing stands open, lets a runner be left out.
func testWarned(t *testing.T, s journal.Store) {
	today := map[string]load.Day{"UTC": firstUse}
	put := func(id journal.RunnerID, change func(*journal.Standing)) {
		runner(t, s, id)
		row := journal.Standing{Runner: id, Revision: 1, Day: firstUse, Versions: versions}
		change(&row)
		update(t, s, func(tx journal.Tx) error { return tx.PutStanding(row) })
	}
	put("quiet", func(*journal.Standing) {})
	put("yesterday's", func(row *journal.Standing) { row.Day-- })
	put("another revision's", func(row *journal.Standing) { row.Revision = 2 })
	put("another decoder's", func(row *journal.Standing) { row.Versions.Decoder++ })
	put("another model's", func(row *journal.Standing) { row.Versions.Model++ })
	put("other rules'", func(row *journal.Standing) { row.Versions.Rules++ })
	put("open", func(row *journal.Standing) { row.Whole.OpenFindings = 1 })
	runner(t, s, "without a row")
	want := []journal.RunnerID{"another decoder's", "another model's", "another revision's", "open", "other rules'", "without a row", "yesterday's"}
	view(t, s, func(tx journal.Tx) error {
		same(t, "homes", get[[]string](t)(tx.Homes()), []string{"UTC"})
		var ids []journal.RunnerID
		for _, w := range get[[]journal.Warned](t)(tx.Warned(journal.Local, today, versions)) {
			ids = append(ids, w.Runner.ID)
		}
		slices.Sort(ids)
		same(t, "at the machine", ids, want)
		same(t, "of nobody", len(get[[]journal.Warned](t)(tx.Warned("nobody", today, versions))), 0)
		return nil
	})
}
