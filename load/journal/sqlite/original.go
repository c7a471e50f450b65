package sqlite

import (
	"fmt"

	"tidemark/load/journal"
)

// copySum reads a sum; the schema holds it to its length.
func copySum(sum *journal.Sum, b []byte) error {
	if copy(sum[:], b) != len(sum) {
		return fmt.Errorf("read sum: %d bytes: %w", len(b), journal.ErrDamaged)
	}
	return nil
}

const originalColumns = `o.sum, o.path, o.format, o.size, o.added`

func scanOriginal(row scanner) (o journal.Original, err error) {
	var sum []byte
	if err := row.Scan(&sum, &o.Path, &o.Format, &o.Size, &o.Added); err != nil {
		return o, err
	}
	return o, copySum(&o.Sum, sum)
}

func (t *tx) PutOriginal(runner journal.RunnerID, o journal.Original, packed []byte) error {
	scan := func(row scanner) (seq int64, err error) {
		err = row.Scan(&seq)
		return seq, err
	}
	seq, err := one(t, scan, "new original", `INSERT INTO original (runner, sum, path, format, size, added)
		VALUES ($1, $2, $3, $4, $5, $6) RETURNING seq`, runner, o.Sum[:], o.Path, o.Format, o.Size, o.Added)
	if err != nil {
		return err
	}
	if packed == nil {
		packed = []byte{} // nil would be NULL
	}
	_, err = t.exec(`INSERT INTO original_content (seq, packed) VALUES ($1, $2)`, seq, packed)
	return err
}

func (t *tx) Original(runner journal.RunnerID, sum journal.Sum) (o journal.Original, packed []byte, err error) {
	scan := func(row scanner) (o journal.Original, err error) {
		var sum []byte
		if err := row.Scan(&sum, &o.Path, &o.Format, &o.Size, &o.Added, &packed); err != nil {
			return o, err
		}
		return o, copySum(&o.Sum, sum)
	}
	o, err = one(t, scan, "original "+sum.String(), `SELECT `+originalColumns+`, c.packed
		FROM original o JOIN original_content c ON c.seq = o.seq WHERE o.runner = $1 AND o.sum = $2`, runner, sum[:])
	return o, packed, err
}

func (t *tx) HasOriginal(runner journal.RunnerID, sum journal.Sum) (bool, error) {
	return t.exists(`SELECT EXISTS (SELECT 1 FROM original WHERE runner = $1 AND sum = $2)`, runner, sum[:])
}

func (t *tx) exists(query string, args ...any) (bool, error) {
	scan := func(row scanner) (b bool, err error) {
		err = row.Scan(&b)
		return b, err
	}
	return one(t, scan, "whether a row exists", query, args...)
}

func (t *tx) Originals(runner journal.RunnerID) ([]journal.Original, error) {
	return all(t, scanOriginal, `SELECT `+originalColumns+` FROM original o WHERE o.runner = $1 ORDER BY o.seq`, runner)
}
