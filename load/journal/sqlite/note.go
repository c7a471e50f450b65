package sqlite

import (
	"database/sql"

	"tidemark/load"
	"tidemark/load/journal"
)

const noteColumns = `kind, day, next, text, who, at`

func (t *tx) PutNote(runner journal.RunnerID, n journal.Note) error {
	_, err := t.exec(`INSERT INTO note (runner, `+noteColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		runner, n.Kind, n.Day, null(int64(n.Next), n.HasNext), n.Text, n.By, n.At)
	return err
}

func (t *tx) Notes(runner journal.RunnerID) ([]journal.Note, error) {
	scan := func(row scanner) (n journal.Note, err error) {
		_, n, err = scanNote(row)
		return n, err
	}
	return all(t, scan, `SELECT runner, `+noteColumns+` FROM note WHERE runner = $1 ORDER BY seq`, runner)
}

func (t *tx) LastVisits(person journal.Person) (map[journal.RunnerID]journal.Note, error) {
	const last = `SELECT runner, ` + noteColumns + ` FROM note n WHERE kind = 'visit' AND NOT EXISTS (
		SELECT 1 FROM note l WHERE l.runner = n.runner AND l.kind = 'visit' AND (l.day > n.day OR l.day = n.day AND l.seq > n.seq))`
	if person == journal.Local {
		return paired(t, scanNote, last)
	}
	return paired(t, scanNote, last+` AND n.runner IN `+ofPerson, person)
}

func (t *tx) LastWords(person journal.Person) (map[journal.RunnerID]journal.Note, error) {
	const columns = `SELECT n.runner, n.kind, n.day, n.next, n.text, n.who, n.at FROM note n WHERE n.seq IN (
		SELECT max(l.seq) FROM note l WHERE l.kind = 'to-runner' AND (l.who = 'local' OR EXISTS (
			SELECT 1 FROM granted c WHERE c.runner = l.runner AND c.person = l.who AND c.role = 'clinician'))`
	if person == journal.Local {
		return paired(t, scanNote, columns+` GROUP BY l.runner)`)
	}
	return paired(t, scanNote, columns+` AND l.runner IN `+ofPerson+` GROUP BY l.runner)`, person)
}

func scanNote(row scanner) (id journal.RunnerID, n journal.Note, err error) {
	var next sql.Null[load.Day]
	err = row.Scan(&id, &n.Kind, &n.Day, &next, &n.Text, &n.By, &n.At)
	n.Next, n.HasNext = next.V, next.Valid
	return id, n, err
}
