package sqlite

import "tidemark/load/journal"

const editColumns = `session, field, value, who, at`

func scanEdit(row scanner) (e journal.Edit, err error) {
	err = row.Scan(&e.Session, &e.Field, &e.Value, &e.By, &e.At)
	return e, err
}

func (t *tx) PutEdit(runner journal.RunnerID, e journal.Edit) error {
	_, err := t.exec(`INSERT INTO edit (runner, `+editColumns+`) VALUES ($1, $2, $3, $4, $5, $6)`,
		runner, e.Session, e.Field, e.Value, e.By, e.At)
	return err
}

func (t *tx) Edits(runner journal.RunnerID) ([]journal.Edit, error) {
	return all(t, scanEdit, `SELECT `+editColumns+` FROM edit WHERE runner = $1 ORDER BY seq`, runner)
}

const selectEditsOf = `SELECT ` + editColumns + ` FROM edit WHERE runner = $1 AND session = $2 ORDER BY seq`

func (t *tx) EditsOf(runner journal.RunnerID, session string) ([]journal.Edit, error) {
	return all(t, scanEdit, selectEditsOf, runner, session)
}
