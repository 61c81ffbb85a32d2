package store

import (
	"encoding/binary"
	"errors"
	"hash/crc32"
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
//	checksum uint32, of the checksum before it, the id, and what follows
//	size     uint32 of the changes; its highest bit is set in the first of
//	         those that were written at once
//	number   uint64
//	changes
//
// Since each checksum rests on the one before, nothing that an earlier use of
// the half left behind can be taken for its continuation. What was written at
// once is durable before the next is written: where something whole begins
// behind a place at which the log cannot be read, it is damaged there, and does
// not only end. The id keeps what somebody typed from looking like it. Integers are
// big-endian. A change is the number of its bucket plus one, the length of the
// key, the key, and the length of the value plus one and the value, or 0 where
// the key is gone; or 0, the number of a bucket, and its counter. Numbers and
// lengths are varints.
const (
	redoSuffix = ".redo"
	redoMagic  = "bwredo-1"
	headSize   = 8 + 8 + 8 + 4
	frameSize  = 4 + 4 + 8

	beginsWrite = 1 << 31 // in the size of an update
)

// Our own choices, in bytes: how much a half holds at most, and by how much it
// grows. Writing where the disk has a place already takes half the time.
const (
	redoHalf = 16 << 20
	redoGrow = 256 << 10
)

// appendChange adds a change to those of an update.
func appendChange(to []byte, bucket int, c *change) []byte {
	to = appendText(binary.AppendUvarint(to, uint64(bucket)+1), c.key)
	if c.value == nil {
		return append(to, 0)
	}
	return append(binary.AppendUvarint(to, uint64(len(c.value))+1), c.value...)
}

func appendCounter(to []byte, bucket int, n uint64) []byte {
	return binary.AppendUvarint(append(to, 0, byte(bucket)), n)
}

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

	write func(f *os.File, b []byte, at int64) (int, error) // replaced where a test lets the disk fail
	sync  func(f *os.File) error
}

var errNoRoom = errors.New("the redo log has no room")

func newRedo(path string, noSync bool) *redo {
	return &redo{
		path: path + redoSuffix, noSync: noSync, half: redoHalf,
		write: (*os.File).WriteAt, sync: syncData,
	}
}

// fits reports that updates of so many bytes have a place in a half.
func (r *redo) fits(size int) bool { return int64(headSize+size) <= r.half }

// goesOn reports that the active half can take updates behind those it has.
func (r *redo) goesOn(first uint64, size int) bool {
	return r.at > 0 && r.at+int64(size) <= r.half && first == r.last[r.active]+1
}

// room reports that updates of so many bytes, the first of them with a number,
// have a place now, in the active half or in the other. Where they have none
// the file must be brought up to date first.
func (r *redo) room(first uint64, size int) bool {
	if r.at == 0 {
		return !r.busy[r.active]
	}
	return r.goesOn(first, size) || !r.busy[1-r.active]
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

// append writes updates, numbered from first to last. buf has a place for the
// header before the first. Where it fails, nothing of them is in the log; stop
// says that nobody can tell.
func (r *redo) append(buf []byte, first, last uint64) (stop bool, err error) {
	size := len(buf) - headSize
	if !r.fits(size) || !r.room(first, size) {
		return false, errNoRoom
	}
	if !r.goesOn(first, size) {
		r.turn()
	}
	at, sum, out := r.at, r.sum, buf[headSize:]
	if at == 0 {
		out = buf
		sum = r.header(buf[:headSize], first)
	}
	sum = r.seals(buf[headSize:], sum)
	start := int64(r.active) * r.half
	if err := r.place(start, at+int64(len(out))); err != nil {
		return false, err
	}
	if n, err := r.write(r.f, out, start+at); err != nil {
		return r.wipe(n, start+at) != nil, err
	}
	if err := r.durable(); err != nil {
		return true, err // the system may have dropped what it could not write
	}
	r.at, r.sum = at+int64(len(out)), sum
	r.busy[r.active], r.last[r.active] = true, last
	return false, nil
}

// wipe overwrites what was written before a write failed. Updates may be whole
// in it, and even go on behind what comes in its place, if that begins with the
// same ones. A header goes last: half of one before whole updates is damage.
func (r *redo) wipe(n int, at int64) error {
	if n <= 0 {
		return nil
	}
	zero, head := make([]byte, n), min(n, headSize)
	if n > head {
		if _, err := r.write(r.f, zero[head:], at+int64(head)); err != nil {
			return err
		}
	}
	if _, err := r.write(r.f, zero[:head], at); err != nil {
		return err
	}
	return r.durable()
}

func (r *redo) durable() error {
	if r.noSync {
		return nil
	}
	return r.sync(r.f)
}

// place makes sure that the disk has a place for a half up to some length.
func (r *redo) place(start, upTo int64) error {
	have := &r.placed[r.active]
	if upTo <= *have {
		return nil
	}
	more := min((upTo+redoGrow-1)/redoGrow*redoGrow, r.half)
	if _, err := r.write(r.f, make([]byte, more-*have), start+*have); err != nil {
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

// seals fills in the checksums of updates that are written at once, and returns
// the last.
func (r *redo) seals(frames []byte, sum uint32) uint32 {
	binary.BigEndian.PutUint32(frames[4:], binary.BigEndian.Uint32(frames[4:])|beginsWrite)
	for len(frames) > 0 {
		f, _ := frameAt(frames)
		sum = chained(sum, r.id, frames[:f.end])
		binary.BigEndian.PutUint32(frames, sum)
		frames = frames[f.end:]
	}
	return sum
}

// chained is the checksum of an update, in the log with an id, behind another
// with a checksum.
func chained(before uint32, id uint64, update []byte) uint32 {
	var b [12]byte
	binary.BigEndian.PutUint32(b[:], before)
	binary.BigEndian.PutUint64(b[4:], id)
	return crc32.Update(crc32.Checksum(b[:], castagnoli), castagnoli, update[4:])
}

// create makes an empty log. It is durable in its place before the file names
// it, so that no other one comes back there after a loss of power; while it is
// empty it can lie beside any file.
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
		err = errors.Join(err, removed(r.path))
	}
	return err
}

// removed makes sure that there is no file.
func removed(path string) error {
	if err := os.Remove(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

func syncDir(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
