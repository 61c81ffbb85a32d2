package bolt

import (
	"cmp"
	"context"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"

	"bowlwright/store"
)

// group is updates that share a transaction of the file, and the wait for the
// disk. While one is being committed, those that come wait for the writer, in
// the order in which they came; the first of them begins the next group, and
// commits it when the writer comes round to it again.
type group struct {
	tx    *bbolt.Tx
	wrote bool
	done  chan struct{} // it is durable, or failed
	err   error         // why it failed; set before done
}

// update calls f with a transaction that reads and writes, alone. A context that
// is done before f starts is an error of code Internal that wraps the context's;
// once f has started the context is not looked at.
//
// Where a group cannot be committed, every update of it fails, and none of
// them has happened. An error of f is returned when what f may have read is
// durable too: who tries again then finds it in a snapshot. Where that fails, its
// error is returned, since f rests on what never was.
func (s *Store) update(ctx context.Context, f func(*transaction) error) (err error) {
	select {
	case s.writer <- struct{}{}:
	case <-ctx.Done():
		return classify("update", ctx.Err())
	}
	g, mine, err := s.join(ctx)
	if err != nil {
		s.writer.leave()
		return err
	}
	defer func() { // f may return, panic, or end its goroutine
		s.writer.leave()
		if mine {
			s.commitGroup(g)
		}
		<-g.done
		err = cmp.Or(g.err, err)
	}()
	return s.run(g, f)
}

// join returns the open group; mine says that there was none, and that the
// caller commits it. The writer is held.
func (s *Store) join(ctx context.Context) (g *group, mine bool, err error) {
	switch {
	case ctx.Err() != nil:
		return nil, false, classify("update", ctx.Err())
	case s.shut:
		return nil, false, classify("update", berrors.ErrDatabaseNotOpen)
	case s.stopped.Load() != nil:
		return nil, false, s.stopped.Load()
	case s.group != nil:
		return s.group, false, nil
	}
	tx, err := s.enter("update", true)
	if err != nil {
		return nil, false, err
	}
	s.group = &group{tx: tx, done: make(chan struct{})}
	return s.group, true, nil
}

// run has f write to a group, and takes back what it wrote where it fails. The
// writer is held.
func (s *Store) run(g *group, f func(*transaction) error) error {
	t, whole := &transaction{s: s, tx: g.tx}, false
	defer func() {
		t.over = true
		if whole {
			g.wrote = g.wrote || len(t.undone) > 0
		} else if err := s.protect("update", t.takeBack); err != nil {
			g.err = cmp.Or(g.err, classify("update", err))
		}
	}()
	err := f(t)
	whole = err == nil
	return err
}

// commitGroup makes a group durable, with those that joined it while the
// caller waited for the writer.
func (s *Store) commitGroup(g *group) {
	s.writer.enter()
	defer s.writer.leave()
	s.group = nil
	defer close(g.done)
	if g.err == nil && g.wrote {
		g.err = s.eraseStamp()
	}
	if g.err != nil || !g.wrote {
		s.rollback(g.tx)
		return
	}
	if g.err = s.commit(g.tx); g.err == nil {
		s.wrote = true
	}
}

// commit makes what a transaction wrote to the file durable. The writer is
// held.
func (s *Store) commit(tx *bbolt.Tx) error {
	id := tx.ID()
	err := s.protect("commit", func() error { return s.finish(tx) })
	if err == nil || s.stopped.Load() != nil {
		return err
	}
	err = classify("commit", err)
	// Where the disk failed after the last page was written, the transaction
	// is already visible though nobody can say whether it will last.
	visible := 0
	fault := s.protect("commit", func() error {
		return s.db.View(func(tx *bbolt.Tx) error {
			visible = tx.ID()
			return nil
		})
	})
	if fault == nil && visible >= id {
		return s.stop(&store.Error{Code: store.Internal, Op: "commit", Err: err})
	}
	return err
}

// rollback ends a transaction that is not committed. A stopped store is left
// alone: its locks may be taken for good.
func (s *Store) rollback(tx *bbolt.Tx) {
	if s.stopped.Load() == nil {
		s.protect("rollback", tx.Rollback) // the error says only that it was committed
	}
}
