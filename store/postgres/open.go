package postgres

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"net"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"bowlwright/store"
)

// Our own choices.
const (
	connections = 16               // at most, of the pool; pool_max_conns in the address says otherwise
	openTimeout = 30 * time.Second // a server that only just starts may take as long
	readTries   = 3                // where connections are dead; who answers tries longer
)

// Store is a store.Store in a PostgreSQL database. It is safe for concurrent
// use, and so is the database by any number of processes.
type Store struct {
	pool    *pgxpool.Pool
	config  *pgx.ConnConfig // of sessions beside the pool
	process int32           // that claims belong to: the number of its lock

	heard   sync.Mutex // of wake and free
	wake    func(chat string)
	free    []held             // what is to be freed once the database is there again
	stop    context.CancelFunc // ends attend
	ended   chan struct{}      // attend has
	refused atomic.Pointer[store.Error]
	closing sync.Once
}

// Open connects to the database at an address, as postgres://user@host/name, and
// brings it to this version's schema. What the address leaves out is taken from
// libpq's variables and files, as PGPASSFILE. Errors are *Error, of code Newer
// where a later version has changed the database, Busy where an earlier one runs
// that could not go on, Lost where nobody answers.
func Open(ctx context.Context, address string) (*Store, error) { return open(ctx, address, nil) }

func open(ctx context.Context, address string, tracer pgx.QueryTracer) (*Store, error) {
	const op = "open"
	config, err := pgxpool.ParseConfig(address)
	if err != nil {
		return nil, &store.Error{Code: store.Internal, Op: op, Err: &unsuitedError{"the address of the database cannot be read"}}
	}
	suit(config)
	config.ConnConfig.Tracer = tracer
	ctx, cancel := context.WithTimeout(ctx, openTimeout)
	defer cancel()
	s := &Store{config: config.ConnConfig.Copy(), process: rand.Int32(), ended: make(chan struct{})}
	session, err := s.attendBegin(ctx)
	if err != nil {
		return nil, classify(op, err)
	}
	if s.pool, err = pgxpool.NewWithConfig(context.WithoutCancel(ctx), config); err != nil {
		session.Close(ctx)
		return nil, classify(op, err)
	}
	background, stop := context.WithCancel(context.Background())
	s.stop = stop
	go s.attend(background, session)
	return s, nil
}

// suit sets what an address leaves open. A host that is gone is noticed at both
// ends within some ten seconds (our own choice).
func suit(config *pgxpool.Config) {
	c := config.ConnConfig
	for name, value := range map[string]string{
		"application_name": "bowlwright", "idle_in_transaction_session_timeout": "5min",
		"tcp_keepalives_idle": "5", "tcp_keepalives_interval": "2", "tcp_keepalives_count": "3",
	} {
		if c.RuntimeParams[name] == "" {
			c.RuntimeParams[name] = value
		}
	}
	dialer := &net.Dialer{KeepAliveConfig: net.KeepAliveConfig{Enable: true, Idle: 5 * time.Second, Interval: 2 * time.Second, Count: 3}}
	c.DialFunc = dialer.DialContext
	if c.ConnectTimeout == 0 {
		c.ConnectTimeout = 5 * time.Second
	}
	if u, err := url.Parse(config.ConnString()); err != nil || !u.Query().Has("pool_max_conns") {
		config.MaxConns = connections
	}
}

// acquire takes a connection from the pool. Where none was to be had in time the
// database is lost: nothing was asked of it.
func (s *Store) acquire(ctx context.Context) (*pgxpool.Conn, error) {
	if e := s.refused.Load(); e != nil {
		return nil, e
	}
	conn, err := s.pool.Acquire(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		err = &store.Error{Code: store.Lost, Op: "connect", Err: err}
	}
	return conn, err
}

// Read implements store.Store. It tries again where it found a connection that
// was dead.
func (s *Store) Read(ctx context.Context) (store.Snapshot, error) {
	for n := 1; ; n++ {
		snap, err := s.read(ctx)
		if err == nil {
			return snap, nil
		}
		if err = classify("read", err); n == readTries || !store.IsLost(err) || ctx.Err() != nil {
			return nil, err
		}
		s.pool.Reset() // more of its connections are likely dead
		store.Pause(ctx, firstPause<<n)
	}
}

// read begins a transaction and fixes what it sees.
func (s *Store) read(ctx context.Context) (*snapshot, error) {
	conn, err := s.acquire(ctx)
	if err != nil {
		return nil, err
	}
	tx, err := conn.BeginTx(ctx, pgx.TxOptions{BeginQuery: `BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY; SELECT 1`})
	if err != nil {
		conn.Release()
		return nil, err
	}
	return &snapshot{ctx: ctx, tx: tx, end: func() {
		tx.Rollback(context.WithoutCancel(ctx)) // a connection at which that fails is not used again
		conn.Release()
	}}, nil
}

// Close implements store.Store. Closing twice is no error; what is asked after it
// fails.
func (s *Store) Close() error {
	s.closing.Do(func() {
		s.stop()
		<-s.ended
		s.pool.Close()
	})
	return nil
}

// Compact makes what was erased unreadable in the tables' pages, if something
// was since that was last done.
func (s *Store) Compact(ctx context.Context) error {
	wanted, err := store.Look(ctx, s, func(snap store.Snapshot) (bool, error) { return snap.Seen(store.CompactMark) })
	if err != nil || !wanted {
		return err
	}
	if _, err := s.pool.Exec(ctx, `VACUUM`); err != nil {
		return classify("compact", err)
	}
	return s.Commit(ctx, store.Commit{Writes: []store.Write{store.ForgetEvent(store.CompactMark)}})
}

var (
	errOver      = errors.New("the snapshot is closed")
	errClosed    = errors.New("the store is closed")
	errUndecoded = errors.New("a write of no known kind")
)

// classify makes an *Error of whatever went wrong; nil stays nil. Neither the
// address of the database nor a record is in what PostgreSQL says of a failure:
// details, which quote, are left out.
func classify(op string, err error) error { return store.Classify(op, err, codeOf) }

func codeOf(err error) store.Code {
	var e *pgconn.PgError
	var connecting *pgconn.ConnectError // which has a time limit of its own
	isPg, isConnecting := errors.As(err, &e), errors.As(err, &connecting)
	switch {
	case !isPg && !isConnecting && (errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)):
		return store.Internal
	case !isPg:
		if isLocal(err) {
			return store.Internal
		}
		return store.Lost // the wire, or nobody at its other end
	}
	switch e.Code {
	case "53100": // disk full
		return store.Full
	case "25006": // read only transaction: a standby
		return store.ReadOnly
	case "XX001", "XX002": // data or index corrupted
		return store.Damaged
	case "53300", "57P01", "57P02", "57P03", "57P05": // too many connections, or the server ends or begins
		return store.Lost
	}
	if e.Code[:2] == "08" {
		return store.Lost
	}
	return store.Internal
}

// isLocal reports an error that nothing on the wire has caused.
func isLocal(err error) bool {
	var unsuited *unsuitedError
	return errors.As(err, &unsuited) || errors.Is(err, errOver) || errors.Is(err, errClosed) || errors.Is(err, errUndecoded)
}

// collides reports that two transactions were in each other's way, and that
// this one has not happened.
func collides(err error) bool {
	var e *pgconn.PgError
	return errors.As(err, &e) && (e.Code == "40001" || e.Code == "40P01")
}

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
