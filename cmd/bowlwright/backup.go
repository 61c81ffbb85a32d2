package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"bowlwright/store"
	"bowlwright/store/hotcopy"
)

// fileAndFlags parses a command line of one file and flags, in any order.
func fileAndFlags(f *flag.FlagSet, args []string) (file string, err error) {
	for {
		if err := f.Parse(args); err != nil {
			return "", usageError{err.Error()}
		}
		if f.NArg() == 0 {
			break
		}
		if file != "" {
			return "", usageError{fmt.Sprintf("%s takes one file, not %q too", f.Name(), f.Arg(0))}
		}
		file, args = f.Arg(0), f.Args()[1:]
	}
	if file == "" {
		return "", usageError{f.Name() + " takes the name of a file"}
	}
	return file, nil
}

// storeFile is where the store of a data directory is. Where none is named
// it is that of BOWLWRIGHT_DATA, or else the user's own.
func storeFile(dir string) (string, error) {
	if dir == "" {
		dir = os.Getenv("BOWLWRIGHT_DATA")
	}
	if dir == "" {
		var err error
		if dir, err = dataDir(); err != nil {
			return "", failure{"no data directory is known here: name one with --data DIR", err}
		}
	}
	return filepath.Join(dir, dataFile), nil
}

// backup makes a file of the data, also while a program has it open. The
// file gets its name when it is whole.
func backup(ctx context.Context, args []string, stdout io.Writer) error {
	var data string
	f := newFlags("backup")
	f.StringVar(&data, "data", "", "directory of the data file")
	to, err := fileAndFlags(f, args)
	if err != nil {
		return err
	}
	from, err := storeFile(data)
	if err != nil {
		return err
	}
	if _, err := os.Lstat(to); err == nil {
		return failure{to + " is there already: name a file that is not", nil}
	}
	part := to + ".part"
	size, err := writeCopy(ctx, from, part)
	if err == nil {
		err = aboutFile(store.Verify(part), part)
	}
	if err == nil {
		err = os.Rename(part, to)
	}
	if err != nil {
		os.Remove(part)
		var known failure
		if errors.As(err, &known) {
			return known
		}
		return failure{fmt.Sprintf("no backup was made: %v", err), err}
	}
	_, err = fmt.Fprintf(stdout, "%s: %d kB, checked\n", to, (size+999)/1000)
	return err
}

// writeCopy writes a copy of a store into a file and returns its length.
func writeCopy(ctx context.Context, from, to string) (size int64, err error) {
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return 0, err
	}
	err = hotcopy.Fetch(ctx, filepath.Dir(from), out)
	if errors.Is(err, hotcopy.ErrNobody) {
		err = aboutFile(store.CopyFile(from, out), from)
	}
	if err == nil {
		err = out.Sync()
	}
	size, seek := out.Seek(0, io.SeekEnd)
	return size, errors.Join(err, seek, out.Close())
}

// verify checks a file from backup.
func verify(args []string, stdout io.Writer) error {
	file, err := fileAndFlags(newFlags("verify"), args)
	if err != nil {
		return err
	}
	if err := store.Verify(file); err != nil {
		return aboutFile(err, file)
	}
	_, err = fmt.Fprintf(stdout, "%s is whole and sound\n", file)
	return err
}

// restore puts a file from backup in the place of the data, which it keeps
// under a name that tells the time.
func restore(args []string, now time.Time, stdout io.Writer) error {
	var data string
	f := newFlags("restore")
	f.StringVar(&data, "data", "", "directory of the data file")
	from, err := fileAndFlags(f, args)
	if err != nil {
		return err
	}
	to, err := storeFile(data)
	if err != nil {
		return err
	}
	// Both are checked, and the one that is wrong is named.
	if err := store.Verify(from); err != nil {
		return aboutFile(err, from)
	}
	keep := to + ".before-" + now.UTC().Format("20060102T150405.000Z")
	kept, err := store.Restore(from, to, keep)
	if err != nil {
		return aboutFile(err, to)
	}
	text := fmt.Sprintf("%s is now in %s\n", from, to)
	if kept {
		text += fmt.Sprintf("what was there is kept in %s\n", keep)
	}
	_, err = io.WriteString(stdout, text)
	return err
}

// aboutFile puts an error of the store into words that name the file.
func aboutFile(err error, file string) error {
	var e *store.Error
	if !errors.As(err, &e) {
		return err
	}
	switch {
	case e.Code == store.NotFound:
		return failure{"there is no file " + file, err}
	case e.Code == store.Busy:
		return failure{file + " is in use: end the Bowlwright that uses it first", err}
	case e.Code == store.Damaged:
		return failure{file + " is damaged or cut short, or no file of Bowlwright; nothing was changed", err}
	case e.Code == store.Newer:
		return failure{file + " was written by a newer version of Bowlwright; nothing was changed", err}
	case errors.Is(err, fs.ErrExist):
		return failure{"there is a file from a restore in the same moment: try again", err}
	}
	return said(err)
}

// share lets backup copy a store that is open here. Where that cannot be, the
// store works all the same.
func share(s *store.Bolt) (stop func(), err error) {
	stop, err = hotcopy.Serve(s, filepath.Dir(s.Path()))
	if err != nil {
		return func() {}, err
	}
	return stop, nil
}
