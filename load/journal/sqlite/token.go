package sqlite

import (
	"tidemark/load"
	"tidemark/load/journal"
)

const tokenColumns = `hash, person, name, scope, made, until, used, revoked`

func scanToken(row scanner) (k journal.Token, err error) {
	err = row.Scan(&k.Hash, &k.Person, &k.Name, &k.Scope, &k.Made, &k.Until, &k.Used, &k.Revoked)
	return k, err
}

func (t *tx) AddToken(k journal.Token) error {
	_, err := t.exec(`INSERT INTO token (`+tokenColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		k.Hash, k.Person, k.Name, k.Scope, k.Made, k.Until, k.Used, k.Revoked)
	return err
}

func (t *tx) Token(hash string) (journal.Token, error) {
	return one(t, scanToken, "token", `SELECT `+tokenColumns+` FROM token WHERE hash = $1`, hash)
}

func (t *tx) Tokens(person journal.Person) ([]journal.Token, error) {
	return all(t, scanToken, `SELECT `+tokenColumns+` FROM token WHERE person = $1 ORDER BY seq`, person)
}

func (t *tx) UseToken(hash string, at load.Instant) error {
	_, err := t.exec(`UPDATE token SET used = $1 WHERE hash = $2`, at, hash)
	return err
}

func (t *tx) RevokeToken(hash string) error {
	_, err := t.exec(`UPDATE token SET revoked = 1 WHERE hash = $1`, hash)
	return err
}
