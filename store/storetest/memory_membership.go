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

func (t *snapshot) Members(household string) (out []store.Member, err error) {
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

func (t *snapshot) Invite(key string) (store.Invite, error) {
	i, ok := t.invites[key]
	if err := t.reads("invite"); err != nil || ok {
		return i, err
	}
	return i, failure("invite", store.NotFound, nil)
}

func (t *snapshot) Invites(household string) (out []store.Invite, err error) {
	for _, key := range slices.Sorted(maps.Keys(t.invites)) {
		if i := t.invites[key]; i.Household == household {
			out = append(out, i)
		}
	}
	return out, t.reads("invites")
}

func (t *snapshot) Endings(until time.Time, limit int) (out []string, err error) {
	for _, id := range slices.Sorted(maps.Keys(t.endings)) {
		if !t.endings[id].After(until) && len(out) < limit {
			out = append(out, id)
		}
	}
	return out, t.reads("endings")
}
