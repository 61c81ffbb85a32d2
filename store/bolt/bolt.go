package bolt

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"runtime/debug"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"

	"bowlwright/store"
	"bowlwright/store/bolt/schema8"
)

// Store is a store.Store in one bbolt file. It is safe for concurrent use: any number
// of snapshots, one commit at a time. Commits that come together share a transaction, and
// so the wait for the disk.
//
// Damage that shows only while it is open stops it: every transaction from
// then on fails with the same error and nothing more is written. So does a
// disk that fails when it is to make the end of a commit durable: only opening
// the file again can tell whether it was kept.
type Store struct {
	*store.InProcess
	db      *bbolt.DB
	file    *os.File
	path    string
	scratch string                      // a directory to remove at Close
	noSync  bool                        // the disk is not waited for
	found   Found                       // by Open
	stopped atomic.Pointer[store.Error] // what made the store unusable, if anything
	closing sync.Once
	begin   sync.Mutex // held while a transaction begins

	queue   sync.Mutex // of waiting
	waiting []*update  // for the writer
	writer  gate       // held by who commits
	wrote   bool       // something was, since Open; of whoever holds writer
	stampAt int64      // where the file has a stamp, 0 where it has none; of whoever holds writer

	finish func(*bbolt.Tx) error // commits; replaced where a test lets the disk fail
}

// gate lets one in at a time, in the order in which they came.
type gate chan struct{}

func (g gate) enter() { g <- struct{}{} }
func (g gate) leave() { <-g }

var (
	errOver   = errors.New("the transaction is over")
	errShrunk = errors.New("the file has become shorter than its content")
)

// Path returns where the file is.
func (s *Store) Path() string { return s.path }

// Found returns what Open found.
func (s *Store) Found() Found { return s.found }

// Read implements Store. A context that is done is an error of code Internal
// that wraps the context's. The file does not shrink while a snapshot is open.
func (s *Store) Read(ctx context.Context) (store.Snapshot, error) {
	if err := ctx.Err(); err != nil {
		return nil, classify("read", err)
	}
	return s.read("read")
}

func (s *Store) read(op string) (*transaction, error) {
	tx, err := s.enter(op, false)
	if err != nil {
		return nil, err
	}
	return &transaction{s: s, tx: tx}, nil
}

// Close implements Snapshot.
func (t *transaction) Close() {
	if !t.over {
		t.s.rollback(t.tx)
		t.over = true
	}
}

// view calls f with a transaction that reads, protected.
func (s *Store) view(op string, f func(*transaction) error) error {
	t, err := s.read(op)
	if err != nil {
		return err
	}
	defer t.Close()
	return t.protected(op, func() error { return f(t) })
}

// enter begins a transaction, after making sure that the file still has every
// page that it can reach.
func (s *Store) enter(op string, writable bool) (tx *bbolt.Tx, err error) {
	// bbolt's own lock stays taken where beginning fails with a panic; holding
	// this one instead keeps others from waiting for it for ever.
	s.begin.Lock()
	defer s.begin.Unlock()
	if e := s.stopped.Load(); e != nil {
		return nil, e
	}
	err = s.protect(op, func() (err error) {
		tx, err = s.db.Begin(writable)
		return err
	})
	if err != nil {
		return nil, classify(op, err)
	}
	info, err := s.file.Stat()
	if err == nil && info.Size() < tx.Size() {
		err = s.stop(&store.Error{Code: store.Damaged, Op: op, Err: errShrunk})
	}
	if err != nil {
		s.rollback(tx)
		return nil, classify(op, err)
	}
	return tx, nil
}

// Close implements Store. Closing twice is no error; a transaction after it
// fails with code Internal. Where something was written, the file gets its
// stamp; where that cannot be, nothing is lost.
func (s *Store) Close() error {
	var err error
	s.closing.Do(func() {
		s.writer.enter()
		defer s.writer.leave()
		if s.stopped.Load() == nil && s.wrote {
			s.putStamp() // without it the next Open reads the whole file
		}
		if s.stopped.Load() != nil {
			// bbolt could wait for ever for its own locks; the mapping stays
			// until the process ends, the file and its lock are let go.
			err = letGo(s.file)
		} else {
			err = s.db.Close()
		}
		err = classify("close", err)
		if s.scratch != "" {
			os.RemoveAll(s.scratch) // what is left is in the temporary directory
		}
	})
	return err
}

// errorsOfSpace are how an operating system says that a file cannot grow:
// the device, the user's quota, or the largest file that is allowed.
var errorsOfSpace = []syscall.Errno{syscall.ENOSPC, syscall.EDQUOT, syscall.EFBIG}

// classify makes an *Error of whatever went wrong; nil stays nil.
func classify(op string, err error) error { return store.Classify(op, err, codeOf) }

func damaged(op, format string, args ...any) error {
	return &store.Error{Code: store.Damaged, Op: op, Err: fmt.Errorf(format, args...)}
}

func codeOf(err error) store.Code {
	for _, no := range errorsOfSpace {
		// bbolt flattens the cause to text where it grows the file.
		if errors.Is(err, no) || strings.HasSuffix(err.Error(), no.Error()) {
			return store.Full
		}
	}
	switch {
	case errors.Is(err, berrors.ErrTimeout):
		return store.Busy
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return store.ReadOnly
	case errors.Is(err, schema8.ErrDamaged), errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrChecksum),
		errors.Is(err, berrors.ErrVersionMismatch), errors.Is(err, syscall.EISDIR),
		strings.HasPrefix(err.Error(), "file size too small"): // which bbolt gives no name
		return store.Damaged
	}
	return store.Internal
}

// protect runs f, which may touch the mapped file. bbolt answers damage with
// a panic, and a page that the file does not have with a memory fault; either
// becomes an error of code Damaged and stops the store, since bbolt may have
// left its locks taken and must not write to such a file. f must not call
// anything that is not the store's own.
func (s *Store) protect(op string, f func() error) (err error) {
	before := debug.SetPanicOnFault(true)
	defer func() {
		debug.SetPanicOnFault(before)
		if p := recover(); p != nil {
			err = s.stop(&store.Error{Code: store.Damaged, Op: op, Err: fmt.Errorf("%v", p)})
		}
	}()
	return f()
}

// stop makes every later transaction fail with an error, the first one that
// stopped the store, which it returns.
func (s *Store) stop(e *store.Error) error {
	s.stopped.CompareAndSwap(nil, e)
	return s.stopped.Load()
}
