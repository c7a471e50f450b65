package sqlite

import (
	"tidemark/load"
	"tidemark/load/journal"
)

func (t *tx) PutRest(runner journal.RunnerID, sum journal.Sum, day load.Day) (added bool, err error) {
	n, err := t.exec(`INSERT INTO rest (runner, day, sum) VALUES ($1, $2, $3)
		ON CONFLICT (runner, day) DO NOTHING`, runner, day, sum[:])
	return n == 1, err
}

func (t *tx) Rests(runner journal.RunnerID) ([]load.Day, error) {
	scan := func(row scanner) (d load.Day, err error) {
		err = row.Scan(&d)
		return d, err
	}
	return all(t, scan, `SELECT day FROM rest WHERE runner = $1 ORDER BY day`, runner)
}
