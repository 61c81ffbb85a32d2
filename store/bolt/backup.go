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

// backupTimeout is how long a command waits for whoever holds a file; our own
// choice.
const backupTimeout = time.Second

// Backup writes a consistent copy of the store as a file that Open and
// Restore take, with a stamp of its own. Updates go on meanwhile, and are not
// in it. The file grows while a copy is being taken, so a writer that is slow
// should give up at some point. An error of w has code Internal, and what was
// written is then of no use. Nothing is written to the store's own disk.
func (s *Store) Backup(ctx context.Context, w io.Writer) error {
	const op = "backup"
	out := &careful{ctx: ctx, w: w}
	if err := ctx.Err(); err != nil {
		return classify(op, err)
	}
	err := s.view(op, func(t *transaction) error {
		is := newSums(out, t.tx.DB().Info().PageSize)
		if _, err := t.tx.WriteTo(is); err != nil {
			return err
		}
		b, err := is.stamp(t)
		if err == nil {
			_, err = out.Write(b)
		}
		return err
	})
	if out.err != nil { // bbolt flattens it to text
		return &store.Error{Code: codeOf(out.err), Op: op, Err: out.err}
	}
	return err
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

// Verify reads the whole of a file that nobody uses, and changes nothing: its
// stamp, its structure, every record's checksum and, in a file of the current
// schema, what the records say of each other. Errors are *Error, of code
// NotFound where there is no such file, Busy where it is in use, Newer, Damaged,
// or Older where everything is sound but a damaged meta page hides the newest
// state.
func Verify(path string) (Found, error) {
	found, err := examined(path, func(*Store) error { return nil }, func(old *schema8.File) error {
		return old.Each(func(_ string, _, _ []byte) error { return nil })
	})
	if err == nil && found.Older {
		err = &store.Error{Code: store.Older, Op: "verify", Err: errors.New("the newer of its two states is damaged")}
	}
	return found, err
}

// CopyFile is Backup of a file that nobody uses; it is verified first. A file
// of an earlier schema is brought to the current one.
func CopyFile(path string, w io.Writer) error {
	found, err := examined(path, func(s *Store) error { return s.Backup(context.Background(), w) }, nil)
	if err != nil || found.From == 0 {
		return err
	}
	s, err := Open(path, Options{Timeout: backupTimeout})
	if err != nil {
		return err
	}
	return errors.Join(s.Backup(context.Background(), w), s.Close())
}

// partSuffix is behind the name of a backup until it is whole.
const partSuffix = ".bowlwright.part"

// BackupTo makes a file of a copy that write writes, which gets its name when
// it has been verified, and returns its length. What backups into the same
// directory left behind that were broken off goes first.
func BackupTo(to string, write func(io.Writer) error) (size int64, err error) {
	const op = "backup"
	if there(to) {
		return 0, &store.Error{Code: store.Internal, Op: op, Err: fs.ErrExist}
	}
	sweepParts(filepath.Dir(to))
	part := to + partSuffix
	out, err := lockedFile(part, os.O_RDWR|os.O_CREATE, time.Now().Add(backupTimeout))
	if err != nil {
		return 0, classify(op, err)
	}
	defer out.Close()
	defer func() {
		if err != nil {
			os.Remove(part)
		}
	}()
	if err = out.Truncate(0); err == nil {
		err = write(out)
	}
	if err == nil {
		err = out.Sync()
	}
	if err == nil {
		size, err = out.Seek(0, io.SeekEnd)
	}
	if err != nil {
		return 0, classify(op, err)
	}
	moved := false
	found, err := examinedFile(out, part, func(*Store) error { // its lock is held
		moved = renamesOpen
		if !moved {
			return nil
		}
		return os.Rename(part, to)
	}, nil)
	switch {
	case err == nil && found.Older:
		err = damaged(op, "the copy is not what was written")
	case err == nil && !moved:
		err = os.Rename(part, to)
	}
	return size, classify(op, err)
}

// sweepParts removes what broken-off backups left in a directory: nobody holds
// its lock.
func sweepParts(dir string) {
	parts, err := filepath.Glob(filepath.Join(dir, "*"+partSuffix))
	if err != nil {
		return // the directory's name is a pattern; they are in nobody's way
	}
	for _, part := range parts {
		if f, err := lockedFile(part, os.O_RDWR, time.Now()); err == nil {
			os.Remove(part)
			f.Close()
		}
	}
}

// examined reads everything in a file and calls f with it while it is open, or
// before where it is of an earlier schema.
func examined(path string, f func(*Store) error, before func(*schema8.File) error) (Found, error) {
	const op = "verify"
	file, err := lockedFile(path, os.O_RDONLY, time.Now().Add(backupTimeout))
	if errors.Is(err, fs.ErrNotExist) {
		return Found{}, &store.Error{Code: store.NotFound, Op: op, Err: err}
	}
	if err != nil {
		return Found{}, classify(op, err)
	}
	return examinedFile(file, path, f, before)
}

// examinedFile is examined of a locked file, which it closes.
func examinedFile(file *os.File, path string, f func(*Store) error, before func(*schema8.File) error) (Found, error) {
	const op = "verify"
	s, st, err := stamped(file, path, Options{NoSync: true}, true)
	if err != nil {
		return Found{}, classify(op, err)
	}
	defer s.Close()
	version, err := s.version()
	known := firstSchema + uint64(len(migrations))
	switch {
	case err != nil:
	case version > known:
		err = newer(op, version, known)
	case version < firstSchema:
		s.found.From = version
		if before != nil {
			err = s.earlier(version, before)
		}
	default:
		err = s.trust(st, true)
		if err == nil && version == known {
			err = s.view(op, (*transaction).agree)
		}
		if err == nil {
			err = f(s)
		}
	}
	return s.found, classify(op, err)
}

// compactStep is how many bytes one transaction of the new file takes over; our
// own choice.
const compactStep = 1 << 20

// Compact makes the file anew, if something was erased since that was last
// done: bbolt frees a page without clearing it, so what was deleted can be read
// in the file until then. Snapshots go on, commits wait; there must be room for
// both files. A system on which an open file cannot make place for another keeps
// the freed pages.
func (s *Store) Compact(ctx context.Context) error {
	const op = "compact"
	s.writer.enter()
	defer s.writer.leave()
	wanted := false
	err := s.view(op, func(t *transaction) (err error) {
		wanted, err = t.Seen(store.CompactMark)
		return err
	})
	if err != nil || !wanted || !renamesOpen {
		return err
	}
	m, err := makeBeside(s.path, Options{}, time.Now().Add(backupTimeout), func(f *os.File, name string) (io.Closer, error) {
		n, err := takeOver(f, name, Options{NoSync: true}, false)
		if err != nil {
			return nil, err
		}
		if err = s.compactInto(ctx, n); err == nil {
			err = inherit(f, s.path)
		}
		if err != nil {
			n.Close()
			return nil, err
		}
		return n, nil
	})
	if err != nil {
		return classify(op, err)
	}
	if err := os.Rename(m.name, m.path); err != nil {
		m.drop()
		return classify(op, err)
	}
	s.goOnIn(m.is.(*Store))
	if s.noSync {
		return nil
	}
	return classify(op, syncDir(filepath.Dir(s.path)))
}

// compactInto copies what there is into an empty file, and notes there that it
// is done. The writer is held.
func (s *Store) compactInto(ctx context.Context, n *Store) error {
	err := s.protect("compact", func() error { return bbolt.Compact(n.db, s.db, compactStep) })
	if err == nil {
		err = n.update(ctx, func(t *transaction) error { return t.forgetEvent(store.CompactMark) })
	}
	if err == nil && !s.noSync {
		err = n.db.Sync()
	}
	return err
}

// goOnIn makes another open file the store's own. The old one, which has no name
// any more, is closed when its last snapshot is. The writer is held.
func (s *Store) goOnIn(n *Store) {
	s.begin.Lock()
	old := s.db
	s.db, s.file = n.db, n.file
	s.db.NoSync, s.db.NoGrowSync = s.noSync, s.noSync
	s.stampAt, s.wrote = 0, true
	s.begin.Unlock()
	go old.Close()
}
