package bolt

import (
	"bytes"
	"time"

	"bowlwright/store"
)

// memberKey is the key of a member in the index by household.
func memberKey(household, chat, person string) []byte {
	return append(append(partKey(household), partKey(chat)...), person...)
}

// parted splits a name off the front of a key.
func parted(key []byte) (name string, rest []byte, ok bool) {
	name, ok = chatOf(key)
	if !ok {
		return "", nil, false
	}
	return name, key[len(partKey(name)):], true
}

func (t *transaction) Member(chat, person string) (string, error) {
	id, err := t.get("member", bucketMembers, pairKey(chat, person))
	return string(id), err
}

func (t *transaction) PutMember(chat, person, household string) error {
	const op = "put member"
	if err := t.DeleteMember(chat, person); err != nil || household == "" {
		return classify(op, err)
	}
	if err := t.put(op, bucketMembers, pairKey(chat, person), []byte(household)); err != nil {
		return err
	}
	return t.put(op, bucketMembersOf, memberKey(household, chat, person), nil)
}

func (t *transaction) DeleteMember(chat, person string) error {
	const op = "delete member"
	household, err := t.Member(chat, person)
	if err != nil {
		return store.OrNone(err)
	}
	if err := t.remove(op, bucketMembersOf, memberKey(household, chat, person)); err != nil {
		return err
	}
	return t.remove(op, bucketMembers, pairKey(chat, person))
}

func (t *transaction) Members(household string) (out []store.Member, err error) {
	const op = "members"
	keys, err := t.keys(op, bucketMembersOf, partKey(household))
	for _, k := range keys {
		chat, person, ok := parted(k)
		if !ok {
			return nil, damaged(op, "a member's key is cut short")
		}
		out = append(out, store.Member{Chat: chat, Person: string(person)})
	}
	return out, err
}

// keys returns what follows a prefix in the keys of a bucket that begin with
// it.
func (t *transaction) keys(op string, name, prefix []byte) (out [][]byte, err error) {
	err = t.in(op, name, func(b bucket) error {
		c := b.is.Cursor()
		for k, _ := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, _ = c.Next() {
			out = append(out, bytes.Clone(k[len(prefix):]))
		}
		return nil
	})
	return out, err
}

// removeAll takes out the keys of a bucket that begin with a prefix.
func (t *transaction) removeAll(op string, name, prefix []byte) error {
	rests, err := t.keys(op, name, prefix)
	for _, rest := range rests {
		if err := t.remove(op, name, append(bytes.Clone(prefix), rest...)); err != nil {
			return err
		}
	}
	return err
}

func (t *transaction) DeleteHousehold(id string) error {
	const op = "delete household"
	members, err := t.Members(id)
	if err != nil {
		return err
	}
	for _, m := range members {
		if err := t.DeleteMember(m.Chat, m.Person); err != nil {
			return err
		}
	}
	invites, err := t.keys(op, bucketInvitesOf, partKey(id))
	if err != nil {
		return err
	}
	for _, key := range invites {
		if err := t.DeleteInvite(string(key)); err != nil {
			return err
		}
	}
	if err := t.deletePublishing(id); err != nil {
		return err
	}
	for _, bucket := range [][]byte{bucketChanges, bucketJournal, bucketJournalIDs} {
		if err := t.removeAll(op, bucket, partKey(id)); err != nil {
			return err
		}
	}
	if err := t.PutDue(store.Due{Household: id}); err != nil {
		return err
	}
	if err := t.PutEnding(id, time.Time{}); err != nil {
		return err
	}
	return t.remove(op, bucketHouseholds, []byte(id))
}

func (t *transaction) PutInvite(i store.Invite) error {
	const op = "put invite"
	if err := t.DeleteInvite(i.Key); err != nil {
		return classify(op, err)
	}
	if err := t.save(op, bucketInvites, []byte(i.Key), i); err != nil {
		return err
	}
	return t.put(op, bucketInvitesOf, pairKey(i.Household, i.Key), nil)
}

func (t *transaction) Invite(key string) (i store.Invite, err error) {
	err = t.load("invite", bucketInvites, []byte(key), &i)
	return i, err
}

func (t *transaction) DeleteInvite(key string) error {
	const op = "delete invite"
	i, err := t.Invite(key)
	if err != nil {
		return store.OrNone(err)
	}
	if err := t.remove(op, bucketInvitesOf, pairKey(i.Household, key)); err != nil {
		return err
	}
	return t.remove(op, bucketInvites, []byte(key))
}

func (t *transaction) Invites(household string) ([]store.Invite, error) {
	const op = "invites"
	keys, err := t.keys(op, bucketInvitesOf, partKey(household))
	return named(op, "an invitation", keys, err, t.Invite)
}

func (t *transaction) PutEnding(household string, at time.Time) error {
	const op = "put ending"
	if at.IsZero() {
		return t.remove(op, bucketEndings, []byte(household))
	}
	return t.put(op, bucketEndings, []byte(household), store.TimeKey(at))
}

// Endings reads all of them, which are few: households that nobody belongs
// to and that are not yet forgotten.
func (t *transaction) Endings(until time.Time, limit int) (out []string, err error) {
	const op = "endings"
	latest := store.TimeKey(until)
	err = t.in(op, bucketEndings, func(b bucket) error {
		c := b.is.Cursor()
		for k, v := c.First(); k != nil && len(out) < limit; k, v = c.Next() {
			at, err := opened(op, k, v)
			if err != nil {
				return err
			}
			if bytes.Compare(at, latest) <= 0 {
				out = append(out, string(k))
			}
		}
		return nil
	})
	return out, err
}
