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
		return t.MarkSeen(c.Event, c.At)
	}
	return nil
}

func (t *transaction) write(w store.Write) error {
	if err := store.Named(w); err != nil {
		return err
	}
	switch w := w.(type) {
	case store.MarkSeen:
		return t.MarkSeen(w.Event, w.At)
	case store.ForgetEvent:
		return t.forgetEvent(string(w))
	case store.PutHousehold:
		return t.PutHousehold(w.Household)
	case store.DeleteHousehold:
		return t.DeleteHousehold(string(w))
	case store.PutEnding:
		return t.PutEnding(w.Household, w.At)
	case store.PushChange:
		return t.PushChange(w.Household, w.Change)
	case store.PopChange:
		return t.PopChange(string(w))
	case store.PutEntry:
		return t.PutEntry(w.Household, w.Entry)
	case store.DeleteEntry:
		return t.DeleteEntry(w.Household, w.ID)
	case store.PutDue:
		return t.PutDue(store.Due(w))
	case store.PutMember:
		return t.PutMember(w.Chat, w.Person, w.Household)
	case store.PutInvite:
		return t.PutInvite(store.Invite(w))
	case store.DeleteInvite:
		return t.DeleteInvite(string(w))
	case store.PutPublished:
		return t.PutPublished(store.Published(w))
	case store.DeletePublished:
		return t.DeletePublished(string(w))
	case store.PutReader:
		return t.PutReader(store.Reader(w))
	case store.DeleteReader:
		return t.DeleteReader(w.Token, w.Household)
	case store.MoveChat:
		return t.MoveChat(w.From, w.To)
	case store.ForgetChat:
		return t.forgetChat(string(w))
	case store.PutDialogue:
		return t.PutDialogue(w.Chat, w.Person, w.Dialogue)
	case store.PutAdapter:
		return t.PutAdapter(w.Chat, w.Notes)
	case store.Enqueue:
		_, err := t.Enqueue(store.Outgoing(w))
		return err
	case store.Delivered:
		return t.Delivered(uint64(w))
	case store.PutMessage:
		return t.PutMessage(store.Outgoing(w))
	case store.NumberFrom:
		return t.in("number from", bucketOutbox, func(b bucket) error { return b.numberFrom(uint64(w)) })
	case store.PutBlocked:
		return t.PutBlocked(w.Chat, w.Since)
	case store.PutDead:
		return t.PutDead(store.Dead(w))
	case store.DeleteDead:
		return t.DeleteDead(uint64(w))
	case store.PutUpdate:
		return t.PutUpdate(store.Update(w))
	case store.DeleteUpdate:
		return t.DeleteUpdate(int64(w))
	}
	return &store.Error{Code: store.Internal, Op: "commit", Err: errors.New("a write of no known kind")}
}
