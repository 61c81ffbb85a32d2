package bolt

import (
	"bytes"
	"cmp"
	"time"

	"bowlwright/store"
)

func (t *transaction) Member(chat, person string) (string, error) {
	id, err := t.get("member", bucketMembers, pairKey(chat, person))
	return string(id), err
}

func (t *transaction) Members(household string) (out []store.Member, err error) {
	const op = "members"
	err = t.eachBehind(op, bucketMembersOf, partKey(household), func(k []byte) error {
		chat, person, ok := parted(k)
		if !ok {
			return damaged(op, "a member's key is cut short")
		}
		out = append(out, store.Member{Chat: chat, Person: string(person)})
		return nil
	})
	return out, err
}

// eachBehind calls f with what follows a prefix in the keys of a bucket that
// begin with it. f may change the bucket.
func (t *transaction) eachBehind(op string, name, prefix []byte, f func(rest []byte) error) error {
	rests, err := t.keys(op, name, prefix)
	for _, rest := range rests {
		if err := f(rest); err != nil {
			return err
		}
	}
	return err
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
	return t.eachBehind(op, name, prefix, func(rest []byte) error {
		return t.remove(op, name, append(bytes.Clone(prefix), rest...))
	})
}

func (t *transaction) DeleteHousehold(id string) error {
	const op = "delete household"
	its := partKey(id)
	for _, name := range [][]byte{bucketChanges, bucketJournal} {
		if err := t.removeAll(op, name, its); err != nil {
			return err
		}
	}
	return cmp.Or(
		t.eachBehind(op, bucketMembersOf, its, func(member []byte) error { return t.remove(op, bucketMembers, member) }),
		t.eachBehind(op, bucketInvitesOf, its, func(key []byte) error { return t.remove(op, bucketInvites, key) }),
		t.eachBehind(op, bucketPublishedOf, its, func(token []byte) error {
			return cmp.Or(t.removeAll(op, bucketReaders, partKey(string(token))), t.remove(op, bucketPublished, token))
		}),
		t.eachBehind(op, bucketReading, its, func(token []byte) error { return t.remove(op, bucketReaders, pairKey(string(token), id)) }),
		t.remove(op, bucketDue, []byte(id)), t.remove(op, bucketEndings, []byte(id)), t.remove(op, bucketHouseholds, []byte(id)))
}

func (t *transaction) Invite(key string) (i store.Invite, err error) {
	err = t.load("invite", bucketInvites, []byte(key), &i)
	return i, err
}

func (t *transaction) Invites(household string) ([]store.Invite, error) {
	const op = "invites"
	keys, err := t.keys(op, bucketInvitesOf, partKey(household))
	return named(op, "an invitation", keys, err, t.Invite)
}

// Endings reads all of them, which are few: households that nobody belongs
// to and that are not yet forgotten.
func (t *transaction) Endings(until time.Time, limit int) (out []string, err error) {
	const op = "endings"
	latest := store.TimeKey(until)
	err = t.protected(op, func() error {
		return t.each(bucketEndings, func(k, at []byte) error {
			if len(out) < limit && bytes.Compare(at, latest) <= 0 {
				out = append(out, string(k))
			}
			return nil
		})
	})
	return out, err
}

func (t *transaction) Published(token string) (p store.Published, err error) {
	err = t.load("published", bucketPublished, []byte(token), &p)
	return p, err
}

func (t *transaction) PublishedBy(household string) ([]store.Published, error) {
	const op = "published by"
	tokens, err := t.keys(op, bucketPublishedOf, partKey(household))
	return named(op, "something published", tokens, err, t.Published)
}

func (t *transaction) PublishedAfter(token string, limit int) ([]store.Published, error) {
	return behind[store.Published](t, "published after", bucketPublished, nil, token, limit)
}

// behind returns up to limit records whose keys begin with a prefix, behind that
// which ends in after.
func behind[T any](t *transaction, op string, name, prefix []byte, after string, limit int) ([]T, error) {
	var records [][]byte
	from := append(bytes.Clone(prefix), after...)
	err := t.in(op, name, func(b bucket) error {
		c := b.is.Cursor()
		k, v := c.Seek(from)
		if k != nil && bytes.Equal(k, from) {
			k, v = c.Next()
		}
		for ; k != nil && bytes.HasPrefix(k, prefix) && len(records) < limit; k, v = c.Next() {
			record, err := copied(op, k, v)
			if err != nil {
				return err
			}
			records = append(records, record)
		}
		return nil
	})
	return decoded[T](op, records, err)
}

func (t *transaction) Readers(token, after string, limit int) ([]store.Reader, error) {
	return behind[store.Reader](t, "readers", bucketReaders, partKey(token), after, limit)
}

func (t *transaction) Reading(household string) ([]store.Reader, error) {
	const op = "reading"
	tokens, err := t.keys(op, bucketReading, partKey(household))
	return named(op, "a reader", tokens, err, func(token string) (r store.Reader, err error) {
		err = t.load(op, bucketReaders, pairKey(token, household), &r)
		return r, err
	})
}
