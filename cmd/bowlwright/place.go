package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/hotcopy"
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

// The orders: what an operator has done to a store, whoever has it open.
const (
	retryOrder    = "retry"    // messages that could not be delivered go into the outbox again
	dropOrder     = "drop"     // or are forgotten
	withdrawOrder = "withdraw" // token, reason, time: nobody opens what is published any more
)

// orders are carried out on a store that is open here.
func orders(s store.Store) map[string]hotcopy.Order {
	return map[string]hotcopy.Order{
		retryOrder: func(ctx context.Context, _ []string) (string, error) {
			n, err := settleUndelivered(ctx, s, true)
			return fmt.Sprintf("%d in the outbox again\n", n), err
		},
		dropOrder: func(ctx context.Context, _ []string) (string, error) {
			n, err := settleUndelivered(ctx, s, false)
			return fmt.Sprintf("%d forgotten\n", n), err
		},
		withdrawOrder: func(ctx context.Context, args []string) (string, error) {
			if len(args) != 3 {
				return "", errors.New("a token, a reason and a time are needed")
			}
			now, err := time.Parse(time.RFC3339Nano, args[2])
			if err != nil {
				return "", err
			}
			return withdrawPublished(ctx, s, args[0], args[1], now)
		},
	}
}

// order has something done to the store of a file: by the program that has it
// open, or where none has, here.
func order(ctx context.Context, file, name string, args ...string) (said string, err error) {
	said, err = hotcopy.Do(ctx, filepath.Dir(file), name, args...)
	var refused hotcopy.Refused
	switch {
	case err == nil:
		return said, nil
	case errors.As(err, &refused):
		return "", failure{refused.Error(), err}
	case errors.Is(err, hotcopy.ErrUnknown):
		return "", failure{file + " is in use by another version of Bowlwright: end that first", err}
	case !errors.Is(err, hotcopy.ErrNobody):
		return "", err
	}
	s, err := bolt.Open(file, bolt.Options{})
	if err != nil {
		return "", aboutFile(err, file)
	}
	said, err = orders(s)[name](ctx, args)
	return said, aboutFile(errors.Join(err, s.Close()), file)
}

// move takes everything over from a file into a database, or back.
func move(ctx context.Context, args []string, stdout io.Writer) error {
	var from, to string
	f := newFlags("move")
	f.StringVar(&from, "from", "", "file or database that holds the data")
	f.StringVar(&to, "to", "", "file or database that is to hold it")
	if err := f.Parse(args); err != nil {
		return usageError{err.Error()}
	}
	if f.NArg() > 0 || from == "" || to == "" || postgres.IsAddress(from) == postgres.IsAddress(to) {
		return usageError{"move takes --from FILE --to postgres://..., or --from postgres://... --to FILE"}
	}
	source, err := openMovable(ctx, from, false)
	if err != nil {
		return err
	}
	defer source.Close()
	target, err := openMovable(ctx, to, true)
	if err != nil {
		return err
	}
	moved, err := store.Move(ctx, source, target)
	if err = errors.Join(err, target.Close()); err != nil {
		return aboutMove(err)
	}
	_, err = fmt.Fprintf(stdout, "%s, and each is the same there\nwhat was moved is still where it was: let nothing use that any more\n", moved)
	return err
}

// aboutMove puts an error of a move into words.
func aboutMove(err error) error {
	switch {
	case errors.Is(err, store.ErrNotEmpty):
		return failure{"there is something in the place to move to already: name one that is empty", err}
	case errors.Is(err, store.ErrNotSame):
		return failure{"what was moved is not the same there; try again, and use the place it was moved from until then", err}
	}
	return failure{fmt.Sprintf("not everything was moved (%v): run the same command again", err), err}
}

// openMovable opens what nobody else uses. A file that is to be moved is there
// already.
func openMovable(ctx context.Context, where string, create bool) (store.Movable, error) {
	if postgres.IsAddress(where) {
		if postgres.HasPassword(where) {
			return nil, errTypedPassword
		}
		s, err := postgres.Open(ctx, where)
		if err != nil {
			return nil, aboutDatabase(err)
		}
		if err := s.Alone(ctx); err != nil {
			s.Close()
			return nil, failure{"the database is in use: end the Bowlwright that uses it first", err}
		}
		return s, nil
	}
	if _, err := os.Stat(where); err != nil && !create {
		return nil, failure{"there is no file " + where, err}
	}
	s, err := bolt.Open(where, bolt.Options{})
	if err != nil {
		return nil, aboutFile(err, where)
	}
	return s, nil
}
