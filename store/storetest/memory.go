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
	ofChanges   kind = "changes"   // household
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
	m := &Memory{now: state{records: map[key][]byte{}}}
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
	next := state{m.now.last, maps.Clone(m.now.records)}
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
