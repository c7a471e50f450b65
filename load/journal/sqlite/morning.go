package sqlite

import (
	"database/sql"

	"tidemark/load/journal"
)

const morningColumns = `complaint, day, before, during, after, next, stiffness, limp, entered, who`

func (t *tx) PutMorning(runner journal.RunnerID, m journal.Morning) error {
	_, err := t.exec(`INSERT INTO morning (runner, `+morningColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		runner, m.Complaint, m.Day, scored(m.Before), scored(m.During), scored(m.After), scored(m.Next),
		pointed(m.Stiffness), pointed(m.Limp), m.Entered, m.By)
	return err
}

// scored widens a score to what a column holds.
func scored(s *uint8) sql.Null[int64] {
	if s == nil {
		return sql.Null[int64]{}
	}
	return sql.Null[int64]{V: int64(*s), Valid: true}
}

func (t *tx) Mornings(runner journal.RunnerID) ([]journal.Morning, error) {
	scan := func(row scanner) (m journal.Morning, err error) {
		var before, during, after, next sql.Null[uint8]
		var stiffness sql.Null[int]
		var limp sql.Null[bool]
		err = row.Scan(&m.Complaint, &m.Day, &before, &during, &after, &next, &stiffness, &limp, &m.Entered, &m.By)
		m.Before, m.During, m.After, m.Next = pointer(before), pointer(during), pointer(after), pointer(next)
		m.Stiffness, m.Limp = pointer(stiffness), pointer(limp)
		return m, err
	}
	return all(t, scan, `SELECT `+morningColumns+` FROM morning WHERE runner = $1 ORDER BY seq`, runner)
}
