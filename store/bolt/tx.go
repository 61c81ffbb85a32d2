package bolt

import (
	"bytes"
	"cmp"
	"encoding/json"
	"time"

	"go.etcd.io/bbolt"

	"bowlwright/planner"
	"bowlwright/store"
)

// transaction is a Snapshot, and what commits write with. Its methods touch
// bbolt only under protect, and hand out nothing that points into the file.
type transaction struct {
	s     *Store
	tx    *bbolt.Tx
	wrote bool // something, though it may be taken back with all of it
	over  bool // it is closed, or its update has ended
}

// in runs f on a bucket.
func (t *transaction) in(op string, name []byte, f func(bucket) error) error {
	return t.protected(op, func() error { return f(t.bucket(name)) })
}

// bucket returns a bucket; the caller is protected. That every bucket is there
// was made sure of when the file was opened.
func (t *transaction) bucket(name []byte) bucket { return bucket{t, t.tx.Bucket(name), string(name)} }

func (t *transaction) protected(op string, f func() error) error {
	if t.over {
		return classify(op, errOver)
	}
	if e := t.s.stopped.Load(); e != nil {
		return e
	}
	return classify(op, t.s.protect(op, f))
}

// get returns a copy of a value, NotFound where there is none.
func (t *transaction) get(op string, name, key []byte) (value []byte, err error) {
	err = t.in(op, name, func(b bucket) error {
		value, err = copied(op, key, b.Get(key))
		if err == nil && value == nil {
			err = &store.Error{Code: store.NotFound, Op: op}
		}
		return err
	})
	return value, err
}

func (t *transaction) put(op string, name, key, record []byte) error {
	return t.in(op, name, func(b bucket) error { return cmp.Or(b.reindex(op, key, record), b.Put(key, record)) })
}

func (t *transaction) remove(op string, name, key []byte) error {
	return t.in(op, name, func(b bucket) error { return cmp.Or(b.reindex(op, key, nil), b.Delete(key)) })
}

// putUnless is put, or remove where there is nothing to keep.
func (t *transaction) putUnless(nothing bool, op string, name, key, record []byte) error {
	if nothing {
		return t.remove(op, name, key)
	}
	return t.put(op, name, key, record)
}

// decoded reads records, unless there was an error before.
func decoded[T any](op string, records [][]byte, err error) (out []T, _ error) {
	for _, data := range records {
		var is T
		if err = cmp.Or(err, store.Decode(op, data, &is)); err != nil {
			return nil, err
		}
		out = append(out, is)
	}
	return out, err
}

// named reads what an index names by keys, unless there was an error before.
func named[T any](op, what string, keys [][]byte, err error, read func(key string) (T, error)) (out []T, _ error) {
	for _, key := range keys {
		is, err := read(string(key))
		if store.IsNotFound(err) {
			err = damaged(op, "the index names %s that is not there", what)
		}
		if err != nil {
			return nil, err
		}
		out = append(out, is)
	}
	return out, err
}

// load decodes a record into v.
func (t *transaction) load(op string, name, key []byte, v any) error {
	data, err := t.get(op, name, key)
	if err != nil {
		return err
	}
	return store.Decode(op, data, v)
}

// save encodes v as a record.
func (t *transaction) save(op string, name, key []byte, v any) error {
	data, err := json.Marshal(v)
	if err != nil {
		return classify(op, err)
	}
	return t.put(op, name, key, data)
}

// saveUnless is save, or remove where there is nothing to keep.
func (t *transaction) saveUnless(nothing bool, op string, name, key []byte, v any) error {
	if nothing {
		return t.remove(op, name, key)
	}
	return t.save(op, name, key, v)
}

func (t *transaction) Seen(event string) (bool, error) {
	_, err := t.get("seen", bucketSeen, []byte(event))
	return err == nil, store.OrNone(err)
}

// markSeen moves an event that was marked before to the later of both times.
func (t *transaction) markSeen(event string, at time.Time) error {
	const op = "mark seen"
	when := store.TimeKey(at)
	before, err := t.get(op, bucketSeen, []byte(event))
	if err = store.OrNone(err); err != nil || bytes.Compare(before, when) >= 0 {
		return err
	}
	return t.put(op, bucketSeen, []byte(event), when)
}

// SeenBefore reads the beginning of the index by time.
func (t *transaction) SeenBefore(at time.Time, limit int) (events []string, err error) {
	const op = "seen before"
	latest := store.TimeKey(at)
	err = t.in(op, bucketSeenAt, func(b bucket) error {
		c := b.is.Cursor()
		for k, _ := c.First(); k != nil && len(events) < limit; k, _ = c.Next() {
			if len(k) < store.TimeSize {
				return damaged(op, "a time is cut short")
			}
			if bytes.Compare(k[:store.TimeSize], latest) >= 0 {
				return nil
			}
			events = append(events, string(k[store.TimeSize:]))
		}
		return nil
	})
	return events, err
}

func (t *transaction) forgetEvent(event string) error {
	return t.remove("forget event", bucketSeen, []byte(event))
}

func (t *transaction) Household(id string) (*planner.Household, error) {
	h := new(planner.Household)
	if err := t.load("household", bucketHouseholds, []byte(id), h); err != nil {
		return nil, err
	}
	return h, nil
}

// Revision reads no more of a household than its revision.
func (t *transaction) Revision(household string) (uint64, error) {
	var h struct {
		Rev uint64 `json:"rev"`
	}
	err := t.load("revision", bucketHouseholds, []byte(household), &h)
	return h.Rev, err
}

func (t *transaction) Dialogue(chat, person string) (d store.Dialogue, err error) {
	err = t.load("dialogue", bucketDialogues, pairKey(chat, person), &d)
	return d, err
}

func (t *transaction) Adapter(chat string) ([]byte, error) {
	notes, err := t.get("adapter", bucketAdapters, partKey(chat))
	return notes, store.OrNone(err)
}

// dueKey is the key of a household in the index by time.
func dueKey(at time.Time, household string) []byte {
	return append(store.TimeKey(at), household...)
}

// Due takes a household without a record for one that has nothing due.
func (t *transaction) Due(household string) (d store.Due, err error) {
	err = t.load("due", bucketDue, []byte(household), &d)
	return d, store.OrNone(err)
}

// DueBy reads the beginning of the index and the records that it names.
func (t *transaction) DueBy(at time.Time, limit int) (out []store.Due, err error) {
	const op = "due by"
	latest := store.TimeKey(at)
	err = t.in(op, bucketDueAt, func(b bucket) error {
		all := t.bucket(bucketDue)
		c := b.is.Cursor()
		for k, _ := c.First(); k != nil && len(out) < limit; k, _ = c.Next() {
			if len(k) <= store.TimeSize {
				return damaged(op, "a time is cut short")
			}
			if bytes.Compare(k[:store.TimeSize], latest) > 0 {
				return nil
			}
			household := k[store.TimeSize:]
			record, err := opened(op, household, all.Get(household))
			var d store.Due
			if err == nil && record != nil {
				err = store.Decode(op, record, &d)
			}
			if err != nil {
				return err
			}
			if !bytes.Equal(dueKey(d.At, d.Household), k) {
				return damaged(op, "the index names a time at which nothing is due")
			}
			out = append(out, d)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// Sizes implements store.Snapshot. What nobody refuses is counted by what is
// refused, which is little.
func (t *transaction) Sizes() (out store.Sizes, err error) {
	const op = "sizes"
	err = t.protected(op, func() error {
		for name, n := range map[*[]byte]*int{
			&bucketHouseholds: &out.Households, &bucketOutboxChat: &out.Outbox, &bucketInbox: &out.Inbox, &bucketDead: &out.Dead,
		} {
			*n = int(t.size(*name))
		}
		out.Bytes = t.tx.Size()
		refuses := map[string]bool{}
		err := t.bucket(bucketBlocked).is.ForEach(func(k, _ []byte) error {
			chat, ok := chatOf(k)
			if !ok {
				return damaged(op, "a chat is cut short")
			}
			refuses[chat] = true
			waiting, err := t.keys(op, bucketOutboxChat, partKey(chat))
			out.Refused += len(waiting)
			return err
		})
		if out.Outbox -= out.Refused; err != nil || out.Outbox == 0 {
			return err
		}
		out.Oldest, err = t.oldest(op, refuses)
		return err
	})
	return out, err
}

// oldest is when the first message for a chat that does not refuse it was put
// into the outbox.
func (t *transaction) oldest(op string, refuses map[string]bool) (time.Time, error) {
	c := t.bucket(bucketOutbox).is.Cursor()
	for k, v := c.First(); k != nil; k, v = c.Next() {
		record, err := opened(op, k, v)
		if err != nil {
			return time.Time{}, err
		}
		var m store.Outgoing
		if err := store.Decode(op, record, &m); err != nil {
			return time.Time{}, err
		}
		if !refuses[m.Chat] {
			return m.At, nil
		}
	}
	return time.Time{}, nil
}
