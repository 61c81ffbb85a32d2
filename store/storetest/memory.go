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
// every Update: the model that others are compared with.
type Memory struct {
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
	inbox      map[int64][]byte
	invites    map[string]store.Invite
	endings    map[string]time.Time
	journal    map[entry][]byte
	due        map[string]store.Due
}

// NewMemory returns an empty store.
func NewMemory() *Memory {
	return &Memory{now: state{
		seen: map[string]time.Time{}, members: map[pair]string{}, households: map[string][]byte{},
		dialogues: map[pair][]byte{}, changes: map[string][][]byte{}, adapters: map[string][]byte{},
		outbox: map[uint64]store.Outgoing{}, blocked: map[string]time.Time{}, dead: map[uint64]store.Dead{},
		inbox: map[int64][]byte{}, invites: map[string]store.Invite{}, endings: map[string]time.Time{},
		journal: map[entry][]byte{}, due: map[string]store.Due{},
	}}
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

// View implements store.Store.
func (m *Memory) View(ctx context.Context, f func(store.Tx) error) error {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if err := ctx.Err(); err != nil {
		return failure("view", store.Internal, err)
	}
	t := &memoryTx{state: m.now, readOnly: true}
	defer func() { t.over = true }()
	return f(t)
}

// Update implements store.Store.
func (m *Memory) Update(ctx context.Context, f func(store.Tx) error) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return failure("update", store.Internal, err)
	}
	t := &memoryTx{state: m.now.clone()}
	defer func() { t.over = true }()
	if err := f(t); err != nil {
		return err
	}
	m.now = t.state
	return nil
}

// Close implements store.Store; what was stored stays.
func (m *Memory) Close() error { return nil }

// Read implements store.Store.
func (m *Memory) Read(ctx context.Context) (store.Snapshot, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if err := ctx.Err(); err != nil {
		return nil, failure("read", store.Internal, err)
	}
	return &memoryTx{state: m.now, readOnly: true}, nil
}

// Commit implements store.Store.
func (m *Memory) Commit(ctx context.Context, c store.Commit) error {
	return m.Update(ctx, func(tx store.Tx) error { return store.Play(tx, c) })
}

type memoryTx struct {
	state
	readOnly, over bool
}

// Close implements store.Snapshot.
func (t *memoryTx) Close() { t.over = t.over || t.readOnly }

func failure(op string, c store.Code, err error) error {
	return &store.Error{Code: c, Op: op, Err: err}
}

var (
	errOver     = errors.New("the transaction is over")
	errReadOnly = errors.New("the transaction only reads")
	errNoKey    = errors.New("a key is needed")
)

func (t *memoryTx) reads(op string) error {
	if t.over {
		return failure(op, store.Internal, errOver)
	}
	return nil
}

func (t *memoryTx) writes(op string) error {
	if t.readOnly {
		return failure(op, store.Internal, errReadOnly)
	}
	return t.reads(op)
}

// record decodes a record into v.
func record(op string, data []byte, v any) error {
	if data == nil {
		return failure(op, store.NotFound, nil)
	}
	return json.Unmarshal(data, v)
}

func encode(op string, v any) ([]byte, error) {
	data, err := json.Marshal(v)
	if err != nil {
		return nil, failure(op, store.Internal, err)
	}
	return data, nil
}

func (t *memoryTx) Seen(event string) (bool, error) {
	_, ok := t.seen[event]
	return ok, t.reads("seen")
}

func (t *memoryTx) MarkSeen(event string, at time.Time) error {
	if event == "" {
		return failure("mark seen", store.Internal, errNoKey)
	}
	err := t.writes("mark seen")
	if before, ok := t.seen[event]; err == nil && (!ok || before.Before(at)) {
		t.seen[event] = at
	}
	return err
}

func (t *memoryTx) ForgetEvent(event string) error {
	err := t.writes("forget event")
	if err == nil {
		delete(t.seen, event)
	}
	return err
}

func (t *memoryTx) SeenBefore(at time.Time, limit int) (events []string, err error) {
	for _, id := range slices.Collect(maps.Keys(t.seen)) {
		if t.seen[id].Before(at) {
			events = append(events, id)
		}
	}
	slices.SortFunc(events, func(a, b string) int { return cmp.Or(t.seen[a].Compare(t.seen[b]), strings.Compare(a, b)) })
	return events[:min(max(limit, 0), len(events))], t.reads("seen before")
}

func (t *memoryTx) Member(chat, person string) (string, error) {
	id, ok := t.members[pair{chat, person}]
	if err := t.reads("member"); err != nil || ok {
		return id, err
	}
	return "", failure("member", store.NotFound, nil)
}

func (t *memoryTx) PutMember(chat, person, household string) error {
	err := t.writes("put member")
	if household == "" {
		return t.DeleteMember(chat, person)
	}
	if err == nil {
		t.members[pair{chat, person}] = household
	}
	return err
}

func (t *memoryTx) DeleteMember(chat, person string) error {
	err := t.writes("delete member")
	if err == nil {
		delete(t.members, pair{chat, person})
	}
	return err
}

func (t *memoryTx) Household(id string) (*planner.Household, error) {
	h := new(planner.Household)
	if err := cmp.Or(t.reads("household"), record("household", t.households[id], h)); err != nil {
		return nil, err
	}
	return h, nil
}

func (t *memoryTx) Revision(household string) (uint64, error) {
	h := new(planner.Household)
	err := cmp.Or(t.reads("revision"), record("revision", t.households[household], h))
	return h.Rev, err
}

func (t *memoryTx) PutHousehold(h *planner.Household) error {
	if h.ID == "" {
		return failure("put household", store.Internal, errNoKey)
	}
	data, err := encode("put household", h)
	if err = cmp.Or(t.writes("put household"), err); err == nil {
		t.households[h.ID] = data
	}
	return err
}

func (t *memoryTx) Dialogue(chat, person string) (d store.Dialogue, err error) {
	err = cmp.Or(t.reads("dialogue"), record("dialogue", t.dialogues[pair{chat, person}], &d))
	return d, err
}

func (t *memoryTx) PutDialogue(chat, person string, d store.Dialogue) error {
	if d.Kind == "" && d.Step == "" && d.Data == nil && d.Since.IsZero() {
		return t.DeleteDialogue(chat, person)
	}
	data, err := encode("put dialogue", d)
	if err = cmp.Or(t.writes("put dialogue"), err); err == nil {
		t.dialogues[pair{chat, person}] = data
	}
	return err
}

func (t *memoryTx) DeleteDialogue(chat, person string) error {
	err := t.writes("delete dialogue")
	if err == nil {
		delete(t.dialogues, pair{chat, person})
	}
	return err
}

func (t *memoryTx) PushChange(household string, c store.Change) error {
	data, err := encode("push change", c)
	if err = cmp.Or(t.writes("push change"), err); err != nil {
		return err
	}
	all := append(slices.Clone(t.changes[household]), data)
	t.changes[household] = all[max(0, len(all)-store.MaxChanges):]
	return nil
}

func (t *memoryTx) LastChange(household string) (c store.Change, err error) {
	var data []byte
	if all := t.changes[household]; len(all) > 0 {
		data = all[len(all)-1]
	}
	err = cmp.Or(t.reads("last change"), record("last change", data, &c))
	return c, err
}

func (t *memoryTx) ChangeBefore(household string) (c store.Change, err error) {
	var data []byte
	if all := t.changes[household]; len(all) > 1 {
		data = all[len(all)-2]
	}
	err = cmp.Or(t.reads("change before"), record("change before", data, &c))
	return c, err
}

func (t *memoryTx) PopChange(household string) error {
	err := t.writes("pop change")
	if all := t.changes[household]; err == nil && len(all) > 0 {
		t.changes[household] = all[: len(all)-1 : len(all)-1]
	}
	return err
}

func (t *memoryTx) Adapter(chat string) ([]byte, error) {
	return bytes.Clone(t.adapters[chat]), t.reads("adapter")
}

func (t *memoryTx) PutAdapter(chat string, notes []byte) error {
	err := t.writes("put adapter")
	if err == nil && len(notes) > 0 {
		t.adapters[chat] = bytes.Clone(notes)
	} else if err == nil {
		delete(t.adapters, chat)
	}
	return err
}

func (t *memoryTx) Enqueue(m store.Outgoing) (uint64, error) {
	if err := t.writes("enqueue"); err != nil {
		return 0, err
	}
	t.last++
	m.Number, m.Body = t.last, bytes.Clone(m.Body)
	t.outbox[m.Number] = m
	return m.Number, nil
}

func (t *memoryTx) Pending(chat string, limit int) ([]store.Outgoing, error) {
	var out []store.Outgoing
	for _, n := range slices.Sorted(maps.Keys(t.outbox)) {
		if m := t.outbox[n]; len(out) < limit && (chat == "" || m.Chat == chat) {
			m.Body = bytes.Clone(m.Body)
			out = append(out, m)
		}
	}
	return out, t.reads("pending")
}

func (t *memoryTx) Oldest(chat string) (uint64, error) {
	all, err := t.Pending(chat, 1)
	if err != nil || len(all) == 0 {
		return 0, err
	}
	return all[0].Number, nil
}

func (t *memoryTx) Delivered(number uint64) error {
	err := t.writes("delivered")
	if err == nil {
		delete(t.outbox, number)
	}
	return err
}
