package store

import (
	"context"
	"errors"
	"os"
	"sync"
	"sync/atomic"

	bolt "go.etcd.io/bbolt"
)

// Bolt is a Store in one bbolt file. It is safe for concurrent use: any
// number of View, one Update at a time.
//
// Damage that shows only while it is open stops it: every transaction from
// then on fails with the same error and nothing more is written. So does a
// disk that fails in the very last step of a commit, where only opening the
// file again can tell whether the commit was kept.
type Bolt struct {
	db      *bolt.DB
	file    *os.File
	path    string
	scratch string                // a directory to remove at Close
	stopped atomic.Pointer[Error] // what made bbolt unusable, if anything
	writer  chan struct{}         // held by the one Update
	queued  atomic.Int64          // grouped updates that wait for writer
	group   *group                // updates not committed yet; of whoever holds writer
	begin   sync.Mutex            // held while a transaction begins
	begun   atomic.Uint64         // transactions of a large file
	homes   homes
	closing sync.Once
	finish  func(*bolt.Tx) error // commits; replaced where a test lets the disk fail
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
	t, err := s.enter(ctx, "view", false)
	if err != nil {
		return err
	}
	defer t.end()
	return f(t)
}

// Update implements Store. A context that is done before f starts is an error
// of code Internal that wraps the context's; once f has started the context
// is not looked at.
func (s *Bolt) Update(ctx context.Context, f func(Tx) error) error {
	return s.update(ctx, func(t *boltTx) error { return f(t) })
}

func (s *Bolt) update(ctx context.Context, f func(*boltTx) error) error {
	select {
	case s.writer <- struct{}{}:
	case <-ctx.Done():
		return classify("update", ctx.Err())
	}
	defer func() { <-s.writer }()
	s.closeGroup()
	t, err := s.enter(ctx, "update", true)
	if err != nil {
		return err
	}
	defer t.end()
	if err := f(t); err != nil {
		return err
	}
	return t.commit()
}

// enter begins a transaction after making sure that the file still has every
// page that the transaction can reach.
func (s *Bolt) enter(ctx context.Context, op string, writable bool) (*boltTx, error) {
	if err := ctx.Err(); err != nil {
		return nil, classify(op, err)
	}
	// bbolt's own lock stays taken where beginning fails with a panic; holding
	// this one instead keeps others from waiting for it for ever.
	s.begin.Lock()
	defer s.begin.Unlock()
	if e := s.stopped.Load(); e != nil {
		return nil, e
	}
	t := &boltTx{s: s}
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

// commit makes the transaction durable.
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
// fails with code Internal.
func (s *Bolt) Close() error {
	var err error
	s.closing.Do(func() {
		s.writer <- struct{}{}
		defer func() { <-s.writer }()
		s.closeGroup()
		if s.stopped.Load() != nil {
			// bbolt could wait for ever for its own locks; the mapping stays
			// until the process ends, the file and its lock are let go.
			err = classify("close", letGo(s.file))
		} else {
			err = classify("close", s.db.Close())
		}
		if s.scratch != "" {
			os.RemoveAll(s.scratch) // what is left is in the temporary directory
		}
	})
	return err
}
