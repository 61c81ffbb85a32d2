package bolt

import (
	"errors"
	"fmt"
	"io/fs"
	"runtime/debug"
	"strings"
	"syscall"

	berrors "go.etcd.io/bbolt/errors"

	"bowlwright/store"
	"bowlwright/store/bolt/schema8"
)

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
