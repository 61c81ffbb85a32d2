package storetest

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// Memory is a store that keeps everything in memory and copies all of it for
// every commit: the model that others are compared with.
type Memory struct {
	*store.InProcess
	mu  sync.RWMutex
	now state
}

// pair is a chat and a person.
type pair struct{ chat, person string }

// state is all that a store holds. Records are JSON, never changed in place.
type state struct {
	last       uint64 // the last number of the outbox
	seen       map[string]time.Time
	members    map[pair]string
	households map[string][]byte
	dialogues  map[pair][]byte
	changes    map[string][][]byte // oldest first
	adapters   map[string][]byte
	outbox     map[uint64]store.Outgoing
	blocked    map[string]time.Time
	dead       map[uint64]store.Dead
	inbox      map[int64]store.Update
	invites    map[string]store.Invite
	endings    map[string]time.Time
	journal    map[entry][]byte
	due        map[string]store.Due
}

// NewMemory returns an empty store.
func NewMemory() *Memory {
	m := &Memory{now: state{
		seen: map[string]time.Time{}, members: map[pair]string{}, households: map[string][]byte{},
		dialogues: map[pair][]byte{}, changes: map[string][][]byte{}, adapters: map[string][]byte{},
		outbox: map[uint64]store.Outgoing{}, blocked: map[string]time.Time{}, dead: map[uint64]store.Dead{},
		inbox: map[int64]store.Update{}, invites: map[string]store.Invite{}, endings: map[string]time.Time{},
		journal: map[entry][]byte{}, due: map[string]store.Due{},
	}}
	m.InProcess = store.NewInProcess(m.Read)
	return m
}

func (s state) clone() state {
	s.seen, s.members, s.households = maps.Clone(s.seen), maps.Clone(s.members), maps.Clone(s.households)
	s.dialogues, s.changes = maps.Clone(s.dialogues), maps.Clone(s.changes)
	s.adapters, s.outbox = maps.Clone(s.adapters), maps.Clone(s.outbox)
	s.blocked, s.dead = maps.Clone(s.blocked), maps.Clone(s.dead)
	s.inbox, s.invites, s.endings = maps.Clone(s.inbox), maps.Clone(s.invites), maps.Clone(s.endings)
	s.journal, s.due = maps.Clone(s.journal), maps.Clone(s.due)
	return s
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
	if _, seen := m.now.seen[c.Event]; seen {
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
	next := m.now.clone()
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

// snapshot is a state that is not changed any more.
type snapshot struct {
	state
	over bool
}

// Close implements store.Snapshot.
func (t *snapshot) Close() { t.over = true }

func failure(op string, c store.Code, err error) error {
	return &store.Error{Code: c, Op: op, Err: err}
}

var (
	errOver  = errors.New("the snapshot is closed")
	errNoKey = errors.New("a key is needed")
)

func (t *snapshot) reads(op string) error {
	if t.over {
		return failure(op, store.Internal, errOver)
	}
	return nil
}

// record decodes a record into v.
func record(op string, data []byte, v any) error {
	if data == nil {
		return failure(op, store.NotFound, nil)
	}
	return json.Unmarshal(data, v)
}

func (t *snapshot) Seen(event string) (bool, error) {
	_, ok := t.seen[event]
	return ok, t.reads("seen")
}

func (t *snapshot) SeenBefore(at time.Time, limit int) (events []string, err error) {
	for _, id := range slices.Collect(maps.Keys(t.seen)) {
		if t.seen[id].Before(at) {
			events = append(events, id)
		}
	}
	slices.SortFunc(events, func(a, b string) int { return cmp.Or(t.seen[a].Compare(t.seen[b]), strings.Compare(a, b)) })
	return events[:min(max(limit, 0), len(events))], t.reads("seen before")
}

func (t *snapshot) Member(chat, person string) (string, error) {
	id, ok := t.members[pair{chat, person}]
	if err := t.reads("member"); err != nil || ok {
		return id, err
	}
	return "", failure("member", store.NotFound, nil)
}

func (t *snapshot) Household(id string) (*planner.Household, error) {
	h := new(planner.Household)
	if err := cmp.Or(t.reads("household"), record("household", t.households[id], h)); err != nil {
		return nil, err
	}
	return h, nil
}

func (t *snapshot) Revision(household string) (uint64, error) {
	h := new(planner.Household)
	err := cmp.Or(t.reads("revision"), record("revision", t.households[household], h))
	return h.Rev, err
}

func (t *snapshot) Dialogue(chat, person string) (d store.Dialogue, err error) {
	err = cmp.Or(t.reads("dialogue"), record("dialogue", t.dialogues[pair{chat, person}], &d))
	return d, err
}

func (t *snapshot) LastChange(household string) (c store.Change, err error) {
	var data []byte
	if all := t.changes[household]; len(all) > 0 {
		data = all[len(all)-1]
	}
	err = cmp.Or(t.reads("last change"), record("last change", data, &c))
	return c, err
}

func (t *snapshot) ChangeBefore(household string) (c store.Change, err error) {
	var data []byte
	if all := t.changes[household]; len(all) > 1 {
		data = all[len(all)-2]
	}
	err = cmp.Or(t.reads("change before"), record("change before", data, &c))
	return c, err
}

func (t *snapshot) Adapter(chat string) ([]byte, error) {
	return bytes.Clone(t.adapters[chat]), t.reads("adapter")
}

func (t *snapshot) Pending(chat string, limit int) ([]store.Outgoing, error) {
	var out []store.Outgoing
	for _, n := range slices.Sorted(maps.Keys(t.outbox)) {
		if m := t.outbox[n]; len(out) < limit && (chat == "" || m.Chat == chat) {
			m.Body = bytes.Clone(m.Body)
			out = append(out, m)
		}
	}
	return out, t.reads("pending")
}

func (t *snapshot) Oldest(chat string) (uint64, error) {
	all, err := t.Pending(chat, 1)
	if err != nil || len(all) == 0 {
		return 0, err
	}
	return all[0].Number, nil
}
