package sqlite

import (
	"bytes"
	"database/sql"

	"tidemark/load"
	"tidemark/load/journal"
)

const warnedColumns = `r.id, r.name, r.home, r.first_use, r.revision, s.revision, s.day, s.decoder, s.model, s.rules, s.seen_whole, s.seen_bare`

func (t *tx) Warned(person journal.Person) ([]journal.Warned, error) {
	if person == journal.Local {
		return all(t, scanWarned(false), `SELECT `+warnedColumns+` FROM runner r LEFT JOIN standing s ON s.runner = r.id`)
	}
	return all(t, scanWarned(true), `SELECT `+warnedColumns+`, g.role, g.medical, g.plan
		FROM granted g JOIN runner r ON r.id = g.runner LEFT JOIN standing s ON s.runner = g.runner
		WHERE g.person = $1 AND g.revoked = 0
		AND g.seq = (SELECT max(l.seq) FROM granted l WHERE l.person = g.person AND l.runner = g.runner)`, person)
}

func scanWarned(granted bool) func(scanner) (journal.Warned, error) {
	return func(row scanner) (w journal.Warned, err error) {
		var revision sql.Null[int64]
		var day sql.Null[load.Day]
		var decoder, model, rules sql.Null[int]
		var whole, bare sql.RawBytes // good until the next row
		r, g, s := &w.Runner, &w.Grant, &w.Standing
		into := []any{&r.ID, &r.Name, &r.Home, &r.FirstUse, &r.Revision, &revision, &day, &decoder, &model, &rules, &whole, &bare}
		if granted {
			into = append(into, &g.Role, &g.Medical, &g.Plan)
		}
		if err := row.Scan(into...); err != nil || !revision.Valid {
			return w, err
		}
		s.Runner, s.Revision, s.Day = r.ID, revision.V, day.V
		s.Versions = journal.Versions{Decoder: decoder.V, Model: model.V, Rules: rules.V}
		return w, openSights(s, whole, bare)
	}
}

// nothingOpen stands in a sight without an open finding, as PutStanding writes it.
var nothingOpen = []byte(`"OpenFindings":0,`)

// openSights reads what stands open, of most runners nothing: who sees less sees no more of it.
func openSights(s *journal.Standing, whole, bare []byte) error {
	if bytes.Contains(whole, nothingOpen) {
		return nil
	}
	return readSights(s, whole, bare)
}
