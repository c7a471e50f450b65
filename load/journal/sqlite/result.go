package sqlite

import (
	"database/sql"

	"tidemark/load/journal"
)

const resultColumns = `test, day, left_side, right_side, total, note, who, at`

func (t *tx) PutResult(runner journal.RunnerID, r journal.Result) error {
	_, err := t.exec(`INSERT INTO result (runner, `+resultColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		runner, r.Test, r.Day, pointed(r.Left), pointed(r.Right), pointed(r.Total), r.Note, r.By, r.At)
	return err
}

func (t *tx) Results(runner journal.RunnerID) ([]journal.Result, error) {
	scan := func(row scanner) (r journal.Result, err error) {
		var left, right, total sql.Null[float64]
		err = row.Scan(&r.Test, &r.Day, &left, &right, &total, &r.Note, &r.By, &r.At)
		r.Left, r.Right, r.Total = pointer(left), pointer(right), pointer(total)
		return r, err
	}
	return all(t, scan, `SELECT `+resultColumns+` FROM result WHERE runner = $1 ORDER BY seq`, runner)
}
