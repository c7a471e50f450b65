package sqlite

import "tidemark/load/journal"

const grantColumns = `person, role, medical, plan, revoked, who, at`

func (t *tx) PutGrant(runner journal.RunnerID, g journal.Grant) error {
	_, err := t.exec(`INSERT INTO granted (runner, `+grantColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		runner, g.Person, g.Role, g.Medical, g.Plan, g.Revoked, g.By, g.At)
	return err
}

func (t *tx) Grants(runner journal.RunnerID) ([]journal.Grant, error) {
	scan := func(row scanner) (g journal.Grant, err error) {
		err = row.Scan(&g.Person, &g.Role, &g.Medical, &g.Plan, &g.Revoked, &g.By, &g.At)
		return g, err
	}
	return all(t, scan, `SELECT `+grantColumns+` FROM granted WHERE runner = $1 ORDER BY seq`, runner)
}

func (t *tx) RunnersOf(person journal.Person) ([]journal.Runner, error) {
	return all(t, scanRunner, `SELECT `+runnerColumns+` FROM runner WHERE id IN (
		SELECT g.runner FROM granted g WHERE g.person = $1 AND g.revoked = 0
		AND g.seq = (SELECT max(l.seq) FROM granted l WHERE l.person = g.person AND l.runner = g.runner))`, person)
}
