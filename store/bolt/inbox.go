package bolt

import (
	"encoding/binary"

	"bowlwright/store"
)

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
