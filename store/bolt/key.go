package bolt

import (
	"bytes"
	"encoding/binary"
)

// A key of several parts carries the length before every part but the last,
// so that no name can run into the next and the keys of one name stand
// together.

// partKey begins a key with a name that more follows.
func partKey(name string) []byte {
	return appendPart(make([]byte, 0, len(name)+32), name)
}

func appendPart(k []byte, name string) []byte {
	return append(binary.AppendUvarint(k, uint64(len(name))), name...)
}

// pairKey is the key of what belongs to a person in a chat.
func pairKey(chat, person string) []byte {
	return append(partKey(chat), person...)
}

// numberKey is a name and a number, in the order of the numbers.
func numberKey(name string, n uint64) []byte {
	return binary.BigEndian.AppendUint64(partKey(name), n)
}

// number reads the number at the end of a key; ok is false where the key
// does not belong to the name.
func number(key, name []byte) (n uint64, ok bool) {
	if len(key) != len(name)+8 || !bytes.HasPrefix(key, name) {
		return 0, false
	}
	return binary.BigEndian.Uint64(key[len(name):]), true
}

// chatOf reads the name at the beginning of a numberKey.
func chatOf(key []byte) (name string, ok bool) {
	size, n := binary.Uvarint(key)
	if n <= 0 || size > uint64(len(key)-n) {
		return "", false
	}
	return string(key[n : n+int(size)]), true
}

// afterChat is a key that stands behind every numberKey of a name and before
// those of any other.
func afterChat(name string) []byte {
	return append(numberKey(name, 1<<64-1), 0)
}

// orderKey is the key of a number alone.
func orderKey(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

// parted splits a name off the front of a key.
func parted(key []byte) (name string, rest []byte, ok bool) {
	name, ok = chatOf(key)
	if !ok {
		return "", nil, false
	}
	return name, key[len(partKey(name)):], true
}
