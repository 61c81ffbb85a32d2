package storetest

import (
	"cmp"
	"encoding/binary"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// snapshot is a state that is not changed any more.
type snapshot struct {
	state
	over bool
}

// Close implements store.Snapshot.
func (t *snapshot) Close() { t.over = true }

func (t *snapshot) reads(op string) error {
	if t.over {
		return failure(op, store.Internal, errOver)
	}
	return nil
}

// found returns a record, NotFound where there is none.
func found[T any](t *snapshot, k key) (v T, err error) {
	v, ok := one[T](t.state, k)
	if err := t.reads(string(k.of)); err != nil || ok {
		return v, err
	}
	return v, failure(string(k.of), store.NotFound, nil)
}

// orNothing returns a record, and the zero value where there is none.
func orNothing[T any](t *snapshot, k key) (T, error) {
	v, _ := one[T](t.state, k)
	return v, t.reads(string(k.of))
}

// every record is asked for.
func every[T any](key, T) bool { return true }

// lengthFirst sorts names as keys that carry the length of the name do.
func lengthFirst(a, b string) int {
	key := func(s string) string { return string(binary.AppendUvarint(nil, uint64(len(s)))) + s }
	return strings.Compare(key(a), key(b))
}

func (t *snapshot) Seen(event string) (bool, error) {
	_, ok := t.records[key{of: ofEvent, a: event}]
	return ok, t.reads("seen")
}

func (t *snapshot) SeenBefore(at time.Time, limit int) (events []string, err error) {
	before := all(t.state, ofEvent, func(_ key, e store.MarkSeen) bool { return e.At.Before(at) })
	slices.SortStableFunc(before, func(a, b store.MarkSeen) int { return a.At.Compare(b.At) })
	for _, e := range first(before, limit) {
		events = append(events, e.Event)
	}
	return events, t.reads("seen before")
}

func (t *snapshot) Member(chat, person string) (string, error) {
	return found[string](t, key{of: ofMember, a: chat, b: person})
}

func (t *snapshot) Members(household string) (out []store.Member, err error) {
	all(t.state, ofMember, func(k key, id string) bool {
		if id == household {
			out = append(out, store.Member{Chat: k.a, Person: k.b})
		}
		return false
	})
	slices.SortStableFunc(out, func(a, b store.Member) int { return lengthFirst(a.Chat, b.Chat) })
	return out, t.reads("members")
}

func (t *snapshot) Household(id string) (*planner.Household, error) {
	return found[*planner.Household](t, key{of: ofHousehold, a: id})
}

func (t *snapshot) Revision(household string) (uint64, error) {
	h, err := found[struct{ Rev uint64 }](t, key{of: ofHousehold, a: household})
	return h.Rev, err
}

func (t *snapshot) Dialogue(chat, person string) (store.Dialogue, error) {
	return found[store.Dialogue](t, key{of: ofDialogue, a: chat, b: person})
}

func (t *snapshot) Change(household string, before int) (c store.Change, err error) {
	changes := t.changes[household]
	if err := t.reads("change"); err != nil {
		return c, err
	}
	if len(changes) <= before {
		return c, failure("change", store.NotFound, nil)
	}
	return c, json.Unmarshal(changes[len(changes)-1-before], &c)
}

func (t *snapshot) Adapter(chat string) ([]byte, error) {
	return orNothing[[]byte](t, key{of: ofAdapter, a: chat})
}

func (t *snapshot) Pending(chat string, limit int) ([]store.Outgoing, error) {
	ms := all(t.state, ofOutbox, func(_ key, m store.Outgoing) bool { return chat == "" || m.Chat == chat })
	return first(ms, limit), t.reads("pending")
}

func (t *snapshot) PendingChats(prefix, after string, limit int) (chats []store.PendingChat, err error) {
	there := map[string]bool{}
	for _, m := range all(t.state, ofOutbox, every[store.Outgoing]) {
		if !there[m.Chat] && strings.HasPrefix(m.Chat, prefix) && (after == "" || lengthFirst(m.Chat, after) > 0) {
			chats = append(chats, store.PendingChat{Chat: m.Chat, Oldest: m.Number})
		}
		there[m.Chat] = true
	}
	slices.SortFunc(chats, func(a, b store.PendingChat) int { return lengthFirst(a.Chat, b.Chat) })
	return first(chats, limit), t.reads("pending chats")
}

func (t *snapshot) Blocked(chat string) (time.Time, error) {
	return orNothing[time.Time](t, key{of: ofBlocked, a: chat})
}

func (t *snapshot) Dead(limit int) ([]store.Dead, error) {
	return first(all(t.state, ofDead, every[store.Dead]), limit), t.reads("dead")
}

func (t *snapshot) Updates(after int64, limit int) ([]store.Update, error) {
	us := all(t.state, ofInbox, func(k key, _ store.Update) bool { return k.number > after })
	return first(us, limit), t.reads("updates")
}

func (t *snapshot) Sizes() (out store.Sizes, err error) {
	for k := range t.records {
		switch k.of {
		case ofHousehold:
			out.Households++
		case ofInbox:
			out.Inbox++
		case ofDead:
			out.Dead++
		}
	}
	for _, m := range all(t.state, ofOutbox, every[store.Outgoing]) {
		if _, refused := t.records[key{of: ofBlocked, a: m.Chat}]; refused {
			out.Refused++
			continue
		}
		if out.Outbox++; out.Outbox == 1 {
			out.Oldest = m.At
		}
	}
	return out, t.reads("sizes")
}

func (t *snapshot) Invite(k string) (store.Invite, error) {
	return found[store.Invite](t, key{of: ofInvite, a: k})
}

func (t *snapshot) Invites(household string) ([]store.Invite, error) {
	return all(t.state, ofInvite, func(_ key, i store.Invite) bool { return i.Household == household }), t.reads("invites")
}

func (t *snapshot) Published(token string) (store.Published, error) {
	return found[store.Published](t, key{of: ofPublished, a: token})
}

func (t *snapshot) PublishedBy(household string) ([]store.Published, error) {
	return all(t.state, ofPublished, func(_ key, p store.Published) bool { return p.Household == household }), t.reads("published by")
}

func (t *snapshot) PublishedAfter(token string, limit int) ([]store.Published, error) {
	out := all(t.state, ofPublished, func(k key, _ store.Published) bool { return k.a > token })
	return first(out, limit), t.reads("published after")
}

func (t *snapshot) Readers(token, after string, limit int) ([]store.Reader, error) {
	out := all(t.state, ofReader, func(k key, _ store.Reader) bool { return k.a == token && k.b > after })
	return first(out, limit), t.reads("readers")
}

func (t *snapshot) Reading(household string) ([]store.Reader, error) {
	return all(t.state, ofReader, func(k key, _ store.Reader) bool { return k.b == household }), t.reads("reading")
}

func (t *snapshot) Endings(until time.Time, limit int) (out []string, err error) {
	ends := all(t.state, ofEnding, func(_ key, e store.PutEnding) bool { return !e.At.After(until) })
	for _, e := range first(ends, limit) {
		out = append(out, e.Household)
	}
	return out, t.reads("endings")
}

func (t *snapshot) Entry(household, id string) (planner.Entry, error) {
	return found[planner.Entry](t, key{of: ofEntry, a: id, b: household})
}

// Entries looks at every entry there is.
func (t *snapshot) Entries(household string, q store.EntryQuery) ([]planner.Entry, error) {
	out := all(t.state, ofEntry, func(k key, e planner.Entry) bool { return k.b == household && q.Finds(e) })
	slices.SortFunc(out, func(a, b planner.Entry) int { return cmp.Or(a.At.Compare(b.At), strings.Compare(a.ID, b.ID)) })
	if q.Newest {
		slices.Reverse(out)
	}
	if q.Limit > 0 {
		out = first(out, q.Limit)
	}
	return out, t.reads("entries")
}

func (t *snapshot) Due(household string) (store.Due, error) {
	return orNothing[store.Due](t, key{of: ofDue, a: household})
}

func (t *snapshot) DueBy(at time.Time, limit int) ([]store.Due, error) {
	out := all(t.state, ofDue, func(_ key, d store.Due) bool { return !d.At.IsZero() && !d.At.After(at) })
	slices.SortStableFunc(out, func(a, b store.Due) int { return a.At.Compare(b.At) })
	return first(out, limit), t.reads("due by")
}
