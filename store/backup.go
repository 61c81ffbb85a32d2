package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// backupTimeout is how long a command waits for whoever holds a file; our own
// choice.
const backupTimeout = time.Second

// Backup writes a consistent copy of the store as a file that Open and
// Restore take. Updates go on meanwhile, and are not in it. The file grows
// while a copy is being taken, so a writer that is slow should give up at
// some point. An error of w has code Internal, and what was written is then
// of no use.
func (s *Bolt) Backup(ctx context.Context, w io.Writer) error {
	t, err := s.enterCopy(ctx)
	if err != nil {
		return err
	}
	defer t.end()
	out := &careful{ctx: ctx, w: w}
	err = s.protect("backup", func() error {
		_, err := t.tx.WriteTo(out)
		return err
	})
	if out.err != nil { // bbolt flattens it to text
		return &Error{Code: codeOf(out.err), Op: "backup", Err: out.err}
	}
	return classify("backup", err)
}

// enterCopy brings the file up to date and begins a transaction that reads it.
func (s *Bolt) enterCopy(ctx context.Context) (*boltTx, error) {
	const op = "backup"
	select {
	case s.folds <- struct{}{}:
		defer s.folds.leave() // what is written later is not in the transaction
	case <-ctx.Done():
		return nil, classify(op, ctx.Err())
	}
	if err := s.fold(s.seen()); err != nil {
		return nil, classify(op, err)
	}
	return s.enterFile(op, false)
}

// careful makes an error of a panic of the writer, which would be taken for
// damage of the store.
type careful struct {
	ctx context.Context
	w   io.Writer
	err error // the first
}

func (c *careful) Write(p []byte) (n int, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the writer panicked: %v", p)
		}
		if c.err == nil {
			c.err = err
		}
	}()
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.w.Write(p)
}

// Verify reads the whole of a file that nobody uses, and changes nothing in
// it, except that what a crash left in the redo log is brought in first: its
// structure, every record's checksum and, in a file of the current schema,
// every index. Errors are *Error, of code NotFound where there is no
// such file, Busy where it is in use, Newer or Damaged.
func Verify(path string) error {
	return verified(path, func(*os.File) error { return nil })
}

// CopyFile is Backup of a file that nobody uses; it is verified first.
func CopyFile(path string, w io.Writer) error {
	return verified(path, func(f *os.File) error {
		return classify("backup", copyAll(w, f))
	})
}

func copyAll(w io.Writer, f *os.File) error {
	_, err := io.Copy(w, io.NewSectionReader(f, 0, 1<<62))
	return err
}

// verified reads everything in a file and calls f with it while it is locked.
func verified(path string, f func(*os.File) error) error {
	const op = "verify"
	if err := recovered(path); err != nil {
		return classify(op, err)
	}
	file, err := lockedFile(path, os.O_RDONLY, time.Now().Add(backupTimeout))
	if errors.Is(err, fs.ErrNotExist) {
		return &Error{Code: NotFound, Op: op, Err: err}
	}
	if err == nil && there(path+redoSuffix) {
		file.Close()
		err = berrors.ErrTimeout // somebody has used it since, and crashed
	}
	if err != nil {
		return classify(op, err)
	}
	found, err := verify(file)
	if err != nil {
		file.Close()
		return classify(op, err)
	}
	s := newBolt(file, path, Options{NoSync: true})
	err = s.protect(op, func() (err error) {
		s.db, err = bolt.Open(path, 0, &bolt.Options{
			ReadOnly: true, Timeout: backupTimeout,
			OpenFile: func(string, int, os.FileMode) (*os.File, error) { return file, nil },
		})
		return err
	})
	if err != nil {
		letGo(file) // bbolt has closed it, except after a panic
		return classify(op, err)
	}
	defer s.Close()
	if err := s.verifyRecords(found); err != nil {
		return err
	}
	return f(file)
}

// there says that something has a name, or that nobody can tell.
func there(path string) bool {
	_, err := os.Lstat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

// recovered brings into a file what a crash left in the redo log beside it.
func recovered(path string) error {
	if !there(path) || !there(path+redoSuffix) {
		return nil
	}
	s, err := Open(path, Options{Timeout: backupTimeout})
	if err != nil {
		return err
	}
	// A store opens without it too, where there is no space for it.
	return errors.Join(s.foldNow(), s.Close())
}

func (s *Bolt) verifyRecords(found faults) error {
	t, err := s.enterFile("verify", false)
	if err != nil {
		return err
	}
	defer t.end()
	var version uint64
	err = s.protect("verify", func() error {
		version, err = schemaOf(t.tx)
		return err
	})
	known := uint64(len(migrations))
	switch {
	case err != nil:
		return classify("verify", err)
	case version > known:
		return newer("verify", version, known)
	case version < known:
		return classify("verify", s.records(found, version))
	}
	return classify("verify", t.agree(found))
}

// Restore puts a copy of the store in the file from where the file to is.
// Everything is checked before anything is replaced, and what was there is
// kept under the name keep, which must not exist; kept says whether there was
// anything. What a crash left in its redo log is brought in first; where that
// cannot be, the log is kept beside it. At no moment is there half a file at to.
//
// Errors are *Error: NotFound where there is no from, Busy where either is in
// use, Newer or Damaged of from.
func Restore(from, to, keep string) (kept bool, err error) {
	const op = "restore"
	if err := os.MkdirAll(filepath.Dir(to), 0o700); err != nil {
		return false, classify(op, err)
	}
	deadline := time.Now().Add(backupTimeout)
	// Whoever holds the file beside keeps others from making a store meanwhile.
	beside := to + ".new"
	out, err := lockedFile(beside, os.O_RDWR|os.O_CREATE, deadline)
	if err != nil {
		return false, classify(op, err)
	}
	defer out.Close()
	// Damage of what is replaced is no matter, and it is told of when it is
	// opened. Whoever holds it is met again below.
	recovered(to)
	old, err := lockedFile(to, os.O_RDWR, deadline)
	switch {
	case err == nil:
		defer old.Close()
	case !errors.Is(err, fs.ErrNotExist):
		os.Remove(beside)
		return false, classify(op, err)
	}
	if err := copyTo(out, from); err != nil {
		os.Remove(beside)
		return false, err
	}
	if err := keepBoth(to, keep, old != nil); err != nil {
		os.Remove(beside)
		return false, classify(op, err)
	}
	if !renamesOpen {
		out.Close()
		if old != nil {
			old.Close()
		}
	}
	if err := settle(beside, to, Options{}); err != nil {
		os.Remove(beside)
		return old != nil, classify(op, err)
	}
	// Until here the new file has the log of another beside it, and does not
	// open with it.
	return old != nil, classify(op, removed(to+redoSuffix))
}

// keepBoth gives a file, if it is there, and its log, if that is there, second
// names.
func keepBoth(to, keep string, file bool) error {
	log := there(to + redoSuffix)
	if file && there(keep) || log && there(keep+redoSuffix) {
		return fs.ErrExist
	}
	if file {
		if err := keepAs(to, keep); err != nil {
			return err
		}
	}
	if log {
		return keepAs(to+redoSuffix, keep+redoSuffix)
	}
	return nil
}

// keepAs gives a file a second name. Where the file system has no second
// names it gets another, and its place is empty for a moment.
func keepAs(to, keep string) error {
	err := os.Link(to, keep)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, err := os.Lstat(keep); err == nil {
		return fs.ErrExist
	}
	return os.Rename(to, keep)
}

// copyTo copies a store into an open file and makes sure of what arrived.
func copyTo(out *os.File, from string) error {
	const op = "restore"
	return verified(from, func(in *os.File) error {
		err := out.Truncate(0)
		if err == nil {
			err = copyAll(out, in)
		}
		if err == nil {
			err = out.Sync()
		}
		if err == nil {
			err = same(in, out)
		}
		return classify(op, err)
	})
}

// same compares two files.
func same(a, b *os.File) error {
	x, y := make([]byte, 1<<16), make([]byte, 1<<16)
	for at := int64(0); ; at += int64(len(x)) {
		n, err := a.ReadAt(x, at)
		if err != nil && err != io.EOF {
			return err
		}
		m, end := b.ReadAt(y, at)
		if end != nil && end != io.EOF {
			return end
		}
		if !bytes.Equal(x[:n], y[:m]) {
			return errors.New("the copy differs from what was copied")
		}
		if err == io.EOF {
			return nil
		}
	}
}
