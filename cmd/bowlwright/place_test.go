package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/postgres/pgtest"
)

// TestMove takes a data file over into a database and back, breaks a move off,
// and tries what is refused.
func TestMove(t *testing.T) {
	t.Parallel()
	pgtest.Programs(t)
	dir := t.TempDir()
	file, back, address := filepath.Join(dir, "bowlwright.db"), filepath.Join(dir, "back.db"), pgtest.Database(t)
	var out, errs strings.Builder
	does := func(line ...string) string {
		t.Helper()
		out.Reset()
		errs.Reset()
		err := run(t.Context(), line, strings.NewReader("dog Pip 6.4 kg\n"), &out, &errs)
		if err != nil {
			return err.Error()
		}
		return out.String()
	}
	does("chat", "--data", dir)
	said := does("move", "--from", file, "--to", address)
	if !strings.Contains(said, "households 1") {
		t.Fatal(said)
	}
	for _, c := range []struct {
		want string
		line []string
	}{
		{"households 1", []string{"verify", "--store", address}},
		{"something in the place", []string{"move", "--from", file, "--to", address}},
		{"pg_dump", []string{"backup", "copy", "--store", address}},
		{"pg_restore", []string{"restore", "copy", "--store", address}},
		{"0 could not be delivered", []string{"undelivered", "--store", address}},
		{"0 forgotten", []string{"undelivered", "--drop", "--store", address}},
		{"0 published", []string{"published", "--store", address}},
		{"on the command line", []string{"verify", "--store", "postgres://a:b@c/d"}},
		{"on the command line", []string{"move", "--from", file, "--to", "postgres://c/d?password=b"}},
		{"two places", []string{"verify", "--store", address, "--data", dir}},
		{"is an address", []string{"verify", "--store", "mysql://c/d"}},
		{"cannot be used", []string{"verify", "--store", "postgres://c/d?host=" + dir}},
		{"each is the same", []string{"move", "--to", back, "--from", address}},
		{"whole and sound", []string{"verify", back}},
	} {
		if said := does(c.line...); !strings.Contains(said, c.want) || strings.Contains(said, "a:b") {
			t.Errorf("%v: %s\nwant %s", c.line, said, c.want)
		}
	}
	// A move that was broken off is not used, and is begun again.
	s := pgtest.Open(t, pgtest.Database(t))
	begun := []store.Write{store.MarkSeen{Event: store.MoveMark, At: time.Now()}, store.PutHousehold{Household: &planner.Household{ID: "half"}}}
	must(t, s.Commit(context.Background(), store.Commit{Writes: begun}))
	if err := wholly(t.Context(), s); err == nil || !strings.Contains(err.Error(), "again") {
		t.Errorf("a store of which half is there: %v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, "copy")); err == nil {
		t.Error("a backup of a database was made of something")
	}
}
