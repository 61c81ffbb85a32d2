package store

import (
	"crypto/rand"
	"encoding/binary"
	"errors"
	"time"

	"github.com/tidwall/btree"
	bolt "go.etcd.io/bbolt"
)

// Our own choices: with how many bytes of changes the file is brought up to
// date while updates go on, and after how long without that at the latest.
const (
	foldBytes = 4 << 20
	foldAfter = 10 * time.Second
)

// keyRedo names in the bucket "meta" the id of the redo log that belongs to
// the file, and the last update that the file has.
var keyRedo = []byte("redo")

func redoValue(id, last uint64) []byte {
	return binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(nil, id), last)
}

// redoOf reads what a file says of its log; zero where it never had one.
func redoOf(tx *bolt.Tx) (id, last uint64, err error) {
	meta := tx.Bucket(bucketMeta)
	if meta == nil {
		return 0, 0, nil
	}
	switch v := meta.Get(keyRedo); len(v) {
	case 0:
		return 0, 0, nil
	case 16:
		return binary.BigEndian.Uint64(v), binary.BigEndian.Uint64(v[8:]), nil
	default:
		return 0, 0, &Error{Code: Damaged, Op: "open", Err: errors.New("the name of the redo log is cut short")}
	}
}

// openLog makes the log, with a new id that the file names before anything is
// written to it. The disk is held.
func (s *Bolt) openLog() error {
	var id [8]byte
	rand.Read(id[:])
	s.folds.enter()
	defer s.folds.leave()
	if err := s.log.create(); err != nil {
		return err
	}
	was := s.log.id
	s.log.id = binary.BigEndian.Uint64(id[:])
	if err := s.writeFile(&layer{last: s.seen().last}); err != nil {
		s.log.id = was
		return errors.Join(err, s.log.close(true))
	}
	return nil
}

// seen is what a View that begins now sees.
func (s *Bolt) seen() *layer {
	s.begin.Lock()
	defer s.begin.Unlock()
	return s.published
}

// foldSoon brings the file up to date beside the updates, where there is
// enough to do, and in a while otherwise. The disk is held.
func (s *Bolt) foldSoon() {
	s.foldLater()
	if s.unfolded.Load() >= max(s.foldAt, s.foldFrom.Load()) {
		s.foldBeside()
	}
}

// foldLater brings the file up to date after a while. The disk is held.
func (s *Bolt) foldLater() {
	if s.later != nil {
		return
	}
	s.later = time.AfterFunc(foldAfter, func() {
		s.disk.enter()
		defer s.disk.leave()
		if s.later = nil; !s.closed && !s.foldBeside() {
			s.foldLater()
		}
	})
}

// foldBeside begins to bring the file up to date; it says no where somebody
// else is at it, or reads it. The disk is held.
func (s *Bolt) foldBeside() bool {
	if s.stopped.Load() != nil {
		return true
	}
	if !s.folds.try() {
		return false
	}
	s.log.free(s.folded.Load())
	s.log.turn() // so that this half is free when the file has what it holds
	go func() {
		defer s.folds.leave()
		// Where it fails the log still holds everything.
		if s.fold(s.seen()) != nil {
			s.foldFrom.Store(s.unfolded.Load() + s.foldAt)
		} else {
			s.foldFrom.Store(0)
		}
	}()
	return true
}

// foldNow brings the file up to date with everything that is durable.
func (s *Bolt) foldNow() error {
	s.folds.enter()
	defer s.folds.leave()
	return s.fold(s.seen())
}

// fold brings a layer that Views see into the file, and has what lies over the
// file forget it. Until then both say the same, so that Views may come and go
// meanwhile, and see one state. The folds are held, and the writer is not.
func (s *Bolt) fold(done *layer) error {
	if done.last <= s.folded.Load() {
		return nil
	}
	if err := s.writeFile(done); err != nil {
		return err
	}
	s.writer.enter()
	defer s.writer.leave()
	s.has(done)
	s.begin.Lock()
	defer s.begin.Unlock()
	if s.published.last == s.working.last { // else the next group brings it
		s.published = s.working.freeze()
	}
	return nil
}

// has notes that the file has a layer. The folds and the writer are held.
func (s *Bolt) has(done *layer) {
	s.folded.Store(done.last)
	s.working.forget(done)
	s.unfolded.Store(int64(s.working.bytes))
}

// writeFile writes the changes of a layer to the file, in several transactions
// where they are on many pages. Only the last says that the file has them: after
// a crash the log is replayed over those before. The folds are held.
func (s *Bolt) writeFile(done *layer) error {
	w := &fileWriter{s: s}
	defer w.end()
	if err := w.all(done); err != nil {
		return err
	}
	return w.t.commit()
}

// fileWriter writes to the file in as many transactions as it takes.
type fileWriter struct {
	s     *Bolt
	t     *boltTx // nil between two
	whole bool    // it takes one
}

// all writes a layer. The last transaction is not committed. The counters come
// first: a number that is in the file must never be above them.
func (w *fileWriter) all(done *layer) error {
	err := w.write(func(tx *bolt.Tx) error {
		for i, c := range done.counters {
			if !c.known {
				continue
			}
			if err := tx.Bucket(kept[i]).SetSequence(c.n); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	for i, tree := range done.trees {
		if tree == nil || tree.Len() == 0 {
			continue
		}
		it := tree.Iter()
		for more := it.First(); more; {
			if err := w.write(func(tx *bolt.Tx) (err error) {
				more, err = w.changes(tx, i, &it)
				return err
			}); err != nil {
				return err
			}
		}
	}
	return w.write(func(tx *bolt.Tx) error {
		return tx.Bucket(bucketMeta).Put(keyRedo, redoValue(w.s.log.id, done.last))
	})
}

// write calls f within a transaction, and begins or ends one where that is due.
func (w *fileWriter) write(f func(*bolt.Tx) error) error {
	if w.t != nil && !w.whole && w.s.many(w.t.tx) {
		if err := w.t.commit(); err != nil {
			return err
		}
		w.end()
	}
	if w.t == nil {
		t, err := w.s.enterFile("update", true)
		if err != nil {
			return err
		}
		w.t = t
		if !w.whole {
			unmapLarge(t.tx)
		}
	}
	return classify("update", w.s.protect("update", func() error { return f(w.t.tx) }))
}

// changes writes those of a bucket, until there are no more or the transaction
// has many pages.
func (w *fileWriter) changes(tx *bolt.Tx, bucket int, it *btree.IterG[*change]) (more bool, err error) {
	b := tx.Bucket(kept[bucket])
	if b == nil {
		return false, missing("update", kept[bucket])
	}
	for more = true; more; more = it.Next() {
		if !w.whole && w.s.many(tx) {
			return true, nil
		}
		c := it.Item()
		if c.value == nil {
			err = b.Delete(c.key)
		} else {
			err = b.Put(c.key, c.value)
		}
		if err != nil {
			return false, err
		}
	}
	return false, nil
}

func (w *fileWriter) end() {
	if w.t != nil {
		w.t.end()
		w.t = nil
	}
}
