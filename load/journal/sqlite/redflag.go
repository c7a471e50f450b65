package sqlite

import "tidemark/load/journal"

const flagColumns = `flag, day, lifted, why, who, at`

func (t *tx) PutRedFlag(runner journal.RunnerID, f journal.RedFlag) error {
	_, err := t.exec(`INSERT INTO red_flag (runner, `+flagColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		runner, f.Flag, f.Day, f.Lifted, f.Why, f.By, f.At)
	return err
}

func (t *tx) RedFlags(runner journal.RunnerID) ([]journal.RedFlag, error) {
	scan := func(row scanner) (f journal.RedFlag, err error) {
		err = row.Scan(&f.Flag, &f.Day, &f.Lifted, &f.Why, &f.By, &f.At)
		return f, err
	}
	return all(t, scan, `SELECT `+flagColumns+` FROM red_flag WHERE runner = $1 ORDER BY seq`, runner)
}
