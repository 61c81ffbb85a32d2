package bolt

import (
	"bytes"
	"cmp"
	"context"
	"encoding/binary"
	"slices"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// kind is what a bucket of records holds.
type kind struct {
	bucket []byte
	// write makes a write of a record, which makes the same in another store.
	write func(key, record []byte) (store.Write, error)
	// index is the bucket by which records are found by something else; nil: there
	// is none. What is put and removed keeps it right.
	index []byte
	// at is where a record stands in the index, with what; nowhere where key is nil.
	at func(key, record []byte) (at, with []byte, err error)
}

// kinds are those that there are, in the order in which a store is taken over.
var kinds = []kind{
	{bucketSeen, func(k, v []byte) (store.Write, error) {
		return store.MarkSeen{Event: string(k), At: store.TimeOf(v)}, nil
	}, bucketSeenAt, func(event, when []byte) ([]byte, []byte, error) {
		return slices.Concat(when, event), nil, nil
	}},
	{bucket: bucketHouseholds, write: writeOf(func(_ []byte, h *planner.Household) store.Write {
		return store.PutHousehold{Household: h}
	})},
	{bucket: bucketChanges, write: writeOf(func(k []byte, c store.Change) store.Write {
		id, _, _ := parted(k)
		return store.PushChange{Household: id, Change: c}
	})},
	{bucketMembers, func(k, v []byte) (store.Write, error) {
		chat, person, _ := parted(k)
		return store.PutMember{Chat: chat, Person: string(person), Household: string(v)}, nil
	}, bucketMembersOf, func(member, household []byte) ([]byte, []byte, error) {
		return append(partKey(string(household)), member...), nil, nil
	}},
	{bucketInvites, writeOf(func(_ []byte, i store.Invite) store.Write { return store.PutInvite(i) }),
		bucketInvitesOf, atOf(func(key []byte, i store.Invite) []byte { return pairKey(i.Household, string(key)) })},
	{bucket: bucketEndings, write: func(k, v []byte) (store.Write, error) {
		return store.PutEnding{Household: string(k), At: store.TimeOf(v)}, nil
	}},
	{bucketJournal, writeOf(func(k []byte, e planner.Entry) store.Write {
		s, _, _ := streamOf(k)
		return store.PutEntry{Household: s.household, Entry: e}
	}), bucketJournalIDs, func(key, _ []byte) ([]byte, []byte, error) {
		s, rest, ok := streamOf(key)
		if !ok {
			return nil, nil, damaged("check", "the key of entry %x is cut short", key)
		}
		id := string(rest[store.TimeSize:])
		return pairKey(s.household, id), key[len(partKey(s.household)) : len(key)-len(id)], nil
	}},
	{bucketDue, writeOf(func(_ []byte, d store.Due) store.Write { return store.PutDue(d) }),
		bucketDueAt, atOf(func(_ []byte, d store.Due) []byte {
			if d.At.IsZero() {
				return nil
			}
			return dueKey(d.At, d.Household)
		})},
	{bucketPublished, writeOf(func(_ []byte, p store.Published) store.Write { return store.PutPublished(p) }),
		bucketPublishedOf, atOf(func(_ []byte, p store.Published) []byte { return pairKey(p.Household, p.Token) })},
	{bucketReaders, writeOf(func(_ []byte, r store.Reader) store.Write { return store.PutReader(r) }),
		bucketReading, atOf(func(_ []byte, r store.Reader) []byte { return pairKey(r.Household, r.Token) })},
	{bucket: bucketDialogues, write: writeOf(func(k []byte, d store.Dialogue) store.Write {
		chat, person, _ := parted(k)
		return store.PutDialogue{Chat: chat, Person: string(person), Dialogue: d}
	})},
	{bucket: bucketAdapters, write: func(k, v []byte) (store.Write, error) {
		chat, _, _ := parted(k)
		return store.PutAdapter{Chat: chat, Notes: v}, nil
	}},
	{bucketOutbox, writeOf(func(_ []byte, m store.Outgoing) store.Write { return store.PutMessage(m) }),
		bucketOutboxChat, atOf(func(_ []byte, m struct {
			Chat   string `json:"chat"`
			Number uint64 `json:"number"`
		}) []byte {
			return numberKey(m.Chat, m.Number)
		})},
	{bucket: bucketBlocked, write: writeOf(func(k []byte, since time.Time) store.Write {
		chat, _, _ := parted(k)
		return store.PutBlocked{Chat: chat, Since: since.UTC()}
	})},
	{bucket: bucketDead, write: writeOf(func(_ []byte, d store.Dead) store.Write { return store.PutDead(d) })},
	{bucket: bucketInbox, write: func(k, v []byte) (store.Write, error) {
		return store.PutUpdate{ID: int64(binary.BigEndian.Uint64(k) ^ 1<<63), Chat: string(k[8:]), Body: v}, nil
	}},
}

// writeOf makes a write of a record.
func writeOf[T any](f func(key []byte, is T) store.Write) func(key, record []byte) (store.Write, error) {
	return func(key, record []byte) (store.Write, error) {
		var is T
		err := store.Decode("each", record, &is)
		return f(key, is), err
	}
}

// atOf is where a record stands in the index by what it says.
func atOf[T any](f func(key []byte, is T) []byte) func(key, record []byte) ([]byte, []byte, error) {
	return func(key, record []byte) ([]byte, []byte, error) {
		var is T
		err := store.Decode("index", record, &is)
		return f(key, is), nil, err
	}
}

// place is where a record stands in the index of its kind; nowhere where there
// is no record, or no index.
func (k kind) place(key, record []byte) (at, with []byte, err error) {
	if k.at == nil || record == nil {
		return nil, nil, nil
	}
	return k.at(key, record)
}

// reindex brings the index of a bucket to what it is to say once a record, or
// none where it is nil, has taken the place of what is there.
func (b bucket) reindex(op string, key, record []byte) error {
	i := slices.IndexFunc(kinds, func(k kind) bool { return string(k.bucket) == b.of })
	if i < 0 || kinds[i].index == nil {
		return nil
	}
	before, err := opened(op, key, b.Get(key))
	if err != nil {
		return err
	}
	was, wasWith, err1 := kinds[i].place(key, before)
	is, with, err2 := kinds[i].place(key, record)
	if err := cmp.Or(err1, err2); err != nil || bytes.Equal(was, is) && bytes.Equal(wasWith, with) {
		return err
	}
	index := b.t.bucket(kinds[i].index)
	if was != nil {
		if err := index.Delete(was); err != nil {
			return err
		}
	}
	if is == nil {
		return nil
	}
	return index.Put(is, with)
}

// eachPage is how many records Each reads at once; our own choice.
const eachPage = 1000

// Each implements store.Movable.
func (s *Store) Each(ctx context.Context, f func(store.Write) error) error {
	t, err := s.read("each")
	if err != nil {
		return err
	}
	defer t.Close()
	for _, of := range kinds {
		if err := t.eachOf(ctx, of.bucket, func(k, v []byte) error {
			w, err := of.write(k, v)
			if err != nil {
				return classify("each", err)
			}
			return f(w)
		}); err != nil {
			return err
		}
	}
	return f(store.NumberFrom(t.size(bucketOutbox)))
}

// eachOf calls f with copies of the records of a bucket, outside of what is
// protected.
func (t *transaction) eachOf(ctx context.Context, name []byte, f func(key, record []byte) error) error {
	var after []byte
	for {
		var keys, records [][]byte
		err := t.in("each", name, func(b bucket) error {
			c := b.is.Cursor()
			k, v := c.Seek(after)
			for ; k != nil && len(keys) < eachPage; k, v = c.Next() {
				record, err := copied("each", k, v)
				if err != nil {
					return err
				}
				keys, records = append(keys, append([]byte{}, k...)), append(records, record)
			}
			return nil
		})
		if err != nil {
			return err
		}
		for i := range keys {
			if err := ctx.Err(); err != nil {
				return classify("each", err)
			}
			if err := f(keys[i], records[i]); err != nil {
				return err
			}
		}
		if len(keys) < eachPage {
			return nil
		}
		after = append(keys[len(keys)-1], 0)
	}
}
