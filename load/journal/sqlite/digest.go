package sqlite

import (
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"math"
	"slices"
	"strings"

	"tidemark/load/journal"
)

// derived are the tables that have no part in the digest: what can be rebuilt, and
// the migrations' own. A table is kept unless it is named here. Findings are, for a
// migration carries them over.
var derived = []string{"activity", "migration", "session", "standing", "stamp"}

// Digest implements journal.Tx. It is the SHA-256 (FIPS 180-4) of, for each table
// that has rows, in order of name: T and its name, C and the name of each column in
// order of name, and for each row in order of the primary key R and its values in
// the order of the columns. A value is N for null, I with 64 bits, F with the 64 bits of IEEE
// 754, S with text or B with bytes; numbers are big-endian, and before each name,
// text and bytes stands their length in 64 bits.
func (t *tx) Digest() (d journal.Digest, err error) {
	tables, err := all(t, scanString, `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name`)
	if err != nil {
		return d, err
	}
	sum := digester{sha256.New()}
	for _, table := range tables {
		if slices.Contains(derived, table) {
			continue
		}
		rows, err := t.digestTable(sum, table)
		if err != nil {
			return d, fmt.Errorf("sum up table %s: %w", table, err)
		}
		d.Rows += rows
	}
	sum.Sum(d.Sum[:0])
	return d, nil
}

func (t *tx) digestTable(sum digester, table string) (rows int64, err error) {
	columns, err := all(t, scanString, `SELECT name FROM pragma_table_info($1) ORDER BY name`, table)
	if err != nil {
		return 0, err
	}
	key, err := all(t, scanString, `SELECT name FROM pragma_table_info($1) WHERE pk > 0 ORDER BY pk`, table)
	if err != nil {
		return 0, err
	}
	if len(key) == 0 {
		return 0, errors.New("it has no primary key, and so no order")
	}
	values, into := make([]any, len(columns)), make([]any, len(columns))
	for i := range values {
		into[i] = &values[i]
	}
	scan := func(row scanner) (struct{}, error) {
		if err := row.Scan(into...); err != nil {
			return struct{}{}, err
		}
		if rows == 0 {
			sum.head(table, columns)
		}
		rows++
		return struct{}{}, sum.row(values)
	}
	_, err = all(t, scan, `SELECT `+names(columns)+` FROM `+names([]string{table})+` ORDER BY `+names(key))
	return rows, err
}

// names quotes names of the schema.
func names(list []string) string {
	quoted := make([]string, len(list))
	for i, name := range list {
		quoted[i] = `"` + strings.ReplaceAll(name, `"`, `""`) + `"`
	}
	return strings.Join(quoted, ", ")
}

type digester struct{ hash.Hash }

func (d digester) head(table string, columns []string) {
	d.bytes('T', []byte(table))
	for _, c := range columns {
		d.bytes('C', []byte(c))
	}
}

func (d digester) row(values []any) error {
	d.Write([]byte{'R'})
	for _, v := range values {
		switch v := v.(type) {
		case nil:
			d.Write([]byte{'N'})
		case int64:
			d.number('I', uint64(v))
		case float64:
			d.number('F', math.Float64bits(v))
		case string:
			d.bytes('S', []byte(v))
		case []byte:
			d.bytes('B', v)
		default:
			return fmt.Errorf("a value is a %T", v)
		}
	}
	return nil
}

func (d digester) number(tag byte, n uint64) {
	var b [9]byte
	b[0] = tag
	binary.BigEndian.PutUint64(b[1:], n)
	d.Write(b[:])
}

func (d digester) bytes(tag byte, b []byte) {
	d.number(tag, uint64(len(b)))
	d.Write(b)
}
