package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/postgres"
)

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
