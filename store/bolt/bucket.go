package bolt

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"

	"go.etcd.io/bbolt"
)

// bucket is a bucket of the file as a transaction sees it. Its sequence counts
// its keys, which bbolt itself cannot do without walking them; that of the
// outbox gives the numbers of messages instead.
type bucket struct {
	t  *transaction
	is *bbolt.Bucket
	of string // its name
}

// Get returns the value of a key with its checksum, nil where there is none. It
// may point into the file.
func (b bucket) Get(key []byte) []byte { return b.is.Get(key) }

// Put sets a record, to which it adds its checksum.
func (b bucket) Put(key, record []byte) error {
	b.t.wrote = true
	fresh := b.is.Get(key) == nil
	if err := b.is.Put(key, seal(key, record)); err != nil || !fresh {
		return err
	}
	return b.count(1)
}

// Delete takes a key out; one that is not there is no error.
func (b bucket) Delete(key []byte) error {
	if b.is.Get(key) == nil {
		return nil
	}
	b.t.wrote = true
	if err := b.is.Delete(key); err != nil {
		return err
	}
	return b.count(-1)
}

func (b bucket) count(more int) error {
	if !counts(b.of) {
		return nil
	}
	return b.is.SetSequence(b.is.Sequence() + uint64(more))
}

// counts says whether the sequence of a bucket is how many keys it has.
func counts(name string) bool { return name != string(bucketOutbox) }

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

// Every record carries the CRC-32C of its key and itself in its last four
// bytes: bbolt has no checksums for what it keeps, and a weight of which the
// disk changed one digit would still be a weight.

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

const sealSize = 4

func sumOf(key, record []byte) uint32 {
	return crc32.Update(crc32.Checksum(key, castagnoli), castagnoli, record)
}

// seal returns a record with its checksum.
func seal(key, record []byte) []byte {
	sealed := make([]byte, 0, len(record)+sealSize)
	return binary.BigEndian.AppendUint32(append(sealed, record...), sumOf(key, record))
}

// opened returns the record of what bbolt holds under a key, nil where it
// holds nothing. It still points into the file.
func opened(op string, key, sealed []byte) ([]byte, error) {
	if sealed == nil {
		return nil, nil
	}
	n := len(sealed) - sealSize
	if n < 0 || binary.BigEndian.Uint32(sealed[n:]) != sumOf(key, sealed[:n]) {
		return nil, damaged(op, "a record of %d bytes does not match its checksum", len(sealed))
	}
	return sealed[:n], nil
}

// copied is opened with a copy of the record.
func copied(op string, key, sealed []byte) ([]byte, error) {
	record, err := opened(op, key, sealed)
	return bytes.Clone(record), err
}

func missing(op string, bucket []byte) error {
	return damaged(op, "bucket %s is missing", bucket)
}
