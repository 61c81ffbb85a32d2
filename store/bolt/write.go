package bolt

import (
	"context"
	"errors"

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
	case store.DeletePublished:
		return t.deletePublished(string(w))
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
