package schema8

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
)

// The redo log stood beside the file, under its name and LogSuffix, while the
// store was open and after a crash. It has two halves, which took turns. A
// half begins with a header:
//
//	magic    8 bytes
//	id       uint64, which the file names too
//	first    uint64, the number of its first update
//	checksum uint32 of these, CRC-32C
//
// and updates follow it, each numbered one above the one before:
//
//	checksum uint32, of the checksum before it, the id, and what follows
//	size     uint32 of the changes; its highest bit is set in the first of
//	         those that were written at once
//	number   uint64
//	changes
//
// What was written at once was durable before the next was written: where
// something whole begins behind a place at which the log cannot be read, it is
// damaged there, and does not only end. Integers are big-endian. A change is
// the number of its bucket plus one, the length of the key, the key, and the
// length of the value plus one and the value, or 0 where the key is gone; or
// 0, the number of a bucket, and its counter. Numbers and lengths are varints.
const (
	LogSuffix = ".redo"

	logMagic    = "bwredo-1"
	headSize    = 8 + 8 + 8 + 4
	frameSize   = 4 + 4 + 8
	beginsWrite = 1 << 31  // in the size of an update
	half        = 16 << 20 // bytes of a half at most
)

// logged lists the buckets by the numbers that stand for them in a log.
var logged = []string{
	"seen", "seen_at", "members", "households", "dialogues", "changes", "adapters",
	"outbox", "outbox_chat", "blocked", "dead", "inbox", "members_of", "invites",
	"invites_of", "endings", "journal", "journal_ids", "due", "due_at",
}

// changes is what a log says over its file.
type changes struct {
	values   map[string]map[string][]byte // by bucket and key, nil where the key is gone
	counters map[string]uint64            // by bucket
	last     uint64                       // the update that it is up to
}

// readLog reads the log with an id beside a file that has the updates up to a
// last one. That there is none, or nothing in it, is no error.
func readLog(path string, id, last uint64) (changes, error) {
	c := changes{values: map[string]map[string][]byte{}, counters: map[string]uint64{}, last: last}
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return c, nil
	}
	if err != nil {
		return c, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return c, damaged("the redo log is not a regular file")
	}
	var halves [2]segment
	for i := range halves {
		data, err := io.ReadAll(io.NewSectionReader(f, int64(i)*half, half))
		if err != nil {
			return c, err
		}
		if halves[i], err = readHalf(data, id, last); err != nil {
			return c, damaged("the redo log %w", err)
		}
	}
	if halves[1].first < halves[0].first {
		halves[0], halves[1] = halves[1], halves[0]
	}
	for _, s := range halves {
		if err := c.replay(s); err != nil {
			return c, err
		}
	}
	return c, nil
}

// LogOf returns the id of the file that a log belongs to, 0 where nothing is in
// it.
func LogOf(path string) (id uint64, err error) {
	f, err := os.Open(path)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	for i := range int64(2) {
		data, err := io.ReadAll(io.NewSectionReader(f, i*half, half))
		if err != nil {
			return 0, err
		}
		if len(data) < headSize || string(data[:8]) != logMagic {
			continue
		}
		is := binary.BigEndian.Uint64(data[8:])
		if s, err := readHalf(data, is, 0); err != nil || s.n > 0 {
			return is, nil
		}
	}
	return 0, nil
}

// replay brings in the updates of a half that follow the last.
func (c *changes) replay(s segment) error {
	for i, update := range s.updates {
		number := s.first + s.n - uint64(len(s.updates)-i)
		if number != c.last+1 {
			return damaged("the redo log goes on at update %d, the file ends at %d", number, c.last)
		}
		if !c.read(&fields{rest: update}) {
			return damaged("update %d of the redo log cannot be read", number)
		}
		c.last = number
	}
	return nil
}

// read brings in the changes of an update.
func (c *changes) read(f *fields) bool {
	for len(f.rest) > 0 && !f.bad {
		kind := f.number()
		if kind == 0 {
			bucket, n := f.number(), f.number()
			if f.bad || bucket >= uint64(len(logged)) {
				return false
			}
			c.counters[logged[bucket]] = n
			continue
		}
		key, size := f.bytes(), f.number()
		if f.bad || kind > uint64(len(logged)) || len(key) == 0 || size > uint64(len(f.rest))+1 {
			return false
		}
		var value []byte
		if size > 0 {
			value, f.rest = f.rest[:size-1:size-1], f.rest[size-1:]
		}
		bucket := logged[kind-1]
		if c.values[bucket] == nil {
			c.values[bucket] = map[string][]byte{}
		}
		c.values[bucket][string(key)] = value
	}
	return !f.bad
}

// frame is an update in the log.
type frame struct {
	sum    uint32
	begins bool // the first of those that were written at once
	number uint64
	end    int // how many bytes it takes
}

// frameAt reads the update at the beginning of some bytes; ok is false where
// it is not there as a whole. Its checksum is not looked at.
func frameAt(data []byte) (f frame, ok bool) {
	if len(data) < frameSize {
		return f, false
	}
	size := binary.BigEndian.Uint32(data[4:])
	f = frame{
		sum: binary.BigEndian.Uint32(data), begins: size&beginsWrite != 0,
		number: binary.BigEndian.Uint64(data[8:]),
	}
	if size &^= beginsWrite; int64(size) > int64(len(data)-frameSize) {
		return f, false
	}
	f.end = frameSize + int(size)
	return f, true
}

// chained is the checksum of an update, in the log with an id, behind another
// with a checksum.
func chained(before uint32, id uint64, update []byte) uint32 {
	var b [12]byte
	binary.BigEndian.PutUint32(b[:], before)
	binary.BigEndian.PutUint64(b[4:], id)
	return crc32.Update(crc32.Checksum(b[:], castagnoli), castagnoli, update[4:])
}

// segment is what a half holds.
type segment struct {
	first   uint64
	n       uint64   // how many updates
	updates [][]byte // the changes of the last of them, those that were asked for
}

// readHalf reads as much of a half as is whole, of a log that should have an
// id, and keeps the changes of updates above a number. There may be none. An
// error says why the half is damaged: where it only ends, in whatever state, a
// crash left it so.
func readHalf(data []byte, id, above uint64) (s segment, err error) {
	for i, b := range data[:min(len(logMagic), len(data))] {
		if b != logMagic[i] && b != 0 { // a write may have ended in the middle
			return s, errors.New("is not one")
		}
	}
	if len(data) < headSize {
		return s, nil
	}
	sum := crc32.Checksum(data[:24], castagnoli)
	head, rest := binary.BigEndian.Uint32(data[24:]), data[headSize:]
	if string(data[:8]) != logMagic || sum != head {
		f, ok := frameAt(rest)
		ok = ok && f.number > above && (chained(head, id, rest[:f.end]) == f.sum || chained(sum, id, rest[:f.end]) == f.sum)
		if ok || goesOn(rest, head, id, above) {
			return s, errors.New("has a damaged header")
		}
		return s, nil
	}
	if is := binary.BigEndian.Uint64(data[8:]); is != id {
		if f, ok := frameAt(rest); ok && chained(sum, is, rest[:f.end]) == f.sum {
			return s, errors.New("belongs to another file")
		}
		return s, nil // nothing is in it
	}
	s.first = binary.BigEndian.Uint64(data[16:])
	for {
		f, ok := frameAt(rest)
		if !ok || f.number != s.first+s.n || chained(sum, id, rest[:f.end]) != f.sum {
			break
		}
		if f.number > above {
			s.updates = append(s.updates, bytes.Clone(rest[frameSize:f.end]))
		}
		s.n++
		sum, rest = f.sum, rest[f.end:]
	}
	// What the file has may have been overwritten, in whatever order.
	if goesOn(rest, sum, id, max(s.first+s.n, above)) {
		return s, fmt.Errorf("is damaged at update %d, and goes on behind it", s.first+s.n)
	}
	return s, nil
}

// goesOn reports that something with a higher number was written behind a place
// at which the log cannot be read, where an update should follow one with a
// checksum.
func goesOn(data []byte, sum uint32, id, number uint64) bool {
	for at := 0; at+2*frameSize <= len(data); at++ {
		n := binary.BigEndian.Uint64(data[at+8:])
		if n < number || n-number > uint64(len(data)/frameSize) {
			continue
		}
		f, ok := frameAt(data[at:])
		if !ok {
			continue
		}
		next, ok := frameAt(data[at+f.end:])
		if !ok || !next.begins || next.number != n+1 {
			continue
		}
		behind := data[at+f.end:][:next.end]
		if chained(f.sum, id, behind) == next.sum ||
			at == 0 && chained(chained(sum, id, data[:f.end]), id, behind) == next.sum {
			return true
		}
	}
	return false
}
