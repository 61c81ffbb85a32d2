package storetest

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"unicode/utf8"

	"bowlwright/store"
)

// write does what a write says. Records are kept as JSON, and a state that could
// not be written in full is thrown away.
func (s *state) write(w store.Write) error {
	switch w := w.(type) {
	case store.MarkSeen:
		if before, ok := s.seen[w.Event]; !ok || before.Before(w.At) {
			s.seen[w.Event] = w.At
		}
		return needed(w.Event)
	case store.ForgetEvent:
		delete(s.seen, string(w))
	case store.PutHousehold:
		return keep(s.households, w.Household.ID, w.Household, needed(w.Household.ID))
	case store.DeleteHousehold:
		s.deleteHousehold(string(w))
	case store.PutEnding:
		delete(s.endings, w.Household)
		if !w.At.IsZero() {
			s.endings[w.Household] = w.At
			return needed(w.Household)
		}
	case store.PushChange:
		data, err := json.Marshal(w.Change)
		all := append(slices.Clone(s.changes[w.Household]), data)
		s.changes[w.Household] = all[max(0, len(all)-store.MaxChanges):]
		return refused(err)
	case store.PopChange:
		if all := s.changes[string(w)]; len(all) > 0 {
			s.changes[string(w)] = all[: len(all)-1 : len(all)-1]
		}
	case store.PutEntry:
		return keep(s.journal, entry{w.Household, w.Entry.ID}, w.Entry, needed(w.Entry.ID), text(w.Entry.ID+w.Entry.Dog+string(w.Entry.Kind)))
	case store.DeleteEntry:
		delete(s.journal, entry{w.Household, w.ID})
	case store.PutDue:
		return s.putDue(store.Due(w))
	case store.PutMember:
		if s.members[pair{w.Chat, w.Person}] = w.Household; w.Household == "" {
			delete(s.members, pair{w.Chat, w.Person})
		}
	case store.PutInvite:
		s.invites[w.Key] = store.Invite(w)
		return needed(w.Key)
	case store.DeleteInvite:
		delete(s.invites, string(w))
	case store.MoveChat:
		s.moveChat(w.From, w.To)
	case store.PutDialogue:
		d := w.Dialogue
		if d.Kind == "" && d.Step == "" && d.Data == nil && d.Since.IsZero() {
			delete(s.dialogues, pair{w.Chat, w.Person})
			return nil
		}
		return keep(s.dialogues, pair{w.Chat, w.Person}, d)
	case store.PutAdapter:
		if s.adapters[w.Chat] = bytes.Clone(w.Notes); len(w.Notes) == 0 {
			delete(s.adapters, w.Chat)
		}
	case store.Enqueue:
		s.last++
		w.Number, w.Body = s.last, bytes.Clone(w.Body)
		s.outbox[w.Number] = store.Outgoing(w)
	case store.Delivered:
		delete(s.outbox, uint64(w))
	case store.PutBlocked:
		if s.blocked[w.Chat] = w.Since; w.Since.IsZero() {
			delete(s.blocked, w.Chat)
		}
	case store.PutDead:
		w.Message.Body = bytes.Clone(w.Message.Body)
		s.dead[w.Message.Number] = store.Dead(w)
	case store.DeleteDead:
		delete(s.dead, uint64(w))
	case store.PutUpdate:
		w.Body = append([]byte{}, w.Body...)
		s.inbox[w.ID] = store.Update(w)
	case store.DeleteUpdate:
		delete(s.inbox, int64(w))
	}
	return nil
}

// keep keeps a record, unless there is something against it.
func keep[K comparable](all map[K][]byte, key K, record any, against ...error) error {
	data, err := json.Marshal(record)
	all[key] = data
	return errors.Join(append(against, refused(err))...)
}

func refused(err error) error {
	if err == nil {
		return nil
	}
	return failure("commit", store.Internal, err)
}

// needed refuses an empty key.
func needed(key string) error {
	if key == "" {
		return refused(errNoKey)
	}
	return nil
}

// text refuses a key that JSON would keep as another.
func text(key string) error {
	if !utf8.ValidString(key) {
		return refused(errNoKey)
	}
	return nil
}

func (s *state) deleteHousehold(id string) {
	maps.DeleteFunc(s.members, func(_ pair, h string) bool { return h == id })
	maps.DeleteFunc(s.invites, func(_ string, i store.Invite) bool { return i.Household == id })
	maps.DeleteFunc(s.journal, func(e entry, _ []byte) bool { return e.household == id })
	delete(s.changes, id)
	delete(s.endings, id)
	delete(s.due, id)
	delete(s.households, id)
}

func (s *state) putDue(d store.Due) error {
	d.At, d.Through = d.At.UTC(), d.Through.UTC()
	_, err := json.Marshal(d)
	if s.due[d.Household] = d; d.At.IsZero() && d.Through.IsZero() {
		delete(s.due, d.Household)
	}
	return errors.Join(needed(d.Household), text(d.Household), refused(err))
}

func (s *state) moveChat(from, to string) {
	if from == to {
		return
	}
	movePairs(s.members, from, to)
	movePairs(s.dialogues, from, to)
	if notes, ok := s.adapters[from]; ok {
		s.adapters[to] = notes
		delete(s.adapters, from)
	}
	if since := s.blocked[from]; !since.IsZero() {
		s.blocked[to] = since
		delete(s.blocked, from)
	}
	for n, m := range s.outbox {
		if m.Chat == from {
			m.Chat = to
			s.outbox[n] = m
		}
	}
}

// movePairs gives all records of a chat another chat.
func movePairs[V any](all map[pair]V, from, to string) {
	for p, v := range maps.Clone(all) {
		if p.chat == from {
			delete(all, p)
			all[pair{to, p.person}] = v
		}
	}
}
