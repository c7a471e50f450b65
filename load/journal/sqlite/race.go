package sqlite

import "tidemark/load/journal"

const raceColumns = `day, name, distance, off, who, at`

func (t *tx) PutRace(runner journal.RunnerID, r journal.Race) error {
	_, err := t.exec(`INSERT INTO race (runner, `+raceColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		runner, r.Day, r.Name, r.Distance, r.Off, r.By, r.At)
	return err
}

func (t *tx) Races(runner journal.RunnerID) ([]journal.Race, error) {
	scan := func(row scanner) (r journal.Race, err error) {
		err = row.Scan(&r.Day, &r.Name, &r.Distance, &r.Off, &r.By, &r.At)
		return r, err
	}
	return all(t, scan, `SELECT `+raceColumns+` FROM race WHERE runner = $1 ORDER BY seq`, runner)
}
