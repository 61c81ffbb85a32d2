package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"bowlwright/store"
)

// Known is the schema version of this program.
func Known() int {
	all, err := allMigrations()
	if err != nil {
		panic(err)
	}
	return len(all)
}

// Migrated brings a database to the schema of a later version, which has one
// migration more.
func Migrated(ctx context.Context, address, sql string) error {
	all, err := allMigrations()
	if err != nil {
		return err
	}
	m, err := readMigration(sql)
	if err != nil {
		return err
	}
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	return migrate(ctx, conn, append(all, m))
}

// EntriesSQL is the statement of a query of the journal.
func EntriesSQL(q store.EntryQuery) (string, []any) { return entriesSQL("quayside", q) }

