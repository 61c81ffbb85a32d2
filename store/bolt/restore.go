package bolt

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"bowlwright/store"
	"bowlwright/store/bolt/schema8"
)

// RestoreOptions says how a copy is put in its place. With the zero value the
// messages that had not been sent when it was made are dropped: they are of
// then. What falls due is worked out again from what the copy holds.
type RestoreOptions struct {
	Keep   string // the name under which what was there is kept, which must not exist
	Unsent bool   // send what was not sent
}

// Restored says what Restore did.
type Restored struct {
	Kept    bool // there was something, and it is kept
	Dropped int  // messages
	Erased  int  // households and persons that were erased after the copy was made
	Marked  bool // what was there could tell of erasures
	Found   Found
}

// Restore puts a copy of the store in the file from where the file to is.
// Everything is checked before anything is replaced. The new file belongs to
// whom the old one belonged, or else the directory. What a crash of an earlier
// version left in its redo log is brought in with the copy; that of what is
// replaced is kept beside it. At no moment is there half a file at to.
//
// Errors are *Error: NotFound where there is no from, Busy where either is in
// use, Newer or Damaged of from.
func Restore(from, to string, o RestoreOptions) (r Restored, err error) {
	const op = "restore"
	if err := os.MkdirAll(filepath.Dir(to), 0o700); err != nil {
		return r, classify(op, err)
	}
	var erased []store.Write // what was there is about to go, and may be damaged or missing
	_, err = examined(to, func(s *Store) error { erased, err = s.erasures(); return err }, nil)
	r.Marked = err == nil
	deadline := time.Now().Add(backupTimeout)
	var old *os.File
	// Whoever holds the file beside keeps others from making a store meanwhile.
	m, err := makeBeside(to, Options{}, deadline, func(f *os.File, name string) (io.Closer, error) {
		var err error
		if old, err = lockedFile(to, os.O_RDWR, deadline); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		s, err := copyTo(f, name, from, &r)
		if err == nil {
			err = r.settle(s, o.Unsent, erased)
		}
		if err == nil {
			err = inherit(f, to)
		}
		if err != nil && s != nil {
			s.Close()
		}
		return s, err
	})
	if old != nil {
		defer old.Close()
	}
	if err != nil {
		return r, classify(op, err)
	}
	if err := keepBoth(to, o.Keep, old != nil); err != nil {
		m.drop()
		return r, classify(op, err)
	}
	r.Kept = old != nil
	if !renamesOpen && old != nil {
		old.Close()
	}
	if err := m.settle(); err != nil {
		return r, classify(op, err)
	}
	// Until here the new file has the log of another beside it, and does not
	// open with it.
	return r, classify(op, removed(to+schema8.LogSuffix))
}

// copyTo copies a store into an empty file and makes sure of what arrived,
// which stays open.
func copyTo(out *os.File, name, from string, r *Restored) (s *Store, err error) {
	r.Found, err = examined(from, func(in *Store) error {
		err := in.Backup(context.Background(), out)
		if err == nil {
			err = out.Sync()
		}
		if err == nil {
			var st *stamp
			s, st, err = stamped(out, name, Options{}, false)
			if err == nil && (st == nil || st.metasDiffer) {
				err = errors.New("the copy differs from what was copied")
			}
		}
		return err
	}, func(old *schema8.File) error {
		closer, err := fillNew(out, name, Options{}, old)
		if err == nil {
			s = closer.(*Store)
		}
		return err
	})
	return s, err
}

// settle drops what waits in the outbox, unless it is to be sent, and erases
// again what was erased since.
func (r *Restored) settle(s *Store, send bool, erased []store.Write) error {
	if len(erased) > 0 { // erasing needs every bucket
		version, err := s.version()
		if err == nil {
			err = s.migrate(version, migrations)
		}
		if err != nil {
			return err
		}
	}
	err := s.update(context.Background(), func(t *transaction) (err error) {
		if !send {
			if err := r.dropUnsent(t); err != nil {
				return err
			}
		}
		r.Erased, err = t.eraseAgain(erased)
		return err
	})
	if err != nil || r.Dropped == 0 && len(erased) == 0 {
		return err
	}
	return s.putStamp()
}

func (r *Restored) dropUnsent(t *transaction) error {
	for {
		ms, err := t.Pending("", 1000)
		if err != nil || len(ms) == 0 {
			return err
		}
		for _, m := range ms {
			if err := t.Delivered(m.Number); err != nil {
				return err
			}
		}
		r.Dropped += len(ms)
	}
}

// inherit gives a new file the owner and the permissions of the one whose place
// it takes, or else the owner of its directory: who restores is often another
// than who serves.
func inherit(f *os.File, to string) error {
	is, err := os.Stat(to)
	if errors.Is(err, fs.ErrNotExist) {
		is, err = os.Stat(filepath.Dir(to))
	} else if err == nil {
		err = f.Chmod(is.Mode().Perm())
	}
	if err != nil {
		return err
	}
	return giveTo(f, is)
}

// keepBoth gives a file, if it is there, and its log, if that is there, second
// names.
func keepBoth(to, keep string, file bool) error {
	log := there(to + schema8.LogSuffix)
	if file && there(keep) || log && there(keep+schema8.LogSuffix) {
		return fs.ErrExist
	}
	if file {
		if err := keepAs(to, keep); err != nil {
			return err
		}
	}
	if log {
		return keepAs(to+schema8.LogSuffix, keep+schema8.LogSuffix)
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

// erasures are the marks that tell what was erased from a store.
func (s *Store) erasures() (out []store.Write, err error) {
	err = s.view("erasures", func(t *transaction) error {
		return t.each(bucketSeen, func(k, at []byte) error {
			if store.IsErasedMark(string(k)) {
				out = append(out, store.MarkSeen{Event: string(k), At: store.TimeOf(at)})
			}
			return nil
		})
	})
	return out, err
}

// eraseAgain erases what the marks of another state of the store tell of that
// was not erased here before, and takes them over. It reports how many
// households and persons that were.
func (t *transaction) eraseAgain(marks []store.Write) (n int, err error) {
	fresh := map[string]bool{}
	for _, w := range marks {
		m := w.(store.MarkSeen)
		before, err := t.get("erase", bucketSeen, []byte(m.Event))
		if store.OrNone(err) != nil {
			return 0, err
		}
		if !bytes.Equal(before, store.TimeKey(m.At)) {
			fresh[m.Event] = true
		}
		if err := t.write(m); err != nil {
			return 0, err
		}
	}
	if len(fresh) == 0 {
		return 0, nil
	}
	ids, err := t.keys("erase", bucketHouseholds, nil)
	if err != nil {
		return 0, err
	}
	now := time.Now()
	for _, id := range ids {
		more, err := t.eraseMarked(string(id), fresh, now)
		if err != nil {
			return 0, err
		}
		n += more
	}
	return n, nil
}

// eraseMarked erases a household, or those of its persons who are marked.
func (t *transaction) eraseMarked(id string, marked map[string]bool, now time.Time) (n int, err error) {
	if marked[store.ErasedMark(id, "")] {
		out, err := store.EraseHousehold(t, id, now)
		return 1, cmp.Or(err, t.writeAll(out))
	}
	h, err := t.Household(id)
	if err != nil {
		return 0, err
	}
	for _, c := range slices.Concat(h.Carers, h.Gone) {
		if !marked[store.ErasedMark(id, c.Person)] {
			continue
		}
		n++
		out, err := store.ErasePerson(t, id, c.Person, now)
		if err = cmp.Or(err, t.writeAll(out)); err != nil {
			return n, err
		}
	}
	return n, nil
}

func (t *transaction) writeAll(all []store.Write) error {
	for _, w := range all {
		if err := t.write(w); err != nil {
			return err
		}
	}
	return nil
}
