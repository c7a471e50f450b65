package sqlite

import "tidemark/load/journal"

const accountColumns = `id, name, host, password, second, second_used, closed, made`

func scanAccount(row scanner) (a journal.Account, err error) {
	err = row.Scan(&a.ID, &a.Name, &a.Host, &a.Password, &a.Second, &a.SecondUsed, &a.Closed, &a.Made)
	return a, err
}

func (t *tx) PutAccount(a journal.Account, folded string) error {
	_, err := t.exec(`INSERT INTO account (`+accountColumns+`, folded) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, host = excluded.host, password = excluded.password, second = excluded.second,
			second_used = excluded.second_used, closed = excluded.closed, made = excluded.made, folded = excluded.folded`,
		a.ID, a.Name, a.Host, a.Password, a.Second, a.SecondUsed, a.Closed, a.Made, folded)
	return err
}

func (t *tx) Account(id journal.Person) (journal.Account, error) {
	return one(t, scanAccount, "account "+string(id), `SELECT `+accountColumns+` FROM account WHERE id = $1`, id)
}

func (t *tx) AccountNamed(folded string) (journal.Account, error) {
	return one(t, scanAccount, "account of a name", `SELECT `+accountColumns+` FROM account WHERE folded = $1`, folded)
}

func (t *tx) Accounts() ([]journal.Account, error) {
	return all(t, scanAccount, `SELECT `+accountColumns+` FROM account ORDER BY made, id`)
}
