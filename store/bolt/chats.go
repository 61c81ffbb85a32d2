package bolt

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"math"
	"strings"
	"time"

	"bowlwright/store"
)

// newest returns the number of the newest change of a household, NotFound where
// there is none.
func (t *transaction) newest(op, household string) (n uint64, err error) {
	numbers, err := t.keys(op, bucketChanges, partKey(household))
	if err != nil {
		return 0, err
	}
	if len(numbers) == 0 {
		return 0, &store.Error{Code: store.NotFound, Op: op}
	}
	n, ok := number(numbers[len(numbers)-1], nil)
	if !ok {
		return 0, damaged(op, "the number of a change is cut short")
	}
	return n, nil
}

// PushChange numbers the changes of a household without gaps: only the newest
// and the oldest are ever taken away.
func (t *transaction) PushChange(household string, c store.Change) error {
	const op = "push change"
	n, err := t.newest(op, household)
	if err != nil && !store.IsNotFound(err) {
		return err
	}
	err = t.save(op, bucketChanges, numberKey(household, n+1), c)
	if err != nil || n < store.MaxChanges {
		return err
	}
	return t.remove(op, bucketChanges, numberKey(household, n+1-store.MaxChanges))
}

func (t *transaction) Change(household string, before int) (c store.Change, err error) {
	const op = "change"
	n, err := t.newest(op, household)
	if err == nil {
		err = t.load(op, bucketChanges, numberKey(household, n-uint64(before)), &c)
	}
	return c, err
}

func (t *transaction) PopChange(household string) error {
	const op = "pop change"
	n, err := t.newest(op, household)
	if err != nil {
		return store.OrNone(err)
	}
	return t.remove(op, bucketChanges, numberKey(household, n))
}

// Enqueue takes the number from the bucket's own counter, which lasts and
// never falls. A number that was rolled back was given to nobody.
func (t *transaction) Enqueue(m store.Outgoing) (uint64, error) {
	const op = "enqueue"
	err := t.in(op, bucketOutbox, func(b bucket) error {
		t.wrote = true
		n, err := b.is.NextSequence()
		m = m.Numbered(n)
		return err
	})
	if err != nil {
		return 0, err
	}
	return m.Number, t.putMessage(m)
}

// putMessage keeps a message under its number.
func (t *transaction) putMessage(m store.Outgoing) error {
	return t.save("put message", bucketOutbox, orderKey(m.Number), m)
}

func (t *transaction) Pending(chat string, limit int) ([]store.Outgoing, error) {
	const op = "pending"
	if chat == "" {
		return behind[store.Outgoing](t, op, bucketOutbox, nil, "", limit)
	}
	records, err := t.pendingOf(op, chat, limit)
	return decoded[store.Outgoing](op, records, err)
}

// pendingOf reads the index of a chat, so that it costs what is pending for
// that chat and not what is pending in all.
func (t *transaction) pendingOf(op, chat string, limit int) ([][]byte, error) {
	var keys [][]byte
	name := partKey(chat)
	err := t.in(op, bucketOutboxChat, func(b bucket) error {
		c := b.is.Cursor()
		for k, _ := c.Seek(name); len(keys) < limit; k, _ = c.Next() {
			n, ok := number(k, name)
			if !ok {
				return nil
			}
			keys = append(keys, orderKey(n))
		}
		return nil
	})
	return named(op, "a message", keys, err, func(key string) ([]byte, error) { return t.get(op, bucketOutbox, []byte(key)) })
}

func (t *transaction) Delivered(n uint64) error {
	return t.remove("delivered", bucketOutbox, orderKey(n))
}

// PendingChats walks the index of the outbox by chat and jumps from one chat
// to the next, so that it costs the chats it passes and not their messages.
func (t *transaction) PendingChats(prefix, after string, limit int) (chats []store.PendingChat, err error) {
	const op = "pending chats"
	err = t.in(op, bucketOutboxChat, func(b bucket) error {
		c := b.is.Cursor()
		var k []byte
		if after == "" {
			k, _ = c.First()
		} else {
			k, _ = c.Seek(afterChat(after))
		}
		for len(chats) < limit && k != nil {
			chat, ok := chatOf(k)
			if !ok || len(k) != len(partKey(chat))+8 {
				return damaged(op, "a chat is cut short")
			}
			if strings.HasPrefix(chat, prefix) {
				chats = append(chats, store.PendingChat{Chat: chat, Oldest: binary.BigEndian.Uint64(k[len(k)-8:])})
			}
			k, _ = c.Seek(afterChat(chat))
		}
		return nil
	})
	return chats, err
}

// Blocked takes a chat without a record for one that is not blocked.
func (t *transaction) Blocked(chat string) (since time.Time, err error) {
	const op = "blocked"
	err = t.load(op, bucketBlocked, partKey(chat), &since)
	return since, store.OrNone(err)
}

func (t *transaction) Dead(limit int) ([]store.Dead, error) {
	return behind[store.Dead](t, "dead", bucketDead, nil, "", limit)
}

// forgetChat reads all dead messages, which are few.
func (t *transaction) forgetChat(chat string) error {
	const op = "forget chat"
	for _, bucket := range [][]byte{bucketDialogues, bucketAdapters, bucketBlocked} {
		if err := t.removeAll(op, bucket, partKey(chat)); err != nil {
			return err
		}
	}
	pending, err := t.Pending(chat, math.MaxInt)
	for _, m := range pending {
		err = cmp.Or(err, t.Delivered(m.Number))
	}
	dead, failed := t.Dead(math.MaxInt)
	for _, d := range dead {
		if d.Message.Chat == chat {
			err = cmp.Or(err, t.remove(op, bucketDead, orderKey(d.Message.Number)))
		}
	}
	return cmp.Or(err, failed)
}

// updateKey sorts by id, negative ones first.
func updateKey(id int64) []byte { return orderKey(uint64(id) ^ 1<<63) }

// The chat stands behind the id in the key, so that a record of a version that
// knew no chat is one of none.

func (t *transaction) putUpdate(u store.PutUpdate) error {
	if err := t.deleteUpdate(u.ID); err != nil {
		return err
	}
	return t.put("put update", bucketInbox, append(updateKey(u.ID), u.Chat...), u.Body)
}

func (t *transaction) Updates(after int64, limit int) (out []store.Update, err error) {
	const op = "updates"
	err = t.in(op, bucketInbox, func(b bucket) error {
		c := b.is.Cursor()
		k, v := c.Seek(updateKey(after))
		for ; k != nil && len(out) < limit; k, v = c.Next() {
			if len(k) < 8 {
				return damaged(op, "an update's key is cut short")
			}
			id := int64(binary.BigEndian.Uint64(k) ^ 1<<63)
			if id == after {
				continue
			}
			body, err := copied(op, k, v)
			if err != nil {
				return err
			}
			out = append(out, store.Update{ID: id, Chat: string(k[8:]), Body: body})
		}
		return nil
	})
	return out, err
}

func (t *transaction) deleteUpdate(id int64) error {
	return t.removeAll("delete update", bucketInbox, updateKey(id)) // one, or none
}

// moveChat moves what is kept of a chat.
func (t *transaction) moveChat(from, to string) error {
	if from == to {
		return nil
	}
	for _, bucket := range [][]byte{bucketDialogues, bucketAdapters, bucketBlocked, bucketMembers} {
		if err := t.rename(bucket, partKey(from), partKey(to)); err != nil {
			return err
		}
	}
	return t.moveOutbox(from, to)
}

// rename gives the keys of a bucket that begin in one way another beginning.
func (t *transaction) rename(bucket, from, to []byte) error {
	const op = "move chat"
	return t.eachBehind(op, bucket, from, func(rest []byte) error {
		before := append(bytes.Clone(from), rest...)
		record, err := t.get(op, bucket, before)
		if err != nil {
			return err
		}
		if err := t.put(op, bucket, append(bytes.Clone(to), rest...), record); err != nil {
			return err
		}
		return t.remove(op, bucket, before)
	})
}

// moveOutbox keeps the numbers, and so the order, of the messages.
func (t *transaction) moveOutbox(from, to string) error {
	for {
		ms, err := t.Pending(from, 100)
		if err != nil || len(ms) == 0 {
			return err
		}
		for _, m := range ms {
			m.Chat = to
			if err := t.putMessage(m); err != nil {
				return err
			}
		}
	}
}
