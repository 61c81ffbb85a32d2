package postgres

import (
	"context"
	"errors"
	"math/rand/v2"
	"net"
	"net/url"
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
