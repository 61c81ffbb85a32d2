package bolt

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"

	"bowlwright/store"
	"bowlwright/store/bolt/schema8"
)

// Options changes how a store is opened. The zero value is right for data
// that matters.
type Options struct {
	Timeout time.Duration // how long to wait for another process to let go of the file; 0 counts as 1 s
	NoSync  bool          // do not wait for the disk: for throw-away stores only
}

// Found is what was found in a file when it was opened or verified.
type Found struct {
	// Unclosed says that whoever had the file open did not close it, as after a
	// crash. Every page and record was then read, and is sound.
	Unclosed bool
	// Older says that the newer of the two states that a file holds is damaged,
	// and that this is the other. Of a file that was closed, and of a backup,
	// both hold the same; of one that was not, the last update may be missing.
	Older bool
	// Torn says that the page which names the other state is damaged, and that
	// this is the newer.
	Torn bool

	From, Logged       uint64 // the schema version that it was brought from, and how many updates its redo log had over it
	Transaction        uint64 // the last
	Households, Unsent int    // how many there are, and how many messages wait in the outbox
}

// growStep is by how many bytes at a time the file grows; our own choice.
const growStep = 256 << 10

// Open opens the store in a file, which is made where there is none (mode
// 0600, its directory 0700), and brings it to the current schema.
//
// What an existing file holds is verified before anything is written to it: the
// file that was closed by its checksum, any other by its structure and every
// record. A file that fails is left as it is. A file of no length is damaged
// too, since Open never leaves one behind.
//
// Errors are *Error with code Busy, ReadOnly, Full, Newer, Damaged or
// Internal.
func Open(path string, o Options) (*Store, error) {
	return open(path, o, migrations)
}

// Scratch opens a throw-away store in a temporary file, which is removed when
// the store is closed.
func Scratch() (*Store, error) {
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

func open(path string, o Options, ms []migration) (*Store, error) {
	if o.Timeout <= 0 {
		o.Timeout = time.Second
	}
	deadline := time.Now().Add(o.Timeout)
	var before Found
	for {
		f, err := lockedFile(path, os.O_RDWR, deadline)
		if errors.Is(err, fs.ErrNotExist) {
			err = create(path, o, deadline)
		} else if err == nil {
			var s *Store
			var anew bool
			if s, anew, err = start(f, path, o, ms); err == nil && !anew {
				s.found.From, s.found.Logged = before.From, before.Logged
				if s.Compact(context.Background()) != nil && s.stopped.Load() != nil {
					err = s.stopped.Load() // else there is no room now: the mark stays for the next time
					s.Close()
					return nil, err
				}
				return s, nil
			}
			if err == nil {
				before = s.found // and it is opened again
			}
		}
		if err != nil && !errors.Is(err, fs.ErrExist) { // another was quicker
			return nil, classify("open", err)
		}
	}
}

// create makes an empty store. The error is fs.ErrExist where another was
// quicker.
func create(path string, o Options, deadline time.Time) error {
	if there(path + schema8.LogSuffix) {
		return damaged("open", "there is a redo log, and not the file that it belongs to")
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	m, err := makeBeside(path, o, deadline, func(f *os.File, name string) (io.Closer, error) {
		if there(path) {
			return nil, fs.ErrExist
		}
		return fillNew(f, name, o, nil)
	})
	if err != nil {
		return err
	}
	return m.settle()
}

// made is a file beside the place of a store. Its lock is held, so that there
// is one who makes such a file at a time.
type made struct {
	name, path string
	noSync     bool
	is         io.Closer
}

// makeBeside has f make a file beside the place of a store, so that neither a
// crash nor a full disk leaves half a store behind.
func makeBeside(path string, o Options, deadline time.Time, f func(f *os.File, name string) (io.Closer, error)) (*made, error) {
	m := &made{name: path + ".new", path: path, noSync: o.NoSync}
	file, err := lockedFile(m.name, os.O_RDWR|os.O_CREATE, deadline)
	if err != nil {
		return nil, err
	}
	// What lies there already was left by somebody who crashed.
	if err = file.Truncate(0); err == nil {
		m.is, err = f(file, m.name)
	}
	if err != nil {
		os.Remove(m.name)
		file.Close()
		return nil, err
	}
	return m, nil
}

// drop takes the file away again.
func (m *made) drop() {
	os.Remove(m.name)
	m.is.Close()
}

// settle moves the file to its place and makes that durable: the file is
// synced but not the directory, without which the file may be gone after a
// loss of power.
func (m *made) settle() error {
	if !renamesOpen {
		m.is.Close()
	}
	if err := os.Rename(m.name, m.path); err != nil {
		m.drop()
		return err
	}
	m.is.Close()
	if m.noSync || !renamesOpen {
		return nil
	}
	return syncDir(filepath.Dir(m.path))
}

func syncDir(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}

// there says that something has a name, or that nobody can tell.
func there(path string) bool {
	_, err := os.Lstat(path)
	return !errors.Is(err, fs.ErrNotExist)
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
			err = damaged("open", "not a regular file")
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

// takeOver opens a locked file with bbolt, which closes it in the end, and also
// where that fails.
func takeOver(f *os.File, path string, o Options, readOnly bool) (*Store, error) {
	s := &Store{file: f, path: path, noSync: o.NoSync, writer: make(gate, 1), finish: (*bbolt.Tx).Commit}
	s.InProcess = store.NewInProcess(s.Read)
	err := s.protect("open", func() (err error) {
		s.db, err = bbolt.Open(path, 0o600, &bbolt.Options{
			ReadOnly:        readOnly,
			Timeout:         max(o.Timeout, time.Second),
			NoSync:          o.NoSync,
			NoGrowSync:      o.NoSync,
			FreelistType:    bbolt.FreelistMapType,
			PreLoadFreelist: true, // while damage of it can be caught
			InitialMmapSize: mapSize,
			OpenFile:        func(string, int, os.FileMode) (*os.File, error) { return f, nil },
		})
		return err
	})
	if err != nil {
		letGo(f) // bbolt has closed it, except after a panic
		return nil, err
	}
	s.db.AllocSize = growStep
	return s, nil
}

// stamped is takeOver after the file has been compared with its stamp.
func stamped(f *os.File, path string, o Options, readOnly bool) (*Store, *stamp, error) {
	st, err := inspect(f)
	if err != nil {
		f.Close()
		return nil, nil, err
	}
	s, err := takeOver(f, path, o, readOnly)
	if err == nil && st != nil {
		s.stampAt = st.Size
	}
	return s, st, err
}

// start opens a locked file of the current schema, or of one that migrations
// lead to it from. One that is older is made anew in its place; that, and one where
// it fails, it closes.
func start(f *os.File, path string, o Options, ms []migration) (s *Store, anew bool, err error) {
	s, st, err := stamped(f, path, o, false)
	if err != nil {
		return nil, false, err
	}
	version, err := s.version()
	known := firstSchema + uint64(len(ms))
	switch {
	case err != nil:
	case version > known:
		err = newer("open", version, known)
	case version < firstSchema:
		anew, err = true, s.renew(version, o)
	default:
		if err = s.trust(st, false); err == nil {
			err = s.migrate(version, ms)
		}
	}
	if err != nil || anew {
		s.wrote = false
		s.Close()
	}
	return s, anew, err
}

// trust compares an open file with its stamp, and notes what it found. Where it
// has none, or all is asked for, it reads everything.
func (s *Store) trust(st *stamp, all bool) error {
	return s.view("open", func(t *transaction) error {
		s.found.Transaction = uint64(t.tx.ID())
		torn := s.tornMeta()
		if st == nil {
			s.found.Unclosed, s.found.Older = true, torn
		} else {
			s.found.Older = st.Transaction != s.found.Transaction
			s.found.Torn = st.metasDiffer && !s.found.Older
		}
		if st == nil || all {
			if err := t.sound(!torn); err != nil {
				return err
			}
		}
		version, err := schemaOf(t.tx)
		if err != nil {
			return err
		}
		for _, name := range bucketsOf(version) {
			if t.tx.Bucket(name) == nil {
				return missing("open", name)
			}
		}
		s.found.Households, s.found.Unsent = int(t.size(bucketHouseholds)), int(t.size(bucketOutboxChat))
		return nil
	})
}

func newer(op string, version, known uint64) error {
	return &store.Error{Code: store.Newer, Op: op, Err: fmt.Errorf("schema %d, and %d is the newest known here", version, known)}
}
