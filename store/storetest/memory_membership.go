package storetest

import (
	"cmp"
	"encoding/binary"
	"maps"
	"slices"
	"strings"
	"time"

	"bowlwright/store"
)

// lengthFirst sorts names as keys that carry the length of the name do.
func lengthFirst(a, b string) int {
	key := func(s string) string { return string(binary.AppendUvarint(nil, uint64(len(s)))) + s }
	return strings.Compare(key(a), key(b))
}

func (t *memoryTx) Members(household string) (out []store.Member, err error) {
	for p, id := range t.members {
		if id == household {
			out = append(out, store.Member{Chat: p.chat, Person: p.person})
		}
	}
	slices.SortFunc(out, func(a, b store.Member) int {
		return cmp.Or(lengthFirst(a.Chat, b.Chat), strings.Compare(a.Person, b.Person))
	})
	return out, t.reads("members")
}

func (t *memoryTx) DeleteHousehold(id string) error {
	err := t.writes("delete household")
	if err == nil {
		maps.DeleteFunc(t.members, func(_ pair, h string) bool { return h == id })
		maps.DeleteFunc(t.invites, func(_ string, i store.Invite) bool { return i.Household == id })
		delete(t.changes, id)
		delete(t.endings, id)
		maps.DeleteFunc(t.journal, func(e entry, _ []byte) bool { return e.household == id })
		delete(t.due, id)
		delete(t.households, id)
	}
	return err
}

func (t *memoryTx) PutInvite(i store.Invite) error {
	if i.Key == "" {
		return failure("put invite", store.Internal, errNoKey)
	}
	err := t.writes("put invite")
	if err == nil {
		t.invites[i.Key] = i
	}
	return err
}

func (t *memoryTx) Invite(key string) (store.Invite, error) {
	i, ok := t.invites[key]
	if err := t.reads("invite"); err != nil || ok {
		return i, err
	}
	return i, failure("invite", store.NotFound, nil)
}

func (t *memoryTx) DeleteInvite(key string) error {
	err := t.writes("delete invite")
	if err == nil {
		delete(t.invites, key)
	}
	return err
}

func (t *memoryTx) Invites(household string) (out []store.Invite, err error) {
	for _, key := range slices.Sorted(maps.Keys(t.invites)) {
		if i := t.invites[key]; i.Household == household {
			out = append(out, i)
		}
	}
	return out, t.reads("invites")
}

func (t *memoryTx) PutEnding(household string, at time.Time) error {
	err := t.writes("put ending")
	if err != nil {
		return err
	}
	delete(t.endings, household)
	if !at.IsZero() {
		if household == "" {
			return failure("put ending", store.Internal, errNoKey)
		}
		t.endings[household] = at
	}
	return nil
}

func (t *memoryTx) Endings(until time.Time, limit int) (out []string, err error) {
	for _, id := range slices.Sorted(maps.Keys(t.endings)) {
		if !t.endings[id].After(until) && len(out) < limit {
			out = append(out, id)
		}
	}
	return out, t.reads("endings")
}

func (t *memoryTx) MoveChat(from, to string) error {
	if err := t.writes("move chat"); err != nil || from == to {
		return err
	}
	movePairs(t.members, from, to)
	movePairs(t.dialogues, from, to)
	if notes, ok := t.adapters[from]; ok {
		t.adapters[to] = notes
		delete(t.adapters, from)
	}
	if since := t.blocked[from]; !since.IsZero() {
		t.blocked[to] = since
		delete(t.blocked, from)
	}
	for n, m := range t.outbox {
		if m.Chat == from {
			m.Chat = to
			t.outbox[n] = m
		}
	}
	return nil
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
