package main

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"golang.org/x/term"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/hotcopy"
)

// aFile is what a command takes besides its flags.
const aFile = "the name of a file"

// fileAndFlags parses a command line of one file and flags, in any order.
func fileAndFlags(f *flag.FlagSet, args []string, takes string) (file string, err error) {
	rest, err := anywhere(f, args)
	switch {
	case err != nil:
		return "", err
	case len(rest) > 1:
		return "", usageError{fmt.Sprintf("%s takes one file, not %q too", f.Name(), rest[1])}
	case len(rest) == 0 || rest[0] == "":
		return "", usageError{f.Name() + " takes " + takes}
	}
	return rest[0], nil
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

// keptFile is storeFile of one that is there.
func keptFile(dir string) (string, error) {
	file, err := storeFile(dir)
	if err != nil {
		return "", err
	}
	if _, err := os.Stat(file); err != nil {
		return "", failure{"there is no file " + file, err}
	}
	return file, nil
}

// backup makes a file of the data, also while a program has it open. The
// file gets its name when it is whole.
func backup(ctx context.Context, args []string, stdout io.Writer) error {
	f := newFlags("backup")
	where := placeFlags(f, os.Getenv)
	to, err := fileAndFlags(f, args, aFile)
	data, unplaced := where()
	switch {
	case unplaced != nil:
		return unplaced
	case data.address != "":
		return failure{backupByDump, nil}
	case err != nil:
		return err
	}
	from, err := storeFile(data.data)
	if err != nil {
		return err
	}
	if _, err := os.Lstat(to); err == nil {
		return failure{to + " is there already: name a file that is not", nil}
	}
	var copying error
	size, err := bolt.BackupTo(to, func(w io.Writer) error {
		copying = copyOut(ctx, from, w)
		return copying
	})
	var known failure
	switch {
	case errors.As(copying, &known):
		return known
	case err != nil:
		return failure{fmt.Sprintf("no backup was made: %v", err), err}
	}
	_, err = fmt.Fprintf(stdout, "%s: %d kB, checked\n", to, (size+999)/1000)
	return err
}

// copyOut writes a copy of a store, whether or not somebody has it open.
func copyOut(ctx context.Context, from string, w io.Writer) error {
	err := hotcopy.Fetch(ctx, filepath.Dir(from), w)
	if errors.Is(err, hotcopy.ErrNobody) {
		err = aboutFile(bolt.CopyFile(from, w), from)
	}
	return err
}

// verify checks a file from backup, or a database.
func verify(ctx context.Context, args []string, stdout io.Writer) error {
	f := newFlags("verify")
	where := placeFlags(f, os.Getenv)
	file, err := fileAndFlags(f, args, aFile)
	if file == "" {
		data, unplaced := where()
		switch {
		case unplaced != nil:
			return unplaced
		case data.address != "":
			return verifyDatabase(ctx, data, stdout)
		}
	}
	if err != nil {
		return err
	}
	found, err := bolt.Verify(file)
	if err != nil {
		return aboutFile(err, file)
	}
	said := fmt.Sprintf("%s is whole and sound\n", file)
	if found.Torn {
		said += "the page that leads to the state before its last one is damaged: nothing is missing, and the disk may be failing\n"
	}
	if found.Unclosed {
		said += "it was not closed: what used it was killed, or it was copied by hand\n"
	}
	_, err = io.WriteString(stdout, said)
	return err
}

// restore puts a file from backup in the place of the data, which it keeps
// under a name that tells the time.
func restore(args []string, now time.Time, stdin io.Reader, stdout io.Writer) error {
	var unsent string
	f := newFlags("restore")
	where := placeFlags(f, os.Getenv)
	f.StringVar(&unsent, "unsent", "", "send or drop what the copy had not sent")
	from, err := fileAndFlags(f, args, aFile)
	data, unplaced := where()
	switch {
	case unplaced != nil:
		return unplaced
	case data.address != "":
		return failure{restoreByDump, nil}
	case err != nil:
		return err
	}
	if unsent != "" && unsent != "send" && unsent != "drop" {
		return usageError{"--unsent is send or drop"}
	}
	to, err := storeFile(data.data)
	if err != nil {
		return err
	}
	// Both are checked, and the one that is wrong is named.
	found, err := bolt.Verify(from)
	if err != nil && !found.Older {
		return aboutFile(err, from)
	}
	if unsent == "" && found.Unsent > 0 && asksAt(stdin) {
		if unsent, err = askUnsent(found.Unsent, stdin, stdout); err != nil {
			return err
		}
	}
	keep := to + ".before-" + now.UTC().Format("20060102T150405.000Z")
	r, err := bolt.Restore(from, to, bolt.RestoreOptions{Keep: keep, Unsent: unsent == "send"})
	if err != nil {
		return aboutFile(err, to)
	}
	text := fmt.Sprintf("%s is now in %s\n", from, to)
	if r.Found.Older {
		text += from + " " + olderThanItWas + "\n"
	}
	if r.Dropped > 0 {
		text += fmt.Sprintf("dropped, since the copy had not sent them: %s; reminders are worked out again\n", messages(r.Dropped))
	}
	switch {
	case r.Erased > 0:
		text += fmt.Sprintf("erased again, since that was asked for after the copy was made: %d\n", r.Erased)
	case !r.Marked:
		text += "what was erased after the copy was made is in it again: there was no data here to tell\n"
	}
	if r.Kept {
		text += fmt.Sprintf("what was there is kept in %s\n", keep)
	}
	_, err = io.WriteString(stdout, text)
	return err
}

// asksAt says whether somebody sits at the input who can be asked.
func asksAt(stdin io.Reader) bool {
	f, ok := stdin.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// askUnsent asks what becomes of messages that were not sent when a copy was
// made.
func askUnsent(n int, stdin io.Reader, stdout io.Writer) (string, error) {
	fmt.Fprintf(stdout, "Not yet sent when this copy was made: %s. Send them now? They may be long out of date. [y/N] ", messages(n))
	line, err := bufio.NewReader(stdin).ReadString('\n')
	if err != nil && err != io.EOF {
		return "", err
	}
	if yes := strings.ToLower(strings.TrimSpace(line)); yes == "y" || yes == "yes" {
		return "send", nil
	}
	return "drop", nil
}

func messages(n int) string {
	if n == 1 {
		return "1 message"
	}
	return fmt.Sprint(n, " messages")
}

const olderThanItWas = "is older than it was: a damaged page hides its last state, and this is the one before, which is whole"

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
	case e.Code == store.Older:
		return failure{file + " " + olderThanItWas, err}
	case e.Code == store.Newer:
		return failure{file + " was written by a newer version of Bowlwright; nothing was changed", err}
	case errors.Is(err, fs.ErrExist):
		return failure{"there is a file from a restore in the same moment: try again", err}
	}
	return said(err)
}

// share lets other commands copy a store that is open here, and give orders.
// Where that cannot be, the store works all the same.
func share(s *bolt.Store) (stop func(), err error) {
	stop, err = hotcopy.Serve(s, filepath.Dir(s.Path()), orders(s))
	if err != nil {
		return func() {}, err
	}
	return stop, nil
}
