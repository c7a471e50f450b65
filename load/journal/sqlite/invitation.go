package sqlite

import (
	"database/sql"
	"fmt"

	"tidemark/load"
	"tidemark/load/journal"
)

const invitationColumns = `hash, kind, runner, role, medical, plan, person, name, home, who, at, until, taken_by, taken, revoked`

func scanInvitation(row scanner) (i journal.Invitation, err error) {
	var runner, person sql.NullString
	err = row.Scan(&i.Hash, &i.Kind, &runner, &i.Role, &i.Medical, &i.Plan, &person, &i.Name, &i.Home, &i.By, &i.At, &i.Until, &i.TakenBy, &i.Taken, &i.Revoked)
	i.Runner, i.Person = journal.RunnerID(runner.String), journal.Person(person.String)
	return i, err
}

func nullable(s string) sql.NullString { return sql.NullString{String: s, Valid: s != ""} }

func (t *tx) AddInvitation(i journal.Invitation) error {
	_, err := t.exec(`INSERT INTO invitation (`+invitationColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
		i.Hash, i.Kind, nullable(string(i.Runner)), i.Role, i.Medical, i.Plan, nullable(string(i.Person)), i.Name, i.Home, i.By, i.At, i.Until, i.TakenBy, i.Taken, i.Revoked)
	return err
}

func (t *tx) Invitation(hash string) (journal.Invitation, error) {
	return one(t, scanInvitation, "invitation", `SELECT `+invitationColumns+` FROM invitation WHERE hash = $1`, hash)
}

func (t *tx) Invitations(runner journal.RunnerID) ([]journal.Invitation, error) {
	return all(t, scanInvitation, `SELECT `+invitationColumns+` FROM invitation WHERE runner = $1 ORDER BY seq`, runner)
}

func (t *tx) AllInvitations() ([]journal.Invitation, error) {
	return all(t, scanInvitation, `SELECT `+invitationColumns+` FROM invitation ORDER BY seq`)
}

func (t *tx) TakeInvitation(hash string, by journal.Person, at load.Instant) error {
	n, err := t.exec(`UPDATE invitation SET taken_by = $1, taken = $2 WHERE hash = $3 AND taken_by = '' AND revoked = 0`, by, at, hash)
	if err == nil && n == 0 {
		err = fmt.Errorf("take invitation: %w", journal.ErrConflict)
	}
	return err
}

func (t *tx) RevokeInvitation(hash string) error {
	_, err := t.exec(`UPDATE invitation SET revoked = 1 WHERE hash = $1`, hash)
	return err
}

func (t *tx) RevokeInvitations(kind journal.InvitationKind, person journal.Person) error {
	_, err := t.exec(`UPDATE invitation SET revoked = 1 WHERE kind = $1 AND taken_by = '' AND ($2 = '' OR person = $2)`, kind, person)
	return err
}
