package bolt

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"go.etcd.io/bbolt"

	"bowlwright/store"
)

// Commit implements Store. A context that is done before its turn comes is an
// error of code Internal that wraps the context's; after that the context is not
// looked at. Where the commits that share a transaction cannot be made durable,
// each of them fails, and none has happened.
func (s *Store) Commit(ctx context.Context, c store.Commit) error {
	err := s.update(ctx, func(t *transaction) error { return t.commit(c) })
	if err == nil {
		s.Committed(c)
	}
	return err
}

func (t *transaction) commit(c store.Commit) error {
	if c.Event != "" {
		if seen, err := t.Seen(c.Event); err != nil || seen {
			return err
		}
	}
	for _, e := range c.Expect {
		holds, err := store.Holds(t, e)
		if err != nil {
			return err
		}
		if !holds {
			return store.ErrConflict
		}
	}
	for _, w := range c.Writes {
		if err := t.write(w); err != nil {
			return err
		}
	}
	if c.Event != "" {
		return t.markSeen(c.Event, c.At)
	}
	return nil
}

func (t *transaction) write(w store.Write) error {
	if err := store.Named(w); err != nil {
		return err
	}
	switch w := w.(type) {
	case store.MarkSeen:
		return t.markSeen(w.Event, w.At)
	case store.ForgetEvent:
		return t.forgetEvent(string(w))
	case store.PutHousehold:
		return t.save("put household", bucketHouseholds, []byte(w.ID), w.Household)
	case store.DeleteHousehold:
		return t.DeleteHousehold(string(w))
	case store.PutEnding:
		return t.putUnless(w.At.IsZero(), "put ending", bucketEndings, []byte(w.Household), store.TimeKey(w.At))
	case store.PushChange:
		return t.PushChange(w.Household, w.Change)
	case store.PopChange:
		return t.PopChange(string(w))
	case store.PutEntry:
		return t.putEntry(w.Household, w.Entry)
	case store.DeleteEntry:
		return t.deleteEntry(w.Household, w.ID)
	case store.PutDue:
		w.At, w.Through = w.At.UTC(), w.Through.UTC()
		return t.saveUnless(w.At.IsZero() && w.Through.IsZero(), "put due", bucketDue, []byte(w.Household), w)
	case store.PutMember:
		return t.putUnless(w.Household == "", "put member", bucketMembers, pairKey(w.Chat, w.Person), []byte(w.Household))
	case store.PutInvite:
		return t.save("put invite", bucketInvites, []byte(w.Key), w)
	case store.DeleteInvite:
		return t.remove("delete invite", bucketInvites, []byte(w))
	case store.PutPublished:
		return t.save("put published", bucketPublished, []byte(w.Token), w)
	case store.PutReader:
		return t.save("put reader", bucketReaders, pairKey(w.Token, w.Household), w)
	case store.DeleteReader:
		return t.remove("delete reader", bucketReaders, pairKey(w.Token, w.Household))
	case store.MoveChat:
		return t.moveChat(w.From, w.To)
	case store.ForgetChat:
		return t.forgetChat(string(w))
	case store.PutDialogue:
		return t.saveUnless(w.Dialogue.None(), "put dialogue", bucketDialogues, pairKey(w.Chat, w.Person), w.Dialogue)
	case store.PutAdapter:
		return t.putUnless(len(w.Notes) == 0, "put adapter", bucketAdapters, partKey(w.Chat), w.Notes)
	case store.Enqueue:
		_, err := t.Enqueue(store.Outgoing(w))
		return err
	case store.Delivered:
		return t.Delivered(uint64(w))
	case store.PutMessage:
		return t.putMessage(store.Outgoing(w))
	case store.NumberFrom:
		t.wrote = true
		return t.in("number from", bucketOutbox, func(b bucket) error { return b.is.SetSequence(max(uint64(w), b.is.Sequence())) })
	case store.PutBlocked:
		return t.saveUnless(w.Since.IsZero(), "put blocked", bucketBlocked, partKey(w.Chat), w.Since)
	case store.PutDead:
		return t.save("put dead", bucketDead, orderKey(w.Message.Number), w)
	case store.DeleteDead:
		return t.remove("delete dead", bucketDead, orderKey(uint64(w)))
	case store.PutUpdate:
		return t.putUpdate(w)
	case store.DeleteUpdate:
		return t.deleteUpdate(int64(w))
	}
	return &store.Error{Code: store.Internal, Op: "commit", Err: errors.New("a write of no known kind")}
}

// update is what one caller wants to write. Those that come while another is
// being committed wait for the writer; the first that is let in commits all of
// them in one transaction of the file, and so with one wait for the disk.
type update struct {
	ctx      context.Context
	do       func(*transaction) error
	done     chan struct{} // closed when what became of it lasts
	err      error
	panicked any
}

var errPanicked = errors.New("an update panicked")

// update calls f with a transaction that reads and writes, alone. A context that
// is done before f starts is an error of code Internal that wraps the context's.
//
// f may be called again where another update has failed. What it returns is
// returned when what it may have read is durable too: who tries again then finds
// it in a snapshot. Where that fails, none of the updates in the transaction has
// happened, and each has the error of that.
func (s *Store) update(ctx context.Context, f func(*transaction) error) error {
	u := &update{ctx: ctx, do: f, done: make(chan struct{})}
	s.queue.Lock()
	s.waiting = append(s.waiting, u)
	s.queue.Unlock()
	select {
	case s.writer <- struct{}{}:
		s.commitWaiting()
	case <-u.done:
	case <-ctx.Done():
		if s.withdraw(u) {
			return classify("update", ctx.Err())
		}
	}
	<-u.done
	if u.panicked != nil {
		panic(u.panicked)
	}
	return u.err
}

// withdraw reports whether an update was still waiting, and waits no longer.
func (s *Store) withdraw(u *update) bool {
	s.queue.Lock()
	defer s.queue.Unlock()
	at := slices.Index(s.waiting, u)
	if at >= 0 {
		s.waiting = slices.Delete(s.waiting, at, at+1)
	}
	return at >= 0
}

// commitWaiting commits all updates that wait, if another has not done so. The
// writer is held, and let go.
func (s *Store) commitWaiting() {
	defer s.writer.leave()
	s.queue.Lock()
	all := s.waiting
	s.waiting = nil
	s.queue.Unlock()
	var err error
	for left := slices.Clone(all); len(left) > 0; {
		var half int
		if half, err = s.together(left); half < 0 {
			break
		}
		left = slices.Delete(left, half, half+1)
	}
	for _, u := range all {
		u.err = cmp.Or(err, u.err)
		close(u.done)
	}
}

// together runs updates in one transaction and makes it durable. Where one of
// them fails after it wrote, half of it would be kept: then nothing has
// happened, and half says which. The writer is held.
func (s *Store) together(all []*update) (half int, err error) {
	tx, err := s.enter("update", true)
	if err != nil {
		return -1, err
	}
	defer s.rollback(tx)
	wrote := false
	for i, u := range all {
		t := &transaction{s: s, tx: tx}
		if u.run(t); u.err != nil && t.wrote {
			return i, nil
		}
		wrote = wrote || t.wrote
	}
	if e := s.stopped.Load(); e != nil {
		return -1, e
	}
	if !wrote {
		return -1, nil
	}
	if err := s.eraseStamp(); err != nil {
		return -1, err
	}
	err = s.commit(tx)
	s.wrote = s.wrote || err == nil
	return -1, err
}

func (u *update) run(t *transaction) {
	defer func() {
		t.over = true
		if u.panicked = recover(); u.panicked != nil {
			u.err = errPanicked
		}
	}()
	if u.err = classify("update", u.ctx.Err()); u.err == nil {
		u.err = u.do(t)
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

// rollback ends a transaction, where it was not committed. A stopped store is
// left alone: its locks may be taken for good.
func (s *Store) rollback(tx *bbolt.Tx) {
	if s.stopped.Load() == nil {
		s.protect("rollback", tx.Rollback) // the error says only that it was committed
	}
}
