package store

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// The redo log stands beside the file, under its name and redoSuffix, while
// the store is open and after a crash. An update is durable when it is in the
// log; the file is brought up to date later, with many updates at once. Then a
// wait for the disk costs one small write in one place, where bbolt writes
// every page that it touched in two steps.
//
// The log has two halves, which take turns: while what one of them holds is
// brought into the file, updates go to the other. A half begins with a header:
//
//	magic    8 bytes
//	id       uint64, which the file names too
//	first    uint64, the number of its first update
//	checksum uint32 of these, CRC-32C
//
// and updates follow it, each numbered one above the one before:
//
//	checksum uint32, of the checksum before it and of what follows
//	size     uint32 of the changes
//	number   uint64
//	changes
//
// Since each checksum rests on the one before, nothing that an earlier use of
// the half left behind can be taken for its continuation. Integers are
// big-endian. A change is the number of its bucket plus one, the length of the
// key, the key, and the length of the value plus one and the value, or 0 where
// the key is gone; or 0, the number of a bucket, and its counter. Numbers and
// lengths are varints.
const (
	redoSuffix = ".redo"
	redoMagic  = "bwredo-1"
	headSize   = 8 + 8 + 8 + 4
	frameSize  = 4 + 4 + 8
)

// Our own choices, in bytes: how much a half holds at most, and by how much it
// grows. Writing where the disk has a place already takes half the time.
const (
	redoHalf = 16 << 20
	redoGrow = 256 << 10
)

// appendChange adds a change to those of an update.
func appendChange(to []byte, bucket int, c change) []byte {
	to = appendText(binary.AppendUvarint(to, uint64(bucket)+1), c.key)
	if c.value == nil {
		return append(to, 0)
	}
	return append(binary.AppendUvarint(to, uint64(len(c.value))+1), c.value...)
}

func appendCounter(to []byte, bucket int, n uint64) []byte {
	return binary.AppendUvarint(append(to, 0, byte(bucket)), n)
}

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
		c := change{key: key}
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

// redo is the log. It is touched by whoever holds Bolt.disk.
type redo struct {
	path   string
	f      *os.File // nil until the first update
	id     uint64
	noSync bool
	half   int64 // bytes of a half, the same in every program; another in tests

	active int      // the half that is written to
	at     int64    // where in it; 0 before its header
	sum    uint32   // the checksum that the next one rests on
	placed [2]int64 // bytes of each half that the disk has a place for
	last   [2]uint64
	busy   [2]bool // holds updates that the file may lack, up to last

	write func(f *os.File, b []byte, at int64) error // replaced where a test lets the disk fail
	sync  func(f *os.File) error
}

func newRedo(path string, noSync bool) *redo {
	return &redo{
		path: path + redoSuffix, noSync: noSync, half: redoHalf, sync: syncData,
		write: func(f *os.File, b []byte, at int64) error {
			_, err := f.WriteAt(b, at)
			return err
		},
	}
}

// fits reports that updates of so many bytes have a place in a half.
func (r *redo) fits(size int) bool { return int64(headSize+size) <= r.half }

// room reports that updates of so many bytes have a place now, in the active
// half or in the other. Where they have none the file must be brought up to
// date first.
func (r *redo) room(size int) bool {
	if r.at == 0 {
		return !r.busy[r.active]
	}
	return r.at+int64(size) <= r.half || !r.busy[1-r.active]
}

// turn has the next updates go to the other half, if that is free.
func (r *redo) turn() {
	if r.at > 0 && !r.busy[1-r.active] {
		r.active, r.at = 1-r.active, 0
	}
}

// free forgets what the file has: everything up to an update.
func (r *redo) free(upTo uint64) {
	for i := range r.busy {
		r.busy[i] = r.busy[i] && r.last[i] > upTo
	}
}

// append writes updates, numbered from first to last, for which there is room.
// buf has a place for the header before the first. Where it fails, nothing of
// them is in the log; stop says that nobody can tell.
func (r *redo) append(buf []byte, first, last uint64) (stop bool, err error) {
	if r.at > 0 && r.at+int64(len(buf)-headSize) > r.half {
		r.turn()
	}
	at, sum, out := r.at, r.sum, buf[headSize:]
	if at == 0 {
		out = buf
		sum = r.header(buf[:headSize], first)
	}
	sum = seals(buf[headSize:], sum)
	start := int64(r.active) * r.half
	if err := r.place(start, at+int64(len(out))); err != nil {
		return false, err
	}
	if err := r.write(r.f, out, start+at); err != nil {
		return false, err
	}
	if !r.noSync {
		if err := r.sync(r.f); err != nil {
			return true, err // the system may have dropped what it could not write
		}
	}
	r.at, r.sum = at+int64(len(out)), sum
	r.busy[r.active], r.last[r.active] = true, last
	return false, nil
}

// place makes sure that the disk has a place for a half up to some length.
func (r *redo) place(start, upTo int64) error {
	have := &r.placed[r.active]
	if upTo <= *have {
		return nil
	}
	more := min((upTo+redoGrow-1)/redoGrow*redoGrow, r.half)
	if err := r.write(r.f, make([]byte, more-*have), start+*have); err != nil {
		return err
	}
	*have = more
	return nil
}

// header writes the header of a half and returns its checksum.
func (r *redo) header(b []byte, first uint64) uint32 {
	copy(b, redoMagic)
	binary.BigEndian.PutUint64(b[8:], r.id)
	binary.BigEndian.PutUint64(b[16:], first)
	sum := crc32.Checksum(b[:24], castagnoli)
	binary.BigEndian.PutUint32(b[24:], sum)
	return sum
}

// appendFrame begins an update; its changes follow.
func appendFrame(buf []byte, number uint64) []byte {
	return binary.BigEndian.AppendUint64(append(buf, make([]byte, 8)...), number)
}

// endFrame ends the update that begins at a place.
func endFrame(buf []byte, begins int) {
	binary.BigEndian.PutUint32(buf[begins+4:], uint32(len(buf)-begins-frameSize))
}

// seals fills in the checksums of updates and returns the last.
func seals(frames []byte, sum uint32) uint32 {
	for len(frames) > 0 {
		end := frameSize + int(binary.BigEndian.Uint32(frames[4:]))
		sum = chained(sum, frames[4:end])
		binary.BigEndian.PutUint32(frames, sum)
		frames = frames[end:]
	}
	return sum
}

func chained(sum uint32, data []byte) uint32 {
	var before [4]byte
	binary.BigEndian.PutUint32(before[:], sum)
	return crc32.Update(crc32.Checksum(before[:], castagnoli), castagnoli, data)
}

// segment is what a half holds.
type segment struct {
	id, first uint64
	updates   [][]byte // their changes
}

func (s segment) last() uint64 { return s.first + uint64(len(s.updates)) - 1 }

// readHalf reads as much of a half as is whole; ok is false where there is no
// update.
func readHalf(f io.ReaderAt, start, size int64) (s segment, ok bool, err error) {
	data := make([]byte, size)
	n, err := f.ReadAt(data, start) // less than a half where it has not grown to that
	if err != nil && err != io.EOF {
		return s, false, err
	}
	data = data[:n]
	if len(data) < headSize || string(data[:8]) != redoMagic ||
		crc32.Checksum(data[:24], castagnoli) != binary.BigEndian.Uint32(data[24:]) {
		return s, false, nil
	}
	s.id, s.first = binary.BigEndian.Uint64(data[8:]), binary.BigEndian.Uint64(data[16:])
	sum := binary.BigEndian.Uint32(data[24:])
	for data = data[headSize:]; len(data) >= frameSize; {
		size := binary.BigEndian.Uint32(data[4:])
		if uint64(size) > uint64(len(data)-frameSize) {
			break
		}
		end := frameSize + int(size)
		if sum = chained(sum, data[4:end]); sum != binary.BigEndian.Uint32(data) ||
			binary.BigEndian.Uint64(data[8:]) != s.first+uint64(len(s.updates)) {
			break
		}
		s.updates = append(s.updates, data[frameSize:end:end])
		data = data[end:]
	}
	return s, len(s.updates) > 0, nil
}

// recover opens the log that a crash left behind, if any, and brings into a
// layer what the file lacks: the updates above l.last.
func (r *redo) recover(l *layer) error {
	const op = "open"
	f, err := os.OpenFile(r.path, os.O_RDWR, 0o600)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	r.f = f
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return &Error{Code: Damaged, Op: op, Err: errors.New("the redo log is not a regular file")}
	}
	var halves [2]segment
	for i := range halves {
		start := int64(i) * r.half
		s, ok, err := readHalf(f, start, r.half)
		if err != nil {
			return err
		}
		r.placed[i] = min(max(info.Size()-start, 0), r.half) / redoGrow * redoGrow
		if !ok {
			continue
		}
		if s.id != r.id {
			return &Error{Code: Damaged, Op: op, Err: fmt.Errorf("the redo log %s belongs to another file", filepath.Base(r.path))}
		}
		halves[i], r.last[i] = s, s.last()
		r.busy[i] = s.last() > l.last
	}
	r.active = cmp.Compare(halves[1].first, halves[0].first) // the half that was begun last
	r.active = max(r.active, 0)
	for _, i := range []int{1 - r.active, r.active} {
		if err := l.replay(halves[i]); err != nil {
			return err
		}
	}
	// What comes next begins a half, the one that was used longer ago.
	r.active = 1 - r.active
	return nil
}

// replay brings in the updates of a half that follow the layer's last.
func (l *layer) replay(s segment) error {
	for i, changes := range s.updates {
		number := s.first + uint64(i)
		if number <= l.last {
			continue
		}
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

// create makes the log; the file must name its id already.
func (r *redo) create() error {
	f, err := os.OpenFile(r.path, os.O_RDWR|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	if !r.noSync && renamesOpen {
		if err := syncDir(filepath.Dir(r.path)); err != nil {
			f.Close()
			return err
		}
	}
	r.f = f
	r.active, r.at, r.placed, r.busy = 0, 0, [2]int64{}, [2]bool{}
	return nil
}

// close lets go of the log, and removes it where the file has everything.
func (r *redo) close(remove bool) error {
	if r.f == nil {
		return nil
	}
	err := r.f.Close()
	r.f = nil
	if remove {
		err = errors.Join(err, os.Remove(r.path))
	}
	return err
}

func syncDir(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
