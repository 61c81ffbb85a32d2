package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
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
	if err == nil {
		return s, nil
	}
	return nil, aboutDatabase(err)
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
	case store.Busy, store.Internal, store.Lost:
		return failure{fmt.Sprintf("the database cannot be used: %v", e.Err), err}
	}
	return said(err)
}
