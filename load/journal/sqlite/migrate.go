package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"time"

	"github.com/pressly/goose/v3"

	"tidemark/load/journal"
)

//go:embed migrations/*.sql
var migrations embed.FS

// Schema is the version of the schema that this program writes, kept in the
// file's user_version: the number of the newest migration.
const Schema = 14

// applicationID tells a journal from other SQLite files: "tide" in ASCII.
const applicationID = 0x74696465

// migrate brings the schema up to date. Several programs may do it at the same
// time: one wins each step and the others find it done.
func migrate(ctx context.Context, db *sql.DB) error {
	for tries := 0; ; tries++ {
		version, err := pragma(ctx, db, "user_version")
		switch {
		case err != nil:
			return err
		case version > Schema:
			return newer(version)
		case version == Schema:
			return nil
		}
		err = upTo(ctx, db, Schema)
		if err == nil || tries >= 10 {
			return err
		}
		time.Sleep(50 * time.Millisecond)
	}
}

func newer(version int64) error {
	return fmt.Errorf("schema %d, this program knows %d: %w", version, Schema, journal.ErrNewer)
}

func upTo(ctx context.Context, db *sql.DB, schema int64) error {
	dir, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	provider, err := goose.NewProvider(goose.DialectSQLite3, db, dir,
		goose.WithTableName("migration"), goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return err
	}
	if _, err := provider.UpTo(ctx, schema); err != nil {
		return fmt.Errorf("migrate schema: %w", mapError(err))
	}
	return nil
}

func pragma(ctx context.Context, db *sql.DB, name string) (v int64, err error) {
	err = db.QueryRowContext(ctx, "PRAGMA "+name).Scan(&v)
	return v, mapError(err)
}
