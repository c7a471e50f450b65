package sqlite

import (
	"tidemark/load"
	"tidemark/load/journal"
)

const eveningColumns = `id, person, day, at, letter`

func scanEvening(row scanner) (e journal.Evening, err error) {
	err = row.Scan(&e.ID, &e.Person, &e.Day, &e.At, &e.Letter)
	return e, err
}

func (t *tx) AddEvening(e journal.Evening) error {
	_, err := t.exec(`INSERT INTO evening (`+eveningColumns+`) VALUES ($1, $2, $3, $4, $5)`, e.ID, e.Person, e.Day, e.At, e.Letter)
	for i, n := range e.News {
		if err != nil {
			break
		}
		_, err = t.exec(`INSERT INTO news (evening, number, runner, key, kind, day, medical, text) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
			e.ID, i, n.Runner, n.Key, n.Kind, n.Day, n.Medical, n.Text)
	}
	return err
}

func (t *tx) Evenings(person journal.Person, from load.Day) ([]journal.Evening, error) {
	return t.evenings(`person = $1 AND day >= $2`, person, from)
}

func (t *tx) WaitingEvenings(person journal.Person) ([]journal.Evening, error) {
	return t.evenings(`person = $1 AND letter = $2`, person, journal.LetterWaits)
}

func (t *tx) evenings(where string, args ...any) ([]journal.Evening, error) {
	out, err := all(t, scanEvening, `SELECT `+eveningColumns+` FROM evening WHERE `+where+` ORDER BY at, id`, args...)
	for i := range out {
		if err != nil {
			break
		}
		out[i].News, err = all(t, scanNews, `SELECT runner, key, kind, day, medical, text FROM news WHERE evening = $1 ORDER BY number`, out[i].ID)
	}
	return out, err
}

func scanNews(row scanner) (n journal.News, err error) {
	err = row.Scan(&n.Runner, &n.Key, &n.Kind, &n.Day, &n.Medical, &n.Text)
	return n, err
}

func (t *tx) SetLetter(id string, s journal.LetterState) error {
	_, err := t.exec(`UPDATE evening SET letter = $1 WHERE id = $2`, s, id)
	return err
}

func (t *tx) PutLetters(person journal.Person, from, to journal.LetterState) error {
	_, err := t.exec(`UPDATE evening SET letter = $1 WHERE person = $2 AND letter = $3`, to, person, from)
	return err
}

func (t *tx) HasEvenings(before load.Day) (bool, error) {
	scan := func(row scanner) (is bool, err error) {
		err = row.Scan(&is)
		return is, err
	}
	return one(t, scan, "evenings", `SELECT EXISTS (SELECT 1 FROM evening WHERE day < $1)`, before)
}

func (t *tx) DropEvenings(before load.Day) error {
	if _, err := t.exec(`DELETE FROM news WHERE evening IN (SELECT id FROM evening WHERE day < $1)`, before); err != nil {
		return err
	}
	_, err := t.exec(`DELETE FROM evening WHERE day < $1`, before)
	return err
}

func (t *tx) PutTold(person journal.Person, stands []journal.News) error {
	_, err := t.exec(`DELETE FROM told WHERE person = $1`, person)
	for _, n := range stands {
		if err != nil {
			break
		}
		_, err = t.exec(`INSERT INTO told (person, runner, key) VALUES ($1, $2, $3)`, person, n.Runner, n.Key)
	}
	return err
}

func (t *tx) Told(person journal.Person) ([]journal.News, error) {
	scan := func(row scanner) (n journal.News, err error) {
		err = row.Scan(&n.Runner, &n.Key)
		return n, err
	}
	return all(t, scan, `SELECT runner, key FROM told WHERE person = $1 ORDER BY runner, key`, person)
}
