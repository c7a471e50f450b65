package sqlite

import "tidemark/load/journal"

const wishColumns = `person, address, detail, hour, zone, stop, feed, heard, tries, next, fault, dropped,
	asks, code, asked, asking_tries, asking_next, asking_fault, code_out, unmet`

func scanWish(row scanner) (w journal.Wish, err error) {
	err = row.Scan(&w.Person, &w.Address, &w.Detail, &w.Hour, &w.Zone, &w.Stop, &w.Feed, &w.Heard, &w.Letter.Tries, &w.Letter.Next, &w.Letter.Fault, &w.Dropped,
		&w.Asks, &w.Code, &w.Asked, &w.Asking.Tries, &w.Asking.Next, &w.Asking.Fault, &w.Out, &w.Unmet)
	return w, err
}

func (t *tx) PutWish(w journal.Wish) error {
	if _, err := t.exec(`DELETE FROM wish WHERE person = $1`, w.Person); err != nil {
		return err
	}
	_, err := t.exec(`INSERT INTO wish (`+wishColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20)`,
		w.Person, w.Address, w.Detail, w.Hour, w.Zone, w.Stop, w.Feed, w.Heard, w.Letter.Tries, w.Letter.Next, w.Letter.Fault, w.Dropped,
		w.Asks, w.Code, w.Asked, w.Asking.Tries, w.Asking.Next, w.Asking.Fault, w.Out, w.Unmet)
	return err
}

func (t *tx) Wish(person journal.Person) (journal.Wish, error) {
	return one(t, scanWish, "wish of "+string(person), `SELECT `+wishColumns+` FROM wish WHERE person = $1`, person)
}

func (t *tx) Wishes() ([]journal.Wish, error) {
	return all(t, scanWish, `SELECT `+wishColumns+` FROM wish ORDER BY person`)
}

func (t *tx) WishStop(stop string) (journal.Wish, error) {
	return one(t, scanWish, "letters of that address", `SELECT `+wishColumns+` FROM wish WHERE stop = $1`, stop)
}

func (t *tx) WishFeed(hash string) (journal.Wish, error) {
	return one(t, scanWish, "feed of that address", `SELECT `+wishColumns+` FROM wish WHERE feed = $1`, hash)
}
