package hotcopy

import (
	"context"
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

	// stall is how long one write may take: the store keeps old pages as long
	// as a copy of them is being taken. Our own choice.
	stall = 30 * time.Second
	// farewell is how long a copy under way has to end when nobody answers any
	// more; our own choice.
	farewell = time.Second
	// longestPath is what fits a socket's address everywhere (sys/un.h has
	// 104 bytes on the BSDs, 108 on Linux).
	longestPath = 100
)

// ErrNobody says that nobody answers for a directory.
var ErrNobody = errors.New("hotcopy: nobody has the store open")

// Store is what can be copied.
type Store interface {
	Backup(ctx context.Context, w io.Writer) error
}

// Serve answers at a socket in a directory until stop is called, which cuts
// off copies under way and waits until none is. The caller has the store of that directory
// open, and so is the only one who answers there.
func Serve(s Store, dir string) (stop func(), err error) {
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
	mux.HandleFunc("GET "+path, func(w http.ResponseWriter, r *http.Request) {
		copies.Add(1)
		defer copies.Done()
		send(ctx, s, w)
	})
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
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://store"+path, nil)
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
	if resp.StatusCode != http.StatusOK {
		return fmt.Errorf("hotcopy: answer %d", resp.StatusCode)
	}
	if _, err := io.Copy(w, resp.Body); err != nil {
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
