// Package pgtest starts a PostgreSQL server for tests, one for each test binary,
// and gives a database to each test. Where PostgreSQL is not installed the tests
// are skipped.
package pgtest

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"bowlwright/store/postgres"
)

// M runs the tests of a package, then ends the server that they used, if any.
type M struct{ *testing.M }

// Run is for TestMain.
func (m M) Run() int {
	code := m.M.Run()
	if started.s != nil {
		started.s.End()
	}
	return code
}

var started struct {
	sync.Once
	s   *Server
	err error
}

// Shared is the server of this test binary.
func Shared(t testing.TB) *Server {
	t.Helper()
	dir := Programs(t)
	started.Do(func() { started.s, started.err = Start(dir) })
	if started.err != nil {
		t.Fatal(started.err)
	}
	return started.s
}

// Programs is where the programs of PostgreSQL are. Where there are none the
// test is skipped.
func Programs(t testing.TB) string {
	t.Helper()
	all, _ := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if path, err := exec.LookPath("initdb"); err == nil {
		all = append(all, path)
	}
	if len(all) == 0 {
		t.Skip("PostgreSQL is not installed here: Debian's package postgresql has it")
	}
	return filepath.Dir(slices.Max(all))
}

// Server is a PostgreSQL server of its own, in a temporary directory, at a
// socket there.
type Server struct {
	bin, dir string
	who      *syscall.Credential // PostgreSQL does not run as root
	settings []string
	run      *exec.Cmd
	ended    chan struct{}
	count    atomic.Int64

	mu   sync.Mutex
	free []string // databases that nobody uses any more
}

// quick leaves out what a database needs that lasts.
var quick = []string{"fsync=off", "synchronous_commit=off", "full_page_writes=off", "autovacuum=off"}

// Start starts a server, with settings such as "fsync=on"; without any, with
// those for tests, of which nothing has to last.
func Start(bin string, settings ...string) (*Server, error) {
	in := ""
	if len(settings) == 0 {
		settings, in = quick, inMemory()
	}
	dir, err := os.MkdirTemp(in, "bowlwright-postgres-")
	if err != nil {
		return nil, err
	}
	s := &Server{bin: bin, dir: dir, settings: settings}
	if os.Geteuid() == 0 {
		u, err := user.Lookup("nobody")
		if err != nil {
			return nil, err
		}
		uid, _ := strconv.Atoi(u.Uid)
		gid, _ := strconv.Atoi(u.Gid)
		s.who = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
		if err := os.Chown(dir, uid, gid); err != nil {
			return nil, err
		}
	}
	made := s.command("initdb", "-D", s.data(), "-U", "bowlwright", "-A", "trust", "--no-sync", "-E", "UTF8", "--locale=C")
	if out, err := made.CombinedOutput(); err != nil {
		os.RemoveAll(dir)
		return nil, fmt.Errorf("initdb: %v\n%s", err, out)
	}
	if err := s.Up(); err != nil {
		s.End()
		return nil, err
	}
	return s, nil
}

func (s *Server) data() string { return filepath.Join(s.dir, "data") }

func (s *Server) command(name string, args ...string) *exec.Cmd {
	c := exec.Command(filepath.Join(s.bin, name), args...)
	c.Dir = s.dir
	c.SysProcAttr = &syscall.SysProcAttr{Credential: s.who}
	return c
}

// Up starts the server, if it is down, and waits until it answers.
func (s *Server) Up() error {
	args := []string{"-D", s.data(), "-k", s.dir, "-c", "listen_addresses=", "-c", "max_connections=200", "-c", "shared_buffers=64MB"}
	for _, setting := range s.settings {
		args = append(args, "-c", setting)
	}
	s.run = s.command("postgres", args...)
	log, err := os.OpenFile(filepath.Join(s.dir, "log"), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	defer log.Close()
	s.run.Stderr = log
	s.ended = make(chan struct{})
	begun := make(chan error)
	go func() {
		runtime.LockOSThread() // which the server ends with, as with this process
		endsWithParent(s.run)
		err := s.run.Start()
		begun <- err
		if err == nil {
			s.run.Wait()
		}
		close(s.ended)
	}()
	if err := <-begun; err != nil {
		return err
	}
	for range 1000 {
		var conn *pgx.Conn
		if conn, err = pgx.Connect(context.Background(), s.Address("postgres")); err == nil {
			return conn.Close(context.Background())
		}
		time.Sleep(10 * time.Millisecond)
	}
	return err
}

// Down stops the server: at once as in a crash, or as an operator does.
func (s *Server) Down(crash bool) {
	how := syscall.SIGINT // fast shutdown
	if crash {
		how = syscall.SIGQUIT // immediate shutdown
	}
	s.run.Process.Signal(how)
	<-s.ended
}

// End stops the server for good.
func (s *Server) End() {
	s.Down(true)
	os.RemoveAll(s.dir)
}

// Address is that of a database.
func (s *Server) Address(name string) string {
	return (&url.URL{Scheme: "postgres", User: url.User("bowlwright"), Path: "/" + name, RawQuery: url.Values{"host": {s.dir}}.Encode()}).String()
}

// Create makes an empty database and returns its address.
func (s *Server) Create() (address string, err error) {
	ctx := context.Background()
	name := fmt.Sprint("test", s.count.Add(1))
	conn, err := pgx.Connect(ctx, s.Address("postgres"))
	if err != nil {
		return "", err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, "CREATE DATABASE "+name)
	return s.Address(name), err
}

// Database is the address of a database of the test's own that holds nothing.
func Database(t testing.TB) string {
	t.Helper()
	s := Shared(t)
	s.mu.Lock()
	defer s.mu.Unlock()
	var address string
	if n := len(s.free); n > 0 {
		address, s.free = s.free[n-1], s.free[:n-1]
	} else {
		var err error
		if address, err = s.Create(); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() {
		if empty(address) != nil {
			return
		}
		s.mu.Lock()
		defer s.mu.Unlock()
		s.free = append(s.free, address)
	})
	return address
}

// empty takes everything out of a database, which is sooner done than to make
// another.
func empty(address string) error {
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	rows, _ := conn.Query(ctx, `SELECT format('DELETE FROM %I', tablename) FROM pg_tables WHERE schemaname = 'public' AND tablename <> 'bowlwright'`)
	all, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err == nil {
		_, err = conn.Exec(ctx, strings.Join(append(all, "ALTER SEQUENCE IF EXISTS outbox_number RESTART"), ";"))
	}
	return err
}

// Open opens a store, which is closed when the test ends.
func Open(t testing.TB, address string) *postgres.Store {
	t.Helper()
	s, err := postgres.Open(context.Background(), address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}
