package postgres

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"strings"

	"github.com/jackc/pgx/v5"

	"bowlwright/store"
)

// migrations lead from one schema version to the next, in the order of their
// names. They are only ever appended to: databases of every version are out
// there. The first line of each says the earliest schema version of a program
// that may go on with what it makes: a migration that only adds says 1, so that
// one process after another can be replaced; one that takes away what they use
// is for a later release, and says which.
//
//go:embed migrations/*.sql
var migrations embed.FS

// migration is one of them.
type migration struct {
	sql      string
	runsWith int
}

// allMigrations reads them.
func allMigrations() (out []migration, err error) {
	files, err := fs.Glob(migrations, "migrations/*.sql")
	for _, name := range files {
		data, failed := migrations.ReadFile(name)
		m, unread := readMigration(string(data))
		err = errors.Join(err, failed, unread)
		out = append(out, m)
	}
	return out, err
}

func readMigration(sql string) (migration, error) {
	m := migration{sql: sql}
	_, err := fmt.Sscanf(sql, "-- runs-with: %d\n", &m.runsWith)
	return m, err
}

// The numbers of locks that are held by sessions. Those of a process and of a
// version in use are pairs: what they are of, and a number.
var (
	lockSchema   = lockOf("schema", "")
	lockProcess  = int32(1) // with the number of the process
	lockSchemaIn = int32(2) // with the schema version of a program that runs
)

// migrate brings the database to this version's schema, and notes in the
// session that a program of this version runs. The session holds the lock of
// the schema.
func migrate(ctx context.Context, conn *pgx.Conn, all []migration) error {
	const op = "open"
	known := len(all)
	tx, err := conn.Begin(ctx)
	if err != nil {
		return err
	}
	defer tx.Rollback(context.WithoutCancel(ctx)) // none where it was committed
	const make = `CREATE TABLE bowlwright (version int NOT NULL, runs_with int NOT NULL); INSERT INTO bowlwright VALUES (0, 0)`
	var there bool
	if err := tx.QueryRow(ctx, `SELECT to_regclass('bowlwright') IS NOT NULL`).Scan(&there); err != nil {
		return err
	}
	if !there {
		if _, err := tx.Exec(ctx, make); err != nil {
			return err
		}
	}
	var version, runsWith int
	if err := tx.QueryRow(ctx, `SELECT version, runs_with FROM bowlwright`).Scan(&version, &runsWith); err != nil {
		return err
	}
	if version > known && runsWith > known {
		return &store.Error{Code: store.Newer, Op: op, Err: &unsuitedError{fmt.Sprintf("schema version %d, this program knows %d", version, known)}}
	}
	if version < known {
		for _, m := range all[version:] {
			runsWith = max(runsWith, m.runsWith)
			if _, err := tx.Exec(ctx, m.sql); err != nil {
				return err
			}
		}
		if err := noneBefore(ctx, tx, runsWith); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `UPDATE bowlwright SET version = $1, runs_with = $2`, known, runsWith); err != nil {
			return err
		}
	}
	if _, err := tx.Exec(ctx, `SELECT pg_advisory_lock_shared($1, $2)`, lockSchemaIn, known); err != nil {
		return err
	}
	return tx.Commit(ctx)
}

// noneBefore makes sure that no program runs that knows an earlier schema than
// one.
func noneBefore(ctx context.Context, tx pgx.Tx, runsWith int) error {
	var earlier int
	const sql = `SELECT count(*) FROM ` + advisoryLocks + ` AND classid = $1 AND objid < $2`
	if err := tx.QueryRow(ctx, sql, lockSchemaIn, runsWith).Scan(&earlier); err != nil || earlier == 0 {
		return err
	}
	return &store.Error{Code: store.Busy, Op: "open", Err: &unsuitedError{"an earlier version is running that could not go on with this one's schema: end it first"}}
}

// advisoryLocks are the locks of pairs that sessions of this database hold.
const advisoryLocks = `pg_locks WHERE locktype = 'advisory' AND objsubid = 2 AND granted
	AND database = (SELECT oid FROM pg_database WHERE datname = current_database())`

// unsuitedError is something about the database that no try again will mend.
type unsuitedError struct{ text string }

func (e *unsuitedError) Error() string { return e.text }

// IsAddress reports that a text is meant as the address of a database.
func IsAddress(s string) bool {
	return strings.HasPrefix(s, "postgres://") || strings.HasPrefix(s, "postgresql://")
}

// HasPassword reports that an address holds a password, which others could read
// on a command line.
func HasPassword(address string) bool {
	u, err := url.Parse(address)
	if err != nil {
		return strings.Contains(address, "password") // who knows
	}
	_, has := u.User.Password()
	return has || u.Query().Has("password")
}
