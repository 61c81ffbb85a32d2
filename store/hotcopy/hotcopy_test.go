package hotcopy_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"bowlwright/store/hotcopy"
)

// text is a store that copies itself as a text, and fails where it is told to.
type text struct {
	text string
	err  error
}

func (s text) Backup(_ context.Context, w io.Writer) error {
	if _, err := io.WriteString(w, s.text); err != nil {
		return err
	}
	return s.err
}

func TestFetch(t *testing.T) {
	long := strings.Repeat("x", 3<<20)
	deep := filepath.Join(t.TempDir(), strings.Repeat("d", 120))
	for _, dir := range []string{t.TempDir(), deep} {
		if err := hotcopy.Fetch(t.Context(), dir, io.Discard); !errors.Is(err, hotcopy.ErrNobody) {
			t.Errorf("before anybody is there: %v", err)
		}
		if err := os.MkdirAll(dir, 0o700); err != nil {
			t.Fatal(err)
		}
		if err := hotcopy.Fetch(t.Context(), dir, io.Discard); !errors.Is(err, hotcopy.ErrNobody) {
			t.Errorf("in an empty directory: %v", err)
		}
		stop, err := hotcopy.Serve(text{text: long}, dir, nil)
		if err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(filepath.Join(dir, "backup.sock"))
		if err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("the socket: %v, %v", info.Mode(), err)
		}
		var wg sync.WaitGroup
		for range 3 {
			wg.Go(func() {
				var got bytes.Buffer
				if err := hotcopy.Fetch(t.Context(), dir, &got); err != nil || got.String() != long {
					t.Errorf("%d bytes, %v", got.Len(), err)
				}
			})
		}
		wg.Wait()
		stop()
		if err := hotcopy.Fetch(t.Context(), dir, io.Discard); !errors.Is(err, hotcopy.ErrNobody) {
			t.Errorf("after it has ended: %v", err)
		}
		if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
			t.Errorf("left behind: %v, %v", left, err)
		}
	}
}

// TestFetchFails checks that half a copy is not taken for a whole one.
func TestFetchFails(t *testing.T) {
	for _, written := range []string{"", "a little", strings.Repeat("x", 1<<20)} {
		dir := t.TempDir()
		stop, err := hotcopy.Serve(text{text: written, err: errors.New("disk")}, dir, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := hotcopy.Fetch(t.Context(), dir, io.Discard); err == nil || errors.Is(err, hotcopy.ErrNobody) {
			t.Errorf("after %d bytes: %v", len(written), err)
		}
		stop()
	}
}

// TestLeftBehind takes the place of a socket whose owner has crashed.
func TestLeftBehind(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "backup.sock"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := hotcopy.Fetch(t.Context(), dir, io.Discard); !errors.Is(err, hotcopy.ErrNobody) {
		t.Errorf("at a socket that nobody serves: %v", err)
	}
	stop, err := hotcopy.Serve(text{text: "sound"}, dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer stop()
	var got bytes.Buffer
	if err := hotcopy.Fetch(t.Context(), dir, &got); err != nil || got.String() != "sound" {
		t.Errorf("%q, %v", got.String(), err)
	}
}

// endless is a store whose copy has no end.
type endless struct{ begun chan struct{} }

func (s endless) Backup(ctx context.Context, w io.Writer) error {
	for first := true; ; first = false {
		if _, err := w.Write(make([]byte, 1<<16)); err != nil {
			return err
		}
		if first {
			close(s.begun)
		}
	}
}

// TestStopCutsOff ends though somebody fetches and reads no more.
func TestStopCutsOff(t *testing.T) {
	s := endless{make(chan struct{})}
	dir := t.TempDir()
	stop, err := hotcopy.Serve(s, dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, w := io.Pipe() // nobody reads it
	fetched := make(chan error)
	go func() { fetched <- hotcopy.Fetch(t.Context(), dir, w) }()
	<-s.begun
	stop()
	r.Close()
	if err := <-fetched; err == nil {
		t.Error("a copy that was cut off was taken for whole")
	}
}

// TestOrders has something done, and hears why it was not.
func TestOrders(t *testing.T) {
	dir := t.TempDir()
	if _, err := hotcopy.Do(t.Context(), dir, "join"); !errors.Is(err, hotcopy.ErrNobody) {
		t.Errorf("before anybody is there: %v", err)
	}
	stop, err := hotcopy.Serve(text{}, dir, map[string]hotcopy.Order{
		"join": func(_ context.Context, args []string) (string, error) { return strings.Join(args, "+"), nil },
		"fail": func(context.Context, []string) (string, error) { return "half", errors.New("no room") },
	})
	if err != nil {
		t.Fatal(err)
	}
	defer stop()
	if said, err := hotcopy.Do(t.Context(), dir, "join", "a", "b\n"); said != "a+b\n" || err != nil {
		t.Errorf("%q, %v", said, err)
	}
	var no hotcopy.Refused
	if said, err := hotcopy.Do(t.Context(), dir, "fail"); !errors.As(err, &no) || no != "no room" || said != "" {
		t.Errorf("%q, %v", said, err)
	}
	if _, err := hotcopy.Do(t.Context(), dir, "other"); !errors.Is(err, hotcopy.ErrUnknown) {
		t.Errorf("an order that nobody knows: %v", err)
	}
}
