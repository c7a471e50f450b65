package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"tidemark/load/journal"
)

// tx is one transaction. Statements are prepared once in it, which an import of
// many rows notices.
type tx struct {
	ctx      context.Context
	tx       *sql.Tx
	prepared map[string]*sql.Stmt // closed with the transaction
}

var _ journal.Tx = (*tx)(nil)

// Lock implements journal.Tx: the one writer holds everything.
func (t *tx) Lock(journal.RunnerID) error { return nil }

func (t *tx) statement(query string) (*sql.Stmt, error) {
	if stmt := t.prepared[query]; stmt != nil {
		return stmt, nil
	}
	stmt, err := t.tx.PrepareContext(t.ctx, query)
	if err != nil {
		return nil, mapError(err)
	}
	t.prepared[query] = stmt
	return stmt, nil
}

func (t *tx) exec(query string, args ...any) (changed int64, err error) {
	stmt, err := t.statement(query)
	if err != nil {
		return 0, err
	}
	result, err := stmt.ExecContext(t.ctx, args...)
	if err != nil {
		return 0, mapError(err)
	}
	changed, err = result.RowsAffected()
	return changed, mapError(err)
}

// scanner is a row to scan, alone or of many.
type scanner interface{ Scan(...any) error }

// one reads the only row of a query. Without a row it is ErrNotFound and says
// what was looked for.
func one[T any](t *tx, scan func(scanner) (T, error), what, query string, args ...any) (v T, err error) {
	stmt, err := t.statement(query)
	if err != nil {
		return v, err
	}
	v, err = scan(stmt.QueryRowContext(t.ctx, args...))
	if errors.Is(err, sql.ErrNoRows) {
		return v, fmt.Errorf("find %s: %w", what, journal.ErrNotFound)
	}
	return v, mapError(err)
}

// all reads every row of a query.
func all[T any](t *tx, scan func(scanner) (T, error), query string, args ...any) (out []T, err error) {
	stmt, err := t.statement(query)
	if err != nil {
		return nil, err
	}
	rows, err := stmt.QueryContext(t.ctx, args...)
	if err != nil {
		return nil, mapError(err)
	}
	defer rows.Close()
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return nil, mapError(err)
		}
		out = append(out, v)
	}
	return out, mapError(rows.Err())
}

func scanString(row scanner) (s string, err error) {
	err = row.Scan(&s)
	return s, err
}
