package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Options changes how a store is opened. The zero value is right for data
// that matters.
type Options struct {
	Timeout time.Duration // how long to wait for another process to let go of the file; 0 counts as 1 s
	NoSync  bool          // do not wait for the disk: for throw-away stores only

	prepare func(*Bolt) // where a test makes something smaller or lets it fail
}

// growStep is by how many bytes at a time the file grows; our own choice.
const growStep = 256 << 10

// Open opens the store in a file, which is made where there is none (mode
// 0600, its directory 0700), with what a crash left in the redo log beside it,
// and brings it to the current schema.
//
// The whole of an existing file, its structure and every record, is verified
// before anything is written to it; a file that fails is left as it is, and so is
// its log. A file of no length is damaged too, since Open never leaves one
// behind. So is a log that belongs to another file, or that ends before its
// time; that there is none is no error.
//
// Errors are *Error with code Busy, ReadOnly, Full, Newer, Damaged or
// Internal.
func Open(path string, o Options) (*Bolt, error) {
	return open(path, o, migrations)
}

// Scratch opens a throw-away store in a temporary file, which is removed when
// the store is closed.
func Scratch() (*Bolt, error) {
	dir, err := os.MkdirTemp("", "bowlwright-")
	if err != nil {
		return nil, classify("open", err)
	}
	s, err := Open(filepath.Join(dir, "scratch.db"), Options{NoSync: true})
	if err != nil {
		os.RemoveAll(dir)
		return nil, err
	}
	s.scratch = dir
	return s, nil
}

func open(path string, o Options, ms []migration) (*Bolt, error) {
	if o.Timeout <= 0 {
		o.Timeout = time.Second
	}
	deadline := time.Now().Add(o.Timeout)
	for {
		f, err := lockedFile(path, os.O_RDWR, deadline)
		if errors.Is(err, fs.ErrNotExist) {
			s, err := create(path, o, ms, deadline)
			if errors.Is(err, fs.ErrExist) {
				continue // somebody else made it in the meantime
			}
			return s, err
		}
		if err != nil {
			return nil, classify("open", err)
		}
		found, err := verify(f)
		if err != nil {
			f.Close()
			return nil, classify("open", err)
		}
		return start(f, path, o, ms, found)
	}
}

// create makes a store beside its place and moves it there when it is whole,
// so that neither a crash nor a full disk leaves half a store behind. Whoever
// creates holds the lock of the file beside the place, so there is one
// creator at a time. The error is fs.ErrExist where another was quicker.
func create(path string, o Options, ms []migration, deadline time.Time) (*Bolt, error) {
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, classify("open", err)
	}
	beside := path + ".new"
	f, err := lockedFile(beside, os.O_RDWR|os.O_CREATE, deadline)
	if err != nil {
		return nil, classify("open", err)
	}
	if _, err := os.Stat(path); err == nil {
		os.Remove(beside)
		f.Close()
		return nil, fs.ErrExist
	}
	// What lies there already was left by a creator that crashed.
	if err := f.Truncate(0); err != nil {
		f.Close()
		return nil, classify("open", err)
	}
	s, err := start(f, path, o, ms, nil)
	if err != nil {
		os.Remove(beside)
		return nil, err
	}
	if !renamesOpen {
		s.Close()
	}
	if err := settle(beside, path, o); err != nil {
		s.Close()
		os.Remove(beside)
		return nil, classify("open", err)
	}
	if !renamesOpen {
		return nil, fs.ErrExist
	}
	return s, nil
}

// settle moves a new store to its place and makes that durable: bbolt syncs
// the file but not the directory, without which the file may be gone after a
// loss of power.
func settle(beside, path string, o Options) error {
	if err := os.Rename(beside, path); err != nil {
		return err
	}
	if o.NoSync || !renamesOpen {
		return nil
	}
	return syncDir(filepath.Dir(path))
}

// lockedFile opens a file and takes its lock, and makes sure that the file
// is still the one at that path once the lock is held.
func lockedFile(path string, flag int, deadline time.Time) (*os.File, error) {
	for {
		f, err := os.OpenFile(path, flag, 0o600)
		if err != nil {
			return nil, err
		}
		mine, err := f.Stat()
		if err == nil && !mine.Mode().IsRegular() {
			err = &Error{Code: Damaged, Op: "open", Err: errors.New("not a regular file")}
		}
		if err == nil {
			err = lock(f, deadline)
		}
		if err != nil {
			f.Close()
			return nil, err
		}
		there, err := os.Stat(path)
		if err == nil && os.SameFile(mine, there) {
			return f, nil
		}
		f.Close()
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
	}
}

func newBolt(f *os.File, path string, o Options) *Bolt {
	s := &Bolt{
		file: f, path: path, finish: (*bolt.Tx).Commit, foldAt: foldBytes, many: manyPages,
		disk: make(gate, 1), folds: make(gate, 1), writer: make(gate, 1),
		log: newRedo(path, o.NoSync), working: &layer{}, published: &layer{},
	}
	if o.prepare != nil {
		o.prepare(s)
	}
	return s
}

// start hands a locked file to bbolt and brings it to the current schema. It
// closes the file where that fails, or where something was found in it.
func start(f *os.File, path string, o Options, ms []migration, found faults) (*Bolt, error) {
	s := newBolt(f, path, o)
	err := s.protect("open", func() (err error) {
		s.db, err = bolt.Open(path, 0o600, &bolt.Options{
			Timeout:         o.Timeout,
			NoSync:          o.NoSync,
			NoGrowSync:      o.NoSync,
			FreelistType:    bolt.FreelistMapType,
			InitialMmapSize: mapSize,
			OpenFile:        func(string, int, os.FileMode) (*os.File, error) { return f, nil },
		})
		return err
	})
	if err != nil {
		letGo(f) // bbolt has closed it, except after a panic
		return nil, classify("open", err)
	}
	s.db.AllocSize = growStep
	if err := s.migrate(ms, found); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}
