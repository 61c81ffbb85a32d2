package main

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// TestUndelivered lists what could not be delivered, also while the file is in
// use, says nothing of what it says, and puts it into the outbox again or
// forgets it.
func TestUndelivered(t *testing.T) {
	ctx := t.Context()
	dir := t.TempDir()
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	fill := func() {
		s := openIn(t, dir)
		defer s.Close()
		var c store.Commit
		for i, chat := range []string{"telegram/4711", "telegram/-100200"} {
			m := store.Outgoing{Number: uint64(i + 1), Chat: chat, Event: "e", At: now.Add(-2 * time.Hour), Expires: now.Add(time.Hour), Body: []byte(`{"body":[{"text":"secret"}]}`)}
			c.Writes = append(c.Writes, store.PutDead{Message: m, Reason: "Bad Request: chat not found", At: now.Add(-time.Hour)})
		}
		must(t, s.Commit(ctx, c))
	}
	run := func(args ...string) (string, error) {
		var out strings.Builder
		err := undelivered(ctx, append([]string{"--data", dir}, args...), now, &out)
		return out.String(), err
	}
	fill()
	want := "1\tprivate\t1h0m0s ago\tBad Request: chat not found\n2\tgroup\t1h0m0s ago\tBad Request: chat not found\n2 could not be delivered\n"
	if got, err := run(); got != want || err != nil {
		t.Errorf("got %q, %v", got, err)
	}
	s := openIn(t, dir)
	stop, err := share(s)
	must(t, err)
	if got, err := run(); got != want || err != nil {
		t.Errorf("while in use: %q, %v", got, err)
	}
	t.Run("no temporary directory", func(t *testing.T) { // as in a container
		t.Setenv("TMPDIR", filepath.Join(dir, "absent"))
		if got, err := run(); got != want || err != nil {
			t.Errorf("got %q, %v", got, err)
		}
		if left, err := filepath.Glob(filepath.Join(dir, ".copy*")); len(left) > 0 || err != nil {
			t.Errorf("left behind: %q, %v", left, err)
		}
	})
	if got, err := run("--drop"); got != "2 forgotten\n" || err != nil {
		t.Errorf("dropped while in use: %q, %v", got, err)
	}
	if got, err := run(); got != "0 could not be delivered\n" || err != nil {
		t.Errorf("after they were dropped while in use: %q, %v", got, err)
	}
	stop()
	if got, err := run("--drop"); err == nil || !strings.Contains(err.Error(), "in use") {
		t.Errorf("dropped while in use by somebody who takes no orders: %q, %v", got, err)
	}
	must(t, s.Close())
	fill()
	if got, err := run("--retry"); got != "2 in the outbox again\n" || err != nil {
		t.Errorf("retry: %q, %v", got, err)
	}
	if n := waiting(t, dir); n != 2 {
		t.Errorf("%d wait, want 2", n)
	}
	fill()
	if got, err := run("--drop"); got != "2 forgotten\n" || err != nil {
		t.Errorf("drop: %q, %v", got, err)
	}
	if got, err := run(); got != "0 could not be delivered\n" || err != nil {
		t.Errorf("afterwards: %q, %v", got, err)
	}
	if _, err := run("--drop", "--retry"); err == nil {
		t.Error("both at once")
	}
	if err := undelivered(ctx, []string{"--data", t.TempDir()}, now, &strings.Builder{}); err == nil {
		t.Error("no file, and no error")
	}
}

func openIn(t testing.TB, dir string) *bolt.Store {
	t.Helper()
	s, err := bolt.Open(filepath.Join(dir, dataFile), bolt.Options{})
	must(t, err)
	return s
}

func waiting(t *testing.T, dir string) (n int) {
	t.Helper()
	s := openIn(t, dir)
	defer s.Close()
	must(t, storetest.Look(context.Background(), s, func(tx store.Snapshot) error {
		all, err := tx.Pending("", 100)
		n = len(all)
		for _, m := range all {
			if m.Expires.IsZero() {
				t.Error("a message that is tried again no longer expires")
			}
		}
		return err
	}))
	return n
}
