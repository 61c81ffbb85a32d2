package store

import (
	"context"
	"errors"
	"os"
	"sync"
	"sync/atomic"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Bolt is a Store in one bbolt file and, while it is open, a redo log beside
// it. It is safe for concurrent use: any number of View, one Update at a time.
//
// What an Update wrote lies in memory, over the file, and is durable through
// the log, where updates that come together share a wait for the disk. From
// time to time it is brought into the file.
//
// Damage that shows only while it is open stops it: every transaction from
// then on fails with the same error and nothing more is written. So does a
// disk that fails when it is to make the log or the file durable, or to take
// back half a write: only opening the file again can tell whether it was kept.
type Bolt struct {
	db      *bolt.DB
	file    *os.File
	path    string
	scratch string                // a directory to remove at Close
	stopped atomic.Pointer[Error] // what made the store unusable, if anything
	begun   atomic.Uint64         // transactions of a large file
	homes   homes
	closing sync.Once

	// Who takes several of these takes them in this order.
	disk   gate       // held by who writes the log
	folds  gate       // held by who writes the file
	writer gate       // held by the one Update
	begin  sync.Mutex // held while a transaction begins or what it sees changes

	log       *redo       // of whoever holds disk
	later     *time.Timer // folds after a while; of whoever holds disk
	closed    bool        // of whoever holds disk
	shut      bool        // no Update begins any more; of whoever holds writer
	working   *layer      // what the file lacks, durable or not; of whoever holds writer
	undone    []undo      // room for those of an Update; of whoever holds writer
	group     *group      // updates that wait for the log; of whoever holds writer
	sealed    *group      // the one before it, durable or on its way; of whoever holds writer
	published *layer      // the durable part of working; of whoever holds begin

	folded   atomic.Uint64        // the last update that the file has
	foldAt   int64                // foldBytes; another in tests
	unfolded atomic.Int64         // bytes of working
	foldFrom atomic.Int64         // with how many of them to try again after the file could not be written
	finish   func(*bolt.Tx) error // commits to the file; replaced where a test lets the disk fail
	many     func(*bolt.Tx) bool  // manyPages; another in tests
}

// gate lets one in at a time.
type gate chan struct{}

func (g gate) enter() { g <- struct{}{} }
func (g gate) leave() { <-g }

// try enters if nobody is within.
func (g gate) try() bool {
	select {
	case g <- struct{}{}:
		return true
	default:
		return false
	}
}

var (
	errOver   = errors.New("the transaction is over")
	errShrunk = errors.New("the file has become shorter than its content")
)

// Path returns where the file is.
func (s *Bolt) Path() string { return s.path }

// View implements Store. A context that is done before f starts is an error
// of code Internal that wraps the context's.
func (s *Bolt) View(ctx context.Context, f func(Tx) error) error {
	t, err := s.enter(ctx, "view")
	if err != nil {
		return err
	}
	defer t.end()
	return f(t)
}

// enter begins a transaction that reads, after making sure that the file still
// has every page that the transaction can reach.
func (s *Bolt) enter(ctx context.Context, op string) (*boltTx, error) {
	if err := ctx.Err(); err != nil {
		return nil, classify(op, err)
	}
	// bbolt's own lock stays taken where beginning fails with a panic; holding
	// this one instead keeps others from waiting for it for ever. It also
	// makes file and layer fit: a layer loses what the file has only after the
	// file has it.
	s.begin.Lock()
	defer s.begin.Unlock()
	t, err := s.enterFile(op, false)
	if err == nil {
		t.layer = s.published
	}
	return t, err
}

// enterFile begins a transaction on the file, without what lies over it.
func (s *Bolt) enterFile(op string, writable bool) (*boltTx, error) {
	if e := s.stopped.Load(); e != nil {
		return nil, e
	}
	t := &boltTx{s: s, layer: &noChanges}
	err := s.protect(op, func() (err error) {
		t.tx, err = s.db.Begin(writable)
		return err
	})
	if err != nil {
		return nil, classify(op, err)
	}
	info, err := s.file.Stat()
	if err == nil && info.Size() < t.tx.Size() {
		err = s.stop(&Error{Code: Damaged, Op: op, Err: errShrunk})
	}
	if err != nil {
		t.end()
		return nil, classify(op, err)
	}
	s.counted(t.tx)
	return t, nil
}

var noChanges layer

// commit makes what was written to the file durable.
func (t *boltTx) commit() error {
	id := t.tx.ID()
	t.over = true
	err := t.s.protect("commit", func() error { return t.s.finish(t.tx) })
	if err == nil || t.s.stopped.Load() != nil {
		return err
	}
	err = classify("commit", err)
	// Where the disk failed after the last page was written, the transaction
	// is already visible though nobody can say whether it will last.
	visible := 0
	fault := t.s.protect("commit", func() error {
		return t.s.db.View(func(tx *bolt.Tx) error {
			visible = tx.ID()
			return nil
		})
	})
	if fault == nil && visible >= id {
		return t.s.stop(&Error{Code: Internal, Op: "commit", Err: err})
	}
	return err
}

// end rolls back what has not been committed. A stopped store is left alone:
// its locks may be taken for good.
func (t *boltTx) end() {
	t.over = true
	if t.s.stopped.Load() == nil {
		t.s.protect("rollback", t.tx.Rollback) // the error says only that it was committed
	}
}

// Close implements Store. Closing twice is no error; a transaction after it
// fails with code Internal. Where the file cannot be brought up to date, the
// log stays beside it, and nothing is lost.
func (s *Bolt) Close() error {
	var err error
	s.closing.Do(func() {
		s.settle()
		defer s.disk.leave()
		defer s.folds.leave()
		defer s.writer.leave()
		if s.closed = true; s.later != nil {
			s.later.Stop()
		}
		stopped := s.stopped.Load() != nil
		err = s.log.close(!stopped && s.folded.Load() == s.seen().last)
		if stopped {
			// bbolt could wait for ever for its own locks; the mapping stays
			// until the process ends, the file and its lock are let go.
			err = errors.Join(err, letGo(s.file))
		} else {
			err = errors.Join(err, s.db.Close())
		}
		err = classify("close", err)
		if s.scratch != "" {
			os.RemoveAll(s.scratch) // what is left is in the temporary directory
		}
	})
	return err
}

// settle lets no other update begin, waits for those under way, brings the
// file up to date if it can, and returns with disk, folds and writer held.
func (s *Bolt) settle() {
	for {
		s.disk.enter()
		s.folds.enter()
		if s.stopped.Load() == nil {
			s.fold(s.seen()) // the log keeps what the file does not take
		}
		s.writer.enter()
		s.shut = true
		g := s.group
		if g == nil {
			return
		}
		s.writer.leave()
		s.folds.leave()
		s.disk.leave()
		<-g.done
	}
}
