package bolt

import (
	"context"
	"encoding/binary"
	"encoding/json"

	"bowlwright/planner"
	"bowlwright/store"
)

// eachPage is how many records Each reads at once; our own choice.
const eachPage = 1000

// Each implements store.Movable.
func (s *Store) Each(ctx context.Context, f func(store.Write) error) error {
	t, err := s.read("each")
	if err != nil {
		return err
	}
	defer t.Close()
	for _, b := range []struct {
		of   []byte
		make func(key, record []byte) (store.Write, error)
	}{
		{bucketSeen, func(k, v []byte) (store.Write, error) {
			return store.MarkSeen{Event: string(k), At: store.TimeOf(v)}, nil
		}},
		{bucketHouseholds, func(_, v []byte) (store.Write, error) {
			h := new(planner.Household)
			return store.PutHousehold{Household: h}, store.Decode("each", v, h)
		}},
		{bucketChanges, writeOf(func(k []byte, c store.Change) store.Write {
			id, _, _ := parted(k)
			return store.PushChange{Household: id, Change: c}
		})},
		{bucketMembers, func(k, v []byte) (store.Write, error) {
			chat, person, _ := parted(k)
			return store.PutMember{Chat: chat, Person: string(person), Household: string(v)}, nil
		}},
		{bucketInvites, writeOf(func(_ []byte, i store.Invite) store.Write { return store.PutInvite(i) })},
		{bucketEndings, func(k, v []byte) (store.Write, error) {
			return store.PutEnding{Household: string(k), At: store.TimeOf(v)}, nil
		}},
		{bucketJournal, writeOf(func(k []byte, e planner.Entry) store.Write {
			s, _, _ := streamOf(k)
			return store.PutEntry{Household: s.household, Entry: e}
		})},
		{bucketDue, writeOf(func(_ []byte, d store.Due) store.Write { return store.PutDue(d) })},
		{bucketPublished, writeOf(func(_ []byte, p store.Published) store.Write { return store.PutPublished(p) })},
		{bucketReaders, writeOf(func(_ []byte, r store.Reader) store.Write { return store.PutReader(r) })},
		{bucketDialogues, writeOf(func(k []byte, d store.Dialogue) store.Write {
			chat, person, _ := parted(k)
			return store.PutDialogue{Chat: chat, Person: string(person), Dialogue: d}
		})},
		{bucketAdapters, func(k, v []byte) (store.Write, error) {
			chat, _, _ := parted(k)
			return store.PutAdapter{Chat: chat, Notes: v}, nil
		}},
		{bucketOutbox, writeOf(func(_ []byte, m store.Outgoing) store.Write { return store.PutMessage(m) })},
		{bucketBlocked, func(k, v []byte) (w store.Write, err error) {
			chat, _, _ := parted(k)
			put := store.PutBlocked{Chat: chat}
			err = json.Unmarshal(v, &put.Since)
			put.Since = put.Since.UTC()
			return put, err
		}},
		{bucketDead, writeOf(func(_ []byte, d store.Dead) store.Write { return store.PutDead(d) })},
		{bucketInbox, func(k, v []byte) (store.Write, error) {
			return store.PutUpdate{ID: int64(binary.BigEndian.Uint64(k) ^ 1<<63), Chat: string(k[8:]), Body: v}, nil
		}},
	} {
		if err := t.eachOf(ctx, b.of, func(k, v []byte) error {
			w, err := b.make(k, v)
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

// writeOf makes a write of a record.
func writeOf[T any](f func(key []byte, is T) store.Write) func(key, record []byte) (store.Write, error) {
	return func(key, record []byte) (store.Write, error) {
		var is T
		err := store.Decode("each", record, &is)
		return f(key, is), err
	}
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
