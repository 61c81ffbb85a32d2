package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// readChanges brings the changes of an update into a layer.
func (l *layer) readChanges(data []byte) error {
	f := fields{rest: data}
	for len(f.rest) > 0 && !f.bad {
		kind := f.number()
		if kind == 0 {
			bucket := f.number()
			n := f.number()
			if f.bad || bucket >= uint64(len(kept)) {
				return errRedo
			}
			l.counters[bucket] = counter{n, true}
			continue
		}
		key := f.bytes()
		size := f.number()
		if f.bad || kind > uint64(len(kept)) || len(key) == 0 || size > uint64(len(f.rest))+1 {
			return errRedo
		}
		c := &change{key: key}
		if size > 0 {
			c.value = f.rest[: size-1 : size-1]
			f.rest = f.rest[size-1:]
		}
		l.set(int(kind)-1, c)
	}
	if f.bad {
		return errRedo
	}
	return nil
}

var errRedo = errors.New("the redo log names no change")

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

// segment is what a half holds.
type segment struct {
	first   uint64
	n       uint64   // how many updates
	updates [][]byte // the changes of the last of them, those that were asked for
}

func (s segment) last() uint64 { return s.first + s.n - 1 }

// readHalf reads as much of a half as is whole, of a log that should have an id,
// and keeps the changes of updates above a number. There may be none. An error says why the half is
// damaged: where it only ends, in whatever state, a crash left it so.
func readHalf(data []byte, id, above uint64) (s segment, err error) {
	for i, b := range data[:min(len(redoMagic), len(data))] {
		if b != redoMagic[i] && b != 0 { // a write may have ended in the middle
			return s, errors.New("is not one")
		}
	}
	if len(data) < headSize {
		return s, nil
	}
	sum := crc32.Checksum(data[:24], castagnoli)
	head, rest := binary.BigEndian.Uint32(data[24:]), data[headSize:]
	if string(data[:8]) != redoMagic || sum != head {
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
	// What the file has may be overwritten just now, in whatever order.
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

// recover opens the log that a crash left behind, if any, and brings into a
// layer what the file lacks: the updates above l.last. A log with nothing in
// it is removed. Where it fails the log is left alone.
func (r *redo) recover(l *layer) error {
	f, err := os.OpenFile(r.path, os.O_RDWR, 0o600)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	info, err := f.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = &Error{Code: Damaged, Op: "open", Err: errors.New("the redo log is not a regular file")}
	}
	var halves [2]segment
	if err == nil {
		halves, err = r.read(f, info.Size(), l.last)
	}
	if err == nil && halves[0].n+halves[1].n == 0 {
		return errors.Join(f.Close(), removed(r.path))
	}
	if err == nil {
		err = r.takeUp(f, halves, l)
	}
	if err != nil {
		r.f = nil
		f.Close()
	}
	return err
}

// takeUp goes on with the log that halves were read of.
func (r *redo) takeUp(f *os.File, halves [2]segment, l *layer) error {
	newer := 0 // the half that was begun last
	if halves[1].first > halves[0].first {
		newer = 1
	}
	for i, s := range halves {
		if s.n > 0 {
			r.last[i], r.busy[i] = s.last(), s.last() > l.last
		}
	}
	for _, i := range []int{1 - newer, newer} {
		if err := l.replay(halves[i]); err != nil {
			return err
		}
	}
	// What a program wrote and did not wait for is there, and may not be on the
	// disk: nobody is to see it before it is.
	r.f = f
	if err := r.durable(); err != nil {
		return err
	}
	// What comes next begins a half, the one that was used longer ago.
	r.active = 1 - newer
	return nil
}

// read reads both halves of a log of so many bytes, one after the other.
func (r *redo) read(f io.ReaderAt, length int64, above uint64) (halves [2]segment, err error) {
	var data []byte
	for i := range halves {
		start := int64(i) * r.half
		size := min(max(length-start, 0), r.half)
		r.placed[i] = size / redoGrow * redoGrow
		if data == nil {
			data = make([]byte, size)
		}
		n, err := f.ReadAt(data[:min(size, int64(len(data)))], start)
		if err != nil && err != io.EOF {
			return halves, err
		}
		s, err := readHalf(data[:n], r.id, above)
		if err != nil {
			return halves, &Error{Code: Damaged, Op: "open", Err: fmt.Errorf("the redo log %s %w", filepath.Base(r.path), err)}
		}
		halves[i] = s
	}
	return halves, nil
}

// replay brings in the updates of a half that follow the layer's last.
func (l *layer) replay(s segment) error {
	for i, changes := range s.updates {
		number := s.last() - uint64(len(s.updates)-1-i)
		if number != l.last+1 {
			return &Error{Code: Damaged, Op: "open", Err: fmt.Errorf("the redo log goes on at update %d, the file ends at %d", number, l.last)}
		}
		if err := l.readChanges(changes); err != nil {
			return &Error{Code: Damaged, Op: "open", Err: err}
		}
		l.last = number
	}
	return nil
}
