package storetest

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"sync"

	"bowlwright/store"
)

// Memory is a store that keeps everything in memory and copies all of it for
// every commit: the model that others are compared with.
type Memory struct {
	*store.InProcess
	mu  sync.RWMutex
	now state
}

// kind is what a record is of.
type kind string

// The kinds, and the parts of their keys.
const (
	ofEvent     kind = "event"     // its id
	ofMember    kind = "member"    // chat, person
	ofHousehold kind = "household" // id
	ofDialogue  kind = "dialogue"  // chat, person
	ofAdapter   kind = "adapter"   // chat
	ofOutbox    kind = "outbox"    // number
	ofBlocked   kind = "blocked"   // chat
	ofDead      kind = "dead"      // number
	ofInbox     kind = "inbox"     // number
	ofInvite    kind = "invite"    // key
	ofEnding    kind = "ending"    // household
	ofEntry     kind = "entry"     // id, household
	ofDue       kind = "due"       // household
	ofPublished kind = "published" // token
	ofReader    kind = "reader"    // token, household
)

type key struct {
	of     kind
	number int64
	a, b   string
}

// state is all that a store holds. Records are JSON, never changed in place.
type state struct {
	last    uint64 // the last number of the outbox
	records map[key][]byte
	changes map[string][][]byte // of a household, the newest last
}

// set keeps a record. A state that could not take one is thrown away.
func (s state) set(k key, v any) error {
	data, err := json.Marshal(v)
	if err != nil {
		return failure("commit", store.Internal, err)
	}
	s.records[k] = data
	return nil
}

// setUnless is set, and takes the record away where there is nothing to keep.
func (s state) setUnless(nothing bool, k key, v any) error {
	if nothing {
		delete(s.records, k)
		return nil
	}
	return s.set(k, v)
}

// one returns a record; ok says that it is there.
func one[T any](s state, k key) (v T, ok bool) {
	data, ok := s.records[k]
	return v, ok && json.Unmarshal(data, &v) == nil
}

// all returns the records of a kind that are asked for, by their keys.
func all[T any](s state, of kind, asked func(key, T) bool) (out []T) {
	var keys []key
	for k := range s.records {
		if k.of == of {
			keys = append(keys, k)
		}
	}
	slices.SortFunc(keys, func(a, b key) int {
		return cmp.Or(cmp.Compare(a.number, b.number), cmp.Compare(a.a, b.a), cmp.Compare(a.b, b.b))
	})
	for _, k := range keys {
		if v, ok := one[T](s, k); ok && asked(k, v) {
			out = append(out, v)
		}
	}
	return out
}

// first is as many as a limit allows.
func first[T any](all []T, limit int) []T {
	if limit <= 0 {
		return nil
	}
	return all[:min(limit, len(all))]
}

// NewMemory returns an empty store.
func NewMemory() *Memory {
	m := &Memory{now: state{records: map[key][]byte{}, changes: map[string][][]byte{}}}
	m.InProcess = store.NewInProcess(m.Read)
	return m
}

// Copy returns a store that holds the same, of which nothing is claimed.
func (m *Memory) Copy() *Memory {
	m.mu.RLock()
	defer m.mu.RUnlock()
	c := NewMemory()
	c.now = m.now
	return c
}

// Read implements store.Store.
func (m *Memory) Read(ctx context.Context) (store.Snapshot, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if err := ctx.Err(); err != nil {
		return nil, failure("read", store.Internal, err)
	}
	return &snapshot{state: m.now}, nil
}

// Commit implements store.Store.
func (m *Memory) Commit(ctx context.Context, c store.Commit) error {
	err := m.commit(ctx, c)
	if err == nil {
		m.Committed(c)
	}
	return err
}

func (m *Memory) commit(ctx context.Context, c store.Commit) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return failure("commit", store.Internal, err)
	}
	if _, seen := m.now.records[key{of: ofEvent, a: c.Event}]; seen {
		return nil
	}
	for _, e := range c.Expect {
		holds, err := store.Holds(&snapshot{state: m.now}, e)
		if err != nil {
			return err
		}
		if !holds {
			return store.ErrConflict
		}
	}
	next := state{m.now.last, maps.Clone(m.now.records), maps.Clone(m.now.changes)}
	if c.Event != "" {
		c.Writes = append(slices.Clip(c.Writes), store.MarkSeen{Event: c.Event, At: c.At})
	}
	for _, w := range c.Writes {
		if err := next.write(w); err != nil {
			return err
		}
	}
	m.now = next
	return nil
}

// Close implements store.Store; what was stored stays.
func (m *Memory) Close() error { return nil }

func failure(op string, c store.Code, err error) error {
	return &store.Error{Code: c, Op: op, Err: err}
}

var errOver = errors.New("the snapshot is closed")

// write does what a write says.
func (s *state) write(w store.Write) error {
	if err := store.Named(w); err != nil {
		return err
	}
	switch w := w.(type) {
	case store.MarkSeen:
		k := key{of: ofEvent, a: w.Event}
		if before, ok := one[store.MarkSeen](*s, k); ok && before.At.After(w.At) {
			return nil
		}
		return s.set(k, w)
	case store.ForgetEvent:
		delete(s.records, key{of: ofEvent, a: string(w)})
	case store.PutHousehold:
		return s.set(key{of: ofHousehold, a: w.ID}, w.Household)
	case store.DeleteHousehold:
		s.deleteHousehold(string(w))
	case store.PutEnding:
		return s.setUnless(w.At.IsZero(), key{of: ofEnding, a: w.Household}, w)
	case store.PushChange:
		data, err := json.Marshal(w.Change)
		if err != nil {
			return failure("commit", store.Internal, err)
		}
		changes := append(slices.Clip(s.changes[w.Household]), data)
		s.changes[w.Household] = changes[max(0, len(changes)-store.MaxChanges):]
	case store.PopChange:
		if changes := s.changes[string(w)]; len(changes) > 0 {
			s.changes[string(w)] = changes[:len(changes)-1]
		}
	case store.PutEntry:
		return s.set(key{of: ofEntry, a: w.Entry.ID, b: w.Household}, w.Entry)
	case store.DeleteEntry:
		delete(s.records, key{of: ofEntry, a: w.ID, b: w.Household})
	case store.PutDue:
		w.At, w.Through = w.At.UTC(), w.Through.UTC()
		return s.setUnless(w.At.IsZero() && w.Through.IsZero(), key{of: ofDue, a: w.Household}, w)
	case store.PutMember:
		return s.setUnless(w.Household == "", key{of: ofMember, a: w.Chat, b: w.Person}, w.Household)
	case store.PutInvite:
		return s.set(key{of: ofInvite, a: w.Key}, w)
	case store.DeleteInvite:
		delete(s.records, key{of: ofInvite, a: string(w)})
	case store.PutPublished:
		return s.set(key{of: ofPublished, a: w.Token}, w)
	case store.PutReader:
		return s.set(key{of: ofReader, a: w.Token, b: w.Household}, w)
	case store.DeleteReader:
		delete(s.records, key{of: ofReader, a: w.Token, b: w.Household})
	case store.MoveChat:
		return s.moveChat(w.From, w.To)
	case store.ForgetChat:
		s.forgetChat(string(w))
	case store.PutDialogue:
		return s.setUnless(w.Dialogue.None(), key{of: ofDialogue, a: w.Chat, b: w.Person}, w.Dialogue)
	case store.PutAdapter:
		return s.setUnless(len(w.Notes) == 0, key{of: ofAdapter, a: w.Chat}, w.Notes)
	case store.Enqueue:
		s.last++
		w = store.Enqueue(store.Outgoing(w).Numbered(s.last))
		return s.set(key{of: ofOutbox, number: int64(w.Number)}, w)
	case store.PutMessage:
		return s.set(key{of: ofOutbox, number: int64(w.Number)}, w)
	case store.NumberFrom:
		s.last = max(s.last, uint64(w))
	case store.Delivered:
		delete(s.records, key{of: ofOutbox, number: int64(w)})
	case store.PutBlocked:
		return s.setUnless(w.Since.IsZero(), key{of: ofBlocked, a: w.Chat}, w.Since)
	case store.PutDead:
		return s.set(key{of: ofDead, number: int64(w.Message.Number)}, w)
	case store.DeleteDead:
		delete(s.records, key{of: ofDead, number: int64(w)})
	case store.PutUpdate:
		w.Body = append([]byte{}, w.Body...)
		return s.set(key{of: ofInbox, number: w.ID}, w)
	case store.DeleteUpdate:
		delete(s.records, key{of: ofInbox, number: int64(w)})
	}
	return nil
}

func (s *state) deleteHousehold(id string) {
	its := map[string]bool{} // the tokens of what it published
	all(*s, ofPublished, func(k key, p store.Published) bool {
		its[k.a] = p.Household == id
		return false
	})
	delete(s.changes, id)
	maps.DeleteFunc(s.records, func(k key, _ []byte) bool {
		switch k.of {
		case ofHousehold, ofEnding, ofDue:
			return k.a == id
		case ofPublished:
			return its[k.a]
		case ofReader:
			return k.b == id || its[k.a]
		case ofEntry:
			return k.b == id
		case ofMember:
			household, _ := one[string](*s, k)
			return household == id
		case ofInvite:
			i, _ := one[store.Invite](*s, k)
			return i.Household == id
		}
		return false
	})
}

func (s *state) forgetChat(chat string) {
	maps.DeleteFunc(s.records, func(k key, _ []byte) bool {
		switch k.of {
		case ofDialogue, ofAdapter, ofBlocked:
			return k.a == chat
		case ofOutbox:
			m, _ := one[store.Outgoing](*s, k)
			return m.Chat == chat
		case ofDead:
			d, _ := one[store.Dead](*s, k)
			return d.Message.Chat == chat
		}
		return false
	})
}

// moveChat gives what lies under one name, and the messages of it, another.
func (s *state) moveChat(from, to string) error {
	for _, k := range slices.Collect(maps.Keys(s.records)) {
		switch k.of {
		case ofMember, ofDialogue, ofAdapter, ofBlocked:
			if k.a == from {
				data := s.records[k]
				delete(s.records, k)
				k.a = to
				s.records[k] = data
			}
		case ofOutbox:
			if m, _ := one[store.Outgoing](*s, k); m.Chat == from {
				m.Chat = to
				if err := s.set(k, m); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
