package sqlite

import "tidemark/load/journal"

const settingColumns = `key, from_day, value, who, at`

func (t *tx) PutSetting(runner journal.RunnerID, s journal.Setting) error {
	_, err := t.exec(`INSERT INTO setting (runner, `+settingColumns+`) VALUES ($1, $2, $3, $4, $5, $6)`,
		runner, s.Key, s.From, s.Value, s.By, s.At)
	return err
}

func (t *tx) Settings(runner journal.RunnerID) ([]journal.Setting, error) {
	scan := func(row scanner) (s journal.Setting, err error) {
		err = row.Scan(&s.Key, &s.From, &s.Value, &s.By, &s.At)
		return s, err
	}
	return all(t, scan, `SELECT `+settingColumns+` FROM setting WHERE runner = $1 ORDER BY seq`, runner)
}
