package sqlite

import "tidemark/load/journal"

const gapColumns = `from_day, to_day, answer, runs, longest, who, at`

func (t *tx) PutGap(runner journal.RunnerID, g journal.Gap) error {
	_, err := t.exec(`INSERT INTO gap (runner, `+gapColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		runner, g.First, g.Last, g.Answer, g.Runs, g.Longest, g.By, g.At)
	return err
}

func (t *tx) Gaps(runner journal.RunnerID) ([]journal.Gap, error) {
	scan := func(row scanner) (g journal.Gap, err error) {
		err = row.Scan(&g.First, &g.Last, &g.Answer, &g.Runs, &g.Longest, &g.By, &g.At)
		return g, err
	}
	return all(t, scan, `SELECT `+gapColumns+` FROM gap WHERE runner = $1 ORDER BY seq`, runner)
}
