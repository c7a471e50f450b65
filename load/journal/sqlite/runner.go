package sqlite

import (
	"tidemark/load"
	"tidemark/load/journal"
)

const runnerColumns = `id, name, home, first_use, revision`

func scanRunner(row scanner) (r journal.Runner, err error) {
	err = row.Scan(&r.ID, &r.Name, &r.Home, &r.FirstUse, &r.Revision)
	return r, err
}

func (t *tx) AddRunner(r journal.Runner) error {
	_, err := t.exec(`INSERT INTO runner (`+runnerColumns+`) VALUES ($1, $2, $3, $4, $5)`,
		r.ID, r.Name, r.Home, r.FirstUse, r.Revision)
	return err
}

func (t *tx) Runner(id journal.RunnerID) (journal.Runner, error) {
	return one(t, scanRunner, "runner "+string(id), `SELECT `+runnerColumns+` FROM runner WHERE id = $1`, id)
}

func (t *tx) RunnerNamed(name string) (journal.Runner, error) {
	return one(t, scanRunner, "runner "+name, `SELECT `+runnerColumns+` FROM runner WHERE name = $1`, name)
}

func (t *tx) Runners() ([]journal.Runner, error) {
	return all(t, scanRunner, `SELECT `+runnerColumns+` FROM runner`)
}

func (t *tx) Touch(id journal.RunnerID) (int64, error) {
	scan := func(row scanner) (n int64, err error) {
		err = row.Scan(&n)
		return n, err
	}
	return one(t, scan, "runner "+string(id),
		`UPDATE runner SET revision = revision + 1 WHERE id = $1 RETURNING revision`, id)
}

func (t *tx) Settle(id journal.RunnerID, home string, firstUse load.Day) error {
	_, err := t.exec(`UPDATE runner SET home = $2, first_use = $3 WHERE id = $1`, id, home, firstUse)
	return err
}
