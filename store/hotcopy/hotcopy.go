package hotcopy

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"syscall"
	"time"
)

const (
	socket = "backup.sock"
	path   = "/copy"
	orders = "/do/" // and the name of an order

	// stall is how long one write may take: the store keeps old pages as long
	// as a copy of them is being taken. Our own choice.
	stall = 30 * time.Second
	// farewell is how long a copy under way has to end when nobody answers any
	// more; our own choice.
	farewell = time.Second
	// longestOrder is how many bytes an order and its answer may have; our own
	// choice.
	longestOrder = 1 << 20
	// longestPath is what fits a socket's address everywhere (sys/un.h has
	// 104 bytes on the BSDs, 108 on Linux).
	longestPath = 100
)

// ErrNobody says that nobody answers for a directory.
var ErrNobody = errors.New("hotcopy: nobody has the store open")

// ErrUnknown says that who has the store open does not know an order: it is
// another version of the program.
var ErrUnknown = errors.New("hotcopy: the running program does not know this order")

// Refused is why an order was not carried out, in the words of who has the store
// open.
type Refused string

func (r Refused) Error() string { return string(r) }

// Store is what can be copied.
type Store interface {
	Backup(ctx context.Context, w io.Writer) error
}

// Order is something that is done to the store; it says what was done.
type Order func(ctx context.Context, args []string) (said string, err error)

// Serve answers at a socket in a directory until stop is called, which cuts
// off what is under way and waits until nothing is. The caller has the store of
// that directory open, and so is the only one who answers there.
func Serve(s Store, dir string, known map[string]Order) (stop func(), err error) {
	name, release, err := address(dir)
	if err != nil {
		return nil, fmt.Errorf("hotcopy: %w", err)
	}
	// Whoever left it there is gone: the store's lock is ours.
	if err := os.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		release()
		return nil, fmt.Errorf("hotcopy: %w", err)
	}
	l, err := net.Listen("unix", name)
	if err == nil {
		if err = os.Chmod(name, 0o600); err != nil {
			l.Close()
		}
	}
	if err != nil {
		release()
		return nil, fmt.Errorf("hotcopy: %w", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	var copies sync.WaitGroup
	mux := http.NewServeMux()
	handle := func(pattern string, f http.HandlerFunc) {
		mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
			copies.Add(1)
			defer copies.Done()
			f(w, r)
		})
	}
	handle("GET "+path, func(w http.ResponseWriter, _ *http.Request) { send(ctx, s, w) })
	for name, do := range known {
		handle("POST "+orders+name, func(w http.ResponseWriter, r *http.Request) { carryOut(ctx, do, w, r) })
	}
	server := &http.Server{Handler: mux, ReadHeaderTimeout: stall, ErrorLog: slog.NewLogLogger(slog.DiscardHandler, slog.LevelError)}
	done := make(chan struct{})
	go func() {
		defer close(done)
		server.Serve(l) // ends when it is shut down
	}()
	return func() {
		cancel()
		late, cancel := context.WithTimeout(context.Background(), farewell)
		defer cancel()
		if server.Shutdown(late) != nil {
			server.Close() // cuts off who reads no more
		}
		<-done
		copies.Wait()
		release()
	}, nil
}

// send writes a copy. Where it fails half-way, the connection is cut, so that
// the other side does not take it for whole.
func send(ctx context.Context, s Store, w http.ResponseWriter) {
	out := &steady{w: w, c: http.NewResponseController(w)}
	switch err := s.Backup(ctx, out); {
	case err != nil && !out.begun:
		http.Error(w, "the store cannot be copied", http.StatusInternalServerError)
	case err != nil:
		panic(http.ErrAbortHandler)
	}
}

// carryOut does what it is asked to.
func carryOut(ctx context.Context, do Order, w http.ResponseWriter, r *http.Request) {
	var args []string
	if json.NewDecoder(http.MaxBytesReader(w, r.Body, longestOrder)).Decode(&args) != nil {
		w.WriteHeader(http.StatusBadRequest)
		return
	}
	said, err := do(ctx, args)
	if err != nil {
		w.WriteHeader(http.StatusConflict)
		said = err.Error()
	}
	io.WriteString(w, said) // whoever asked may be gone
}

// steady gives each write its own deadline.
type steady struct {
	w     io.Writer
	c     *http.ResponseController
	begun bool
}

func (s *steady) Write(p []byte) (int, error) {
	if err := s.c.SetWriteDeadline(time.Now().Add(stall)); err != nil {
		return 0, err
	}
	s.begun = true
	return s.w.Write(p)
}

// Fetch writes a copy of the store that another process has open in a
// directory. The error is ErrNobody where none has, or none that answers.
func Fetch(ctx context.Context, dir string, w io.Writer) error {
	return ask(ctx, dir, http.MethodGet, path, nil, func(resp *http.Response) error {
		if resp.StatusCode != http.StatusOK {
			return fmt.Errorf("answer %d", resp.StatusCode)
		}
		_, err := io.Copy(w, resp.Body)
		return err
	})
}

// Do has the process that has the store open in a directory carry out an order.
// The error is ErrNobody as of Fetch, ErrUnknown, or Refused.
func Do(ctx context.Context, dir, order string, args ...string) (said string, err error) {
	body, err := json.Marshal(args)
	if err != nil {
		return "", fmt.Errorf("hotcopy: %w", err)
	}
	err = ask(ctx, dir, http.MethodPost, orders+order, body, func(resp *http.Response) error {
		text, err := io.ReadAll(io.LimitReader(resp.Body, longestOrder))
		switch {
		case err != nil:
			return err
		case resp.StatusCode == http.StatusConflict:
			return Refused(text)
		case resp.StatusCode != http.StatusOK:
			return ErrUnknown
		}
		said = string(text)
		return nil
	})
	return said, err
}

// ask makes a call at the socket of a directory.
func ask(ctx context.Context, dir, method, at string, body []byte, answered func(*http.Response) error) error {
	name, release, err := address(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return ErrNobody
	}
	if err != nil {
		return fmt.Errorf("hotcopy: %w", err)
	}
	defer release()
	t := &http.Transport{DisableKeepAlives: true, DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
		return new(net.Dialer).DialContext(ctx, "unix", name)
	}}
	defer t.CloseIdleConnections()
	r, err := http.NewRequestWithContext(ctx, method, "http://store"+at, bytes.NewReader(body))
	if err != nil {
		return fmt.Errorf("hotcopy: %w", err)
	}
	resp, err := t.RoundTrip(r)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ECONNREFUSED) {
		return ErrNobody
	}
	if err != nil {
		return fmt.Errorf("hotcopy: %w", err)
	}
	defer resp.Body.Close()
	if err := answered(resp); err != nil {
		return fmt.Errorf("hotcopy: %w", err)
	}
	return nil
}

// address returns the socket's name in a form that is short enough, good
// until release is called.
func address(dir string) (name string, release func(), err error) {
	name = filepath.Join(dir, socket)
	if len(name) <= longestPath {
		return name, func() {}, nil
	}
	if runtime.GOOS != "linux" {
		return "", nil, fmt.Errorf("the path of the data directory is longer than %d bytes", longestPath-len(socket)-1)
	}
	d, err := os.Open(dir)
	if err != nil {
		return "", nil, err
	}
	return fmt.Sprintf("/proc/self/fd/%d/%s", d.Fd(), socket), func() { d.Close() }, nil
}
