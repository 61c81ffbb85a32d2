package storetest

import (
	"bytes"
	"encoding/binary"
	"maps"
	"slices"
	"strings"
	"time"

	"bowlwright/store"
)

// PendingChats has the order of keys that carry the length of the name.
func (t *snapshot) PendingChats(prefix, after string, limit int) (chats []store.PendingChat, err error) {
	key := func(chat string) []byte {
		return append(binary.AppendUvarint(nil, uint64(len(chat))), chat...)
	}
	oldest := map[string]uint64{}
	for n, m := range t.outbox {
		if first, ok := oldest[m.Chat]; !ok || n < first {
			oldest[m.Chat] = n
		}
	}
	order := func(a, b string) int { return bytes.Compare(key(a), key(b)) }
	for _, chat := range slices.SortedFunc(maps.Keys(oldest), order) {
		if len(chats) < limit && strings.HasPrefix(chat, prefix) && (after == "" || order(chat, after) > 0) {
			chats = append(chats, store.PendingChat{Chat: chat, Oldest: oldest[chat]})
		}
	}
	return chats, t.reads("pending chats")
}

func (t *snapshot) Blocked(chat string) (time.Time, error) {
	return t.blocked[chat], t.reads("blocked")
}

func (t *snapshot) Dead(limit int) (out []store.Dead, err error) {
	for _, n := range slices.Sorted(maps.Keys(t.dead)) {
		if d := t.dead[n]; len(out) < limit {
			d.Message.Body = bytes.Clone(d.Message.Body)
			out = append(out, d)
		}
	}
	return out, t.reads("dead")
}
