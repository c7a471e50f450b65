package sqlite

import (
	"tidemark/load"
	"tidemark/load/journal"
)

const signInColumns = `hash, person, made, seen, until`

func scanSignIn(row scanner) (s journal.SignIn, err error) {
	err = row.Scan(&s.Hash, &s.Person, &s.Made, &s.Seen, &s.Until)
	return s, err
}

func (t *tx) AddSignIn(s journal.SignIn) error {
	_, err := t.exec(`INSERT INTO sign_in (`+signInColumns+`) VALUES ($1, $2, $3, $4, $5)`, s.Hash, s.Person, s.Made, s.Seen, s.Until)
	return err
}

func (t *tx) SignIn(hash string) (journal.SignIn, error) {
	return one(t, scanSignIn, "sign-in", `SELECT `+signInColumns+` FROM sign_in WHERE hash = $1`, hash)
}

func (t *tx) SignIns(person journal.Person) ([]journal.SignIn, error) {
	return all(t, scanSignIn, `SELECT `+signInColumns+` FROM sign_in WHERE person = $1 ORDER BY seen DESC, made DESC, hash`, person)
}

func (t *tx) SeeSignIn(hash string, at load.Instant) error {
	_, err := t.exec(`UPDATE sign_in SET seen = $1 WHERE hash = $2`, at, hash)
	return err
}

func (t *tx) DropSignIn(hash string) error {
	_, err := t.exec(`DELETE FROM sign_in WHERE hash = $1`, hash)
	return err
}

func (t *tx) DropSignIns(person journal.Person) error {
	_, err := t.exec(`DELETE FROM sign_in WHERE person = $1`, person)
	return err
}

func (t *tx) DropSignInsUntil(now load.Instant) error {
	_, err := t.exec(`DELETE FROM sign_in WHERE until <= $1`, now)
	return err
}
