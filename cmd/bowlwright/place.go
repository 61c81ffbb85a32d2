package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"bowlwright/store"
	"bowlwright/store/postgres"
)

// place says where the data is: in a file of a directory, or in a database.
type place struct {
	data    string // directory; the user's own where it is empty
	address secret // of the database; empty: none
}

// keeper is a store as the program opens it.
type keeper interface {
	store.Store
	Compact(ctx context.Context) error
}

// placeFlags adds the flags that say where the data is. The function that it
// returns says so, once they are parsed.
func placeFlags(f *flag.FlagSet, getenv func(string) string) func() (place, error) {
	var data, address, file string
	f.StringVar(&data, "data", "", "directory of the data file")
	f.StringVar(&address, "store", "", "address of the database")
	f.StringVar(&file, "store-file", "", "file that holds it")
	return func() (place, error) {
		if data == "" && address == "" && file == "" {
			address, file = getenv("BOWLWRIGHT_STORE"), getenv("BOWLWRIGHT_STORE_FILE")
		} else if data != "" && address+file != "" {
			return place{}, usageError{"--data and --store are two places for the data: name one"}
		}
		return placeOf(data, address, file, isGiven(f, "store"))
	}
}

var errTypedPassword = usageError{"a password on the command line can be read by every user of the machine: use BOWLWRIGHT_STORE, --store-file, PGPASSWORD or PGPASSFILE"}

// isGiven reports that a flag stands on the command line.
func isGiven(f *flag.FlagSet, name string) (given bool) {
	f.Visit(func(is *flag.Flag) { given = given || is.Name == name })
	return given
}

// placeOf checks where the data is. A password does not belong on a command
// line.
func placeOf(data, address, file string, typed bool) (place, error) {
	switch {
	case address != "" && file != "":
		return place{}, usageError{"--store and --store-file are both given: use one"}
	case file != "":
		text, err := os.ReadFile(file)
		if err != nil {
			return place{}, usageError{fmt.Sprintf("--store-file cannot be read: %v", err)}
		}
		address = strings.TrimSpace(string(text))
		if !postgres.IsAddress(address) {
			return place{}, usageError{"--store-file holds no address such as postgres://bowlwright@127.0.0.1/bowlwright"}
		}
	case address == "":
		return place{data: data}, nil
	case !postgres.IsAddress(address):
		return place{}, usageError{"--store is an address such as postgres://bowlwright@127.0.0.1/bowlwright"}
	case typed && postgres.HasPassword(address):
		return place{}, errTypedPassword
	}
	return place{address: secret(address)}, nil
}

// openDatabase opens the store of a database, and says what is wrong in words.
func openDatabase(ctx context.Context, address secret) (*postgres.Store, error) {
	s, err := postgres.Open(ctx, string(address))
	if err != nil {
		return nil, aboutDatabase(err)
	}
	if err := wholly(ctx, s); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

// wholly refuses a store into which a move was broken off.
func wholly(ctx context.Context, s store.Store) error {
	begun, err := store.Look(ctx, s, func(snap store.Snapshot) (bool, error) { return snap.Seen(store.MoveMark) })
	if begun {
		return failure{"not everything was moved here yet: run the same \"bowlwright move\" again", nil}
	}
	return said(err)
}

// aboutDatabase puts an error of the database into words.
func aboutDatabase(err error) error {
	var e *store.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code {
	case store.Newer:
		return failure{"the database was changed by a newer version of Bowlwright; nothing was changed now", err}
	case store.Damaged:
		return failure{fmt.Sprintf("the database is damaged: %v", e.Err), err}
	case store.Busy, store.Internal, store.Lost:
		return failure{fmt.Sprintf("the database cannot be used: %v", e.Err), err}
	}
	return said(err)
}

// read reads the data, whoever has it open.
func (p place) read(ctx context.Context, f func(store.Snapshot) error) error {
	if p.address == "" {
		file, err := keptFile(p.data)
		if err != nil {
			return err
		}
		return inCopy(ctx, file, f)
	}
	s, err := openDatabase(ctx, p.address)
	if err != nil {
		return err
	}
	defer s.Close()
	snap, err := s.Read(ctx)
	if err != nil {
		return aboutDatabase(err)
	}
	defer snap.Close()
	return f(snap)
}

// order has something done to the data, whoever has it open.
func (p place) order(ctx context.Context, name string, args ...string) (said string, err error) {
	if p.address == "" {
		file, err := keptFile(p.data)
		if err != nil {
			return "", err
		}
		return order(ctx, file, name, args...)
	}
	s, err := openDatabase(ctx, p.address)
	if err != nil {
		return "", err
	}
	defer s.Close()
	said, err = orders(s)[name](ctx, args)
	return said, aboutDatabase(err)
}

// verifyDatabase reads everything in a database.
func verifyDatabase(ctx context.Context, p place, stdout io.Writer) error {
	s, err := openDatabase(ctx, p.address)
	if err != nil {
		return err
	}
	defer s.Close()
	is, err := store.Tell(ctx, s)
	if err != nil {
		return aboutDatabase(err)
	}
	_, err = fmt.Fprintf(stdout, "the database is whole and sound: %v\n", is)
	return err
}

// Copies of a database are made by PostgreSQL's own programs.
const (
	backupByDump = `a database is copied by PostgreSQL's own program, also while it is in use:
  pg_dump --format custom --file FILE "$BOWLWRIGHT_STORE"
pg_restore puts the copy into an empty database, and "bowlwright verify --store" reads all that is there`
	restoreByDump = `a copy of a database is put into an empty one by PostgreSQL's own program:
  pg_restore --exit-on-error --no-owner --dbname "postgres://.../empty" FILE
Then run "bowlwright verify --store" on it before anything uses it. What was erased after the copy was made is in it again`
)
