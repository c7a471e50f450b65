package sqlite

import (
	"database/sql"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
)

const warnedColumns = `r.id, r.name, r.home, r.first_use, r.revision, s.revision, s.day, s.decoder, s.model, s.rules, s.seen_whole, s.seen_bare`

// quiet leaves out runners of whom nothing stands open by a row that is of now: they are
// most. The text is that of PutStanding.
const quiet = ` WHERE NOT (s.revision IS NOT NULL AND s.revision = r.revision AND s.decoder = $1 AND s.model = $2 AND s.rules = $3
	AND s.day = (SELECT t.day FROM today t WHERE t.home = r.home) AND instr(s.seen_whole, '"OpenFindings":0,') > 0)`

func (t *tx) Homes() ([]string, error) {
	return all(t, scanString, `SELECT DISTINCT home FROM runner ORDER BY home`)
}

func (t *tx) Warned(person journal.Person, today map[string]load.Day, v journal.Versions) ([]journal.Warned, error) {
	if len(today) == 0 {
		return nil, nil // nobody lives anywhere
	}
	args := []any{v.Decoder, v.Model, v.Rules}
	var rows []string
	for _, home := range slices.Sorted(maps.Keys(today)) {
		rows = append(rows, fmt.Sprintf("($%d, $%d)", len(args)+1, len(args)+2))
		args = append(args, home, today[home])
	}
	with := `WITH today (home, day) AS (VALUES ` + strings.Join(rows, ", ") + `) `
	if person == journal.Local {
		return all(t, scanWarned(false), with+`SELECT `+warnedColumns+` FROM runner r LEFT JOIN standing s ON s.runner = r.id`+quiet, args...)
	}
	whose := fmt.Sprintf("$%d", len(args)+1)
	return all(t, scanWarned(true), with+`SELECT `+warnedColumns+`, g.role, g.medical, g.plan
		FROM granted g JOIN runner r ON r.id = g.runner LEFT JOIN standing s ON s.runner = g.runner`+quiet+`
		AND g.person = `+whose+` AND g.revoked = 0
		AND g.seq = (SELECT max(l.seq) FROM granted l WHERE l.person = g.person AND l.runner = g.runner)`, append(args, person)...)
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
		return w, readSights(s, whole, bare)
	}
}
