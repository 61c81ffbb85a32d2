package postgres

import (
	"context"
	"encoding/json"

	"github.com/jackc/pgx/v5"
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

// OpenTraced is Open that tells of each statement.
func OpenTraced(ctx context.Context, address string, tracer pgx.QueryTracer) (*Store, error) {
	return open(ctx, address, tracer)
}

// Record is how a record is kept.
func Record(v any) []byte {
	data, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return data
}
