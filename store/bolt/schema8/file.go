package schema8

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"maps"
	"slices"

	"go.etcd.io/bbolt"
)

// Newest is the last schema version that this package reads.
const Newest = 8

// ErrDamaged is what damage of a file or log is told by.
var ErrDamaged = errors.New("damaged")

func damaged(format string, args ...any) error {
	return fmt.Errorf("%w: %w", ErrDamaged, fmt.Errorf(format, args...))
}

// brought lists the buckets that came with a schema version.
var brought = [Newest + 1][]string{
	1: {"seen", "seen_at", "members", "households", "dialogues", "changes", "adapters", "outbox", "outbox_chat"},
	2: {"blocked", "dead"},
	3: {"inbox"},
	4: {"members_of", "invites", "invites_of", "endings"},
	5: {"journal", "journal_ids", "due", "due_at"},
}

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

const sealSize = 4

// sealed takes the checksum off a record: the CRC-32C of its key and itself in
// its last four bytes.
func sealed(bucket string, key, value []byte) ([]byte, error) {
	n := len(value) - sealSize
	if n >= 0 && binary.BigEndian.Uint32(value[n:]) == crc32.Update(crc32.Checksum(key, castagnoli), castagnoli, value[:n]) {
		return value[:n], nil
	}
	return nil, damaged("a record of %s, of %d bytes, does not match its checksum", bucket, len(value))
}

// File is what one of the earlier versions kept.
type File struct {
	Version uint64 // its schema
	Numbers uint64 // the last number that was given to a message
	LogID   uint64 // of the log that belongs to it; 0 where it never had one
	Logged  uint64 // how many updates the log had and the file lacked

	tx  *bbolt.Tx
	log changes
}

// Read reads what a transaction on a file of a schema version sees, with the
// log beside the file at a path. It is good as long as the transaction is open.
func Read(tx *bbolt.Tx, version uint64, path string) (*File, error) {
	f := &File{Version: version, tx: tx}
	last := uint64(0)
	switch v := tx.Bucket([]byte("meta")).Get([]byte("redo")); len(v) {
	case 0:
	case 16:
		f.LogID, last = binary.BigEndian.Uint64(v), binary.BigEndian.Uint64(v[8:])
	default:
		return nil, damaged("the name of the redo log is cut short")
	}
	for _, name := range f.buckets() {
		if tx.Bucket([]byte(name)) == nil {
			return nil, damaged("bucket %s is missing", name)
		}
	}
	var err error
	if f.log, err = readLog(path+LogSuffix, f.LogID, last); err != nil {
		return nil, err
	}
	f.Logged = f.log.last - last
	if version > 0 {
		f.Numbers = f.sequence("outbox")
	}
	return f, nil
}

func (f *File) buckets() (names []string) {
	for _, more := range brought[:min(f.Version, Newest)+1] {
		names = append(names, more...)
	}
	return names
}

func (f *File) sequence(bucket string) uint64 {
	if n, ok := f.log.counters[bucket]; ok {
		return n
	}
	return f.tx.Bucket([]byte(bucket)).Sequence()
}

// Each calls put with every record, those of a bucket in the order of their
// keys. Key and record are good until it returns.
func (f *File) Each(put func(bucket string, key, record []byte) error) error {
	for _, name := range f.buckets() {
		n := uint64(0)
		err := f.each(name, func(key, value []byte) error {
			n++
			record, err := sealed(name, key, value)
			if err == nil {
				record, err = translated(name, record)
			}
			if err != nil {
				return err
			}
			if name == "members" && f.Version < 4 {
				// The index by household came with schema 4.
				of := append(binary.AppendUvarint(nil, uint64(len(record))), record...)
				if err := put("members_of", append(of, key...), nil); err != nil {
					return err
				}
			}
			return put(name, key, record)
		})
		if err != nil {
			return err
		}
		if name == "households" && f.Version >= 6 && n != f.sequence(name) {
			return damaged("%d households, and %d were counted", n, f.sequence(name))
		}
	}
	return nil
}

// each walks a bucket of the file and what the log says over it.
func (f *File) each(name string, do func(key, value []byte) error) error {
	over := f.log.values[name]
	keys := slices.Sorted(maps.Keys(over))
	c := f.tx.Bucket([]byte(name)).Cursor()
	var before []byte
	k, v := c.First()
	for k != nil || len(keys) > 0 {
		key, value := k, v
		switch {
		case k != nil && (len(keys) == 0 || string(k) < keys[0]):
			k, v = c.Next()
		default:
			if k != nil && string(k) == keys[0] {
				k, v = c.Next()
			}
			key, value = []byte(keys[0]), over[keys[0]]
			if keys = keys[1:]; value == nil {
				continue
			}
		}
		if before != nil && bytes.Compare(before, key) >= 0 {
			return damaged("the keys of %s are out of order", name)
		}
		if before = append(before[:0], key...); value == nil {
			return damaged("%s holds a bucket", name)
		}
		if err := do(key, value); err != nil {
			return err
		}
	}
	return nil
}
