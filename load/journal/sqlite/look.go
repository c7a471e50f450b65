package sqlite

import "tidemark/load/journal"

const lookColumns = `person, what, at`

func scanLook(row scanner) (l journal.Look, err error) {
	err = row.Scan(&l.Person, &l.What, &l.At)
	return l, err
}

func (t *tx) PutLook(runner journal.RunnerID, l journal.Look) error {
	_, err := t.exec(`INSERT INTO look (runner, `+lookColumns+`) VALUES ($1, $2, $3, $4)`, runner, l.Person, l.What, l.At)
	return err
}

func (t *tx) LastLook(runner journal.RunnerID, person journal.Person, what journal.LookKind) (journal.Look, error) {
	return one(t, scanLook, "look", `SELECT `+lookColumns+` FROM look WHERE runner = $1 AND person = $2 AND what = $3 ORDER BY seq DESC LIMIT 1`, runner, person, what)
}

func (t *tx) Looks(runner journal.RunnerID, most int) ([]journal.Look, error) {
	return all(t, scanLook, `SELECT `+lookColumns+` FROM look WHERE runner = $1 ORDER BY seq DESC LIMIT $2`, runner, most)
}
