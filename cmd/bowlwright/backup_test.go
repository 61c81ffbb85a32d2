package main

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bowlwright/store"
	"bowlwright/store/bolt"
)

// TestBackupWhileInUse has a chat open the data: a copy can be made then, a
// restore cannot.
func TestBackupWhileInUse(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "kept")
	in, typed := io.Pipe()
	printed, out := io.Pipe()
	ended := make(chan error, 1)
	go func() {
		ended <- run(t.Context(), []string{"chat", "--data", dir}, in, out, io.Discard)
		out.Close()
	}()
	go io.WriteString(typed, "dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy\n")
	lines := bufio.NewReader(printed)
	for {
		line, err := lines.ReadString('\n')
		must(t, err)
		if strings.Contains(line, "Juniper") {
			break
		}
	}
	go io.Copy(io.Discard, lines)

	file := filepath.Join(t.TempDir(), "copy.db")
	command := func(args ...string) (string, error) {
		var b bytes.Buffer
		err := run(t.Context(), args, nil, &b, io.Discard)
		return b.String(), err
	}
	if said, err := command("backup", file, "--data", dir); err != nil || !strings.HasSuffix(said, "kB, checked\n") {
		t.Errorf("backup: %q, %v", said, err)
	}
	if _, err := command("verify", file); err != nil {
		t.Errorf("verify: %v", err)
	}
	for _, args := range [][]string{{"restore", file, "--data", dir}, {"verify", filepath.Join(dir, dataFile)}} {
		if _, err := command(args...); err == nil || !strings.Contains(err.Error(), "is in use") {
			t.Errorf("%s: %v", args[0], err)
		}
	}
	typed.Close()
	must(t, <-ended)
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 1 || left[0].Name() != dataFile {
		t.Errorf("left in the directory: %v, %v", left, err)
	}
	// What was said before the copy is in it.
	var b bytes.Buffer
	if _, err := command("restore", file, "--data", dir); err != nil {
		t.Error(err)
	}
	if err := run(t.Context(), []string{"chat", "--data", dir}, strings.NewReader("/dog\n"), &b, io.Discard); err != nil || !strings.Contains(b.String(), "Juniper") {
		t.Errorf("after the restore: %q, %v", b.String(), err)
	}
}

// TestBackupOfUnfinished does not take over a data file that another program
// holds without answering.
func TestBackupOfUnfinished(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := openIn(t, dir)
	defer s.Close()
	file := filepath.Join(dir, "copy.db")
	err := run(t.Context(), []string{"backup", file, "--data", dir}, nil, io.Discard, io.Discard)
	if err == nil || !strings.Contains(err.Error(), "is in use") {
		t.Errorf("backup: %v", err)
	}
	if _, err := os.Stat(file + ".part"); err == nil {
		t.Error("half a backup is left behind")
	}
}

// TestOlderThanItWas damages the page that leads to the newest state of a file,
// which bbolt passes over without a word.
func TestOlderThanItWas(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, dataFile)
	s := openIn(t, dir)
	err := s.Commit(t.Context(), store.Commit{Writes: []store.Write{store.Enqueue{Chat: "terminal/Ines"}}})
	must(t, errors.Join(err, s.Close()))
	found, err := bolt.Verify(path)
	must(t, err)
	data, err := os.ReadFile(path)
	must(t, err)
	data[int(found.Transaction%2)*os.Getpagesize()+40] ^= 1
	must(t, os.WriteFile(path, data, 0o600))
	const says = "older than it was"
	if err := run(t.Context(), []string{"verify", path}, nil, io.Discard, io.Discard); err == nil || !strings.Contains(err.Error(), says) {
		t.Errorf("verify: %v", err)
	}
	s = openIn(t, dir)
	log := &lockedBuffer{}
	logFound(slog.New(slog.NewTextHandler(log, nil)), s.Found())
	if s.Close(); !strings.Contains(log.String(), says) {
		t.Errorf("serve logs %q", log.String())
	}
	var b bytes.Buffer
	to := filepath.Join(t.TempDir(), "restored")
	if err := run(t.Context(), []string{"restore", path, "--data", to}, strings.NewReader(""), &b, io.Discard); err != nil || !strings.Contains(b.String(), says) || !strings.Contains(b.String(), "1 message;") {
		t.Errorf("restore: %q, %v", b.String(), err)
	}
}

// TestAskUnsent takes only a yes for one.
func TestAskUnsent(t *testing.T) {
	for said, want := range map[string]string{"": "drop", "\n": "drop", "n\n": "drop", "y\n": "send", "Yes": "send", "what?\n": "drop"} {
		if got, err := askUnsent(3, strings.NewReader(said), io.Discard); got != want || err != nil {
			t.Errorf("%q: %s, %v", said, got, err)
		}
	}
}

func TestHealth(t *testing.T) {
	well := http.StatusOK
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/healthz" {
			w.WriteHeader(http.StatusNotFound)
			return
		}
		w.WriteHeader(well)
	}))
	defer s.Close()
	ask := func(args ...string) error {
		return run(t.Context(), append([]string{"health"}, args...), nil, io.Discard, io.Discard)
	}
	address := s.Listener.Addr().String()
	for _, a := range []string{address, s.URL + "/healthz"} {
		if err := ask(a); err != nil {
			t.Errorf("%s: %v", a, err)
		}
	}
	_, port, err := net.SplitHostPort(address)
	must(t, err)
	for _, a := range []string{address, ":" + port} { // as serve takes it
		t.Setenv("BOWLWRIGHT_HEALTH", a)
		if err := ask(); err != nil {
			t.Errorf("by the variable %s: %v", a, err)
		}
	}
	t.Setenv("BOWLWRIGHT_HEALTH", "")
	well = http.StatusServiceUnavailable
	if err := ask(address); err == nil || report(err, io.Discard) != 1 {
		t.Errorf("one that is not well: %v", err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	must(t, err)
	l.Close()
	if err := ask(l.Addr().String()); err == nil || report(err, io.Discard) != 1 {
		t.Errorf("one that is not there: %v", err)
	}
	for _, args := range [][]string{nil, {"a", "b"}, {"--x"}, {"http://a b"}} {
		if err := ask(args...); err == nil || report(err, io.Discard) != 2 {
			t.Errorf("health %q: %v", args, err)
		}
	}
}
