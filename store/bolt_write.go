package store

import (
	"context"
	"errors"
)

// Commit implements Store. A context that is done before its turn comes is an
// error of code Internal that wraps the context's; after that the context is not
// looked at. Where the commits that share a transaction cannot be made durable,
// each of them fails, and none has happened.
func (s *Bolt) Commit(ctx context.Context, c Commit) error {
	err := s.update(ctx, func(t *boltTx) error { return t.commit(c) })
	if err == nil {
		s.Committed(c)
	}
	return err
}

func (t *boltTx) commit(c Commit) error {
	if c.Event != "" {
		if seen, err := t.Seen(c.Event); err != nil || seen {
			return err
		}
	}
	for _, e := range c.Expect {
		holds, err := Holds(t, e)
		if err != nil {
			return err
		}
		if !holds {
			return ErrConflict
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

func (t *boltTx) write(w Write) error {
	switch w := w.(type) {
	case MarkSeen:
		return t.MarkSeen(w.Event, w.At)
	case ForgetEvent:
		return t.forgetEvent(string(w))
	case PutHousehold:
		return t.PutHousehold(w.Household)
	case DeleteHousehold:
		return t.DeleteHousehold(string(w))
	case PutEnding:
		return t.PutEnding(w.Household, w.At)
	case PushChange:
		return t.PushChange(w.Household, w.Change)
	case PopChange:
		return t.PopChange(string(w))
	case PutEntry:
		return t.PutEntry(w.Household, w.Entry)
	case DeleteEntry:
		return t.DeleteEntry(w.Household, w.ID)
	case PutDue:
		return t.PutDue(Due(w))
	case PutMember:
		return t.PutMember(w.Chat, w.Person, w.Household)
	case PutInvite:
		return t.PutInvite(Invite(w))
	case DeleteInvite:
		return t.DeleteInvite(string(w))
	case MoveChat:
		return t.MoveChat(w.From, w.To)
	case PutDialogue:
		return t.PutDialogue(w.Chat, w.Person, w.Dialogue)
	case PutAdapter:
		return t.PutAdapter(w.Chat, w.Notes)
	case Enqueue:
		_, err := t.Enqueue(Outgoing(w))
		return err
	case Delivered:
		return t.Delivered(uint64(w))
	case PutBlocked:
		return t.PutBlocked(w.Chat, w.Since)
	case PutDead:
		return t.PutDead(Dead(w))
	case DeleteDead:
		return t.DeleteDead(uint64(w))
	case PutUpdate:
		return t.PutUpdate(Update(w))
	case DeleteUpdate:
		return t.DeleteUpdate(int64(w))
	}
	return &Error{Code: Internal, Op: "commit", Err: errors.New("a write of no known kind")}
}
