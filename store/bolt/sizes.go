package bolt

import (
	"time"

	"bowlwright/store"
)

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
