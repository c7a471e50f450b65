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

func (t *tx) RestRows(runner journal.RunnerID) ([]journal.Rest, error) {
	scan := func(row scanner) (r journal.Rest, err error) {
		var sum []byte
		if err := row.Scan(&r.Day, &sum); err != nil {
			return r, err
		}
		return r, copySum(&r.Sum, sum)
	}
	return all(t, scan, `SELECT day, sum FROM rest WHERE runner = $1 ORDER BY day`, runner)
}
