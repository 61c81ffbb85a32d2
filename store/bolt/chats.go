package bolt

import (
	"cmp"
	"encoding/binary"
	"math"
	"strings"
	"time"

	"bowlwright/store"
)

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
	records, err := t.behind("dead", bucketDead, nil, "", limit)
	return decoded[store.Dead]("dead", records, err)
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
