package bolt

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"hash"
	"hash/crc32"
	"io"
	"os"
)

// bbolt has no checksums for its pages, and where the page that names its
// newest state (a meta page, of which there are two) is damaged it goes on with
// the state before without a word. So a file that was closed, and every backup,
// ends with a stamp behind its last page, which says what it held then. The
// first update after Open takes it away again, so a file without one was not
// closed.
//
// A stamp is stampMagic, JSON, zeros, and in its last four bytes the CRC-32C of
// all before.
const (
	stampMagic = "bwstamp1"
	stampSize  = 1 << 10
)

// stamp is what a file held when it was closed.
type stamp struct {
	Transaction uint64            `json:"transaction"` // the last
	Size        int64             `json:"size"`        // bytes before the stamp
	Metas       uint32            `json:"metas"`       // CRC-32C of both meta pages
	Pages       uint32            `json:"pages"`       // and of all other pages
	PageSize    int               `json:"page_size"`
	Counts      map[string]uint64 `json:"counts"` // keys by bucket

	metasDiffer bool // from those of the file that it was found in
}

func (st *stamp) encode() ([]byte, error) {
	data, err := json.Marshal(st)
	if err != nil || len(stampMagic)+len(data)+crc32.Size > stampSize {
		return nil, errors.Join(err, errors.New("a stamp has no room"))
	}
	b := append(append(make([]byte, 0, stampSize), stampMagic...), data...)
	b = b[:stampSize-crc32.Size]
	return binary.BigEndian.AppendUint32(b, crc32.Checksum(b, castagnoli)), nil
}

// readStamp returns the stamp at the end of a file, nil where there is none
// that is whole and in its place.
func readStamp(f *os.File) (*stamp, error) {
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	at := info.Size() - stampSize
	b := make([]byte, stampSize)
	if at <= 0 {
		return nil, nil
	}
	if _, err := f.ReadAt(b, at); err != nil {
		return nil, err
	}
	body := b[:stampSize-crc32.Size]
	if !bytes.HasPrefix(body, []byte(stampMagic)) || crc32.Checksum(body, castagnoli) != binary.BigEndian.Uint32(b[len(body):]) {
		return nil, nil
	}
	st := new(stamp)
	if json.Unmarshal(bytes.TrimRight(body[len(stampMagic):], "\x00"), st) != nil || st.Size != at || st.PageSize <= 0 {
		return nil, nil
	}
	return st, nil
}

// inspect reads a whole file and compares it with its stamp. It returns nil
// where there is none. A page that is not as it was is damage; a meta page may
// differ, and st says so.
func inspect(f *os.File) (*stamp, error) {
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.Size() == 0 {
		return nil, damaged("open", "the file is empty")
	}
	st, err := readStamp(f)
	if err != nil || st == nil {
		return nil, err
	}
	is := newSums(io.Discard, st.PageSize)
	if _, err := io.CopyBuffer(is, io.NewSectionReader(f, 0, st.Size), make([]byte, 1<<18)); err != nil {
		return nil, err
	}
	if is.pages.Sum32() != st.Pages {
		return nil, damaged("open", "a page is not as it was when the file was closed")
	}
	st.metasDiffer = is.metas.Sum32() != st.Metas
	return st, nil
}

// sums passes on a file and works out the checksums of its stamp.
type sums struct {
	to           io.Writer
	metas, pages hash.Hash32
	left         int   // bytes of the meta pages that are still to come
	n            int64 // bytes until now
}

func newSums(to io.Writer, pageSize int) *sums {
	return &sums{to: to, metas: crc32.New(castagnoli), pages: crc32.New(castagnoli), left: 2 * pageSize}
}

func (s *sums) Write(b []byte) (int, error) {
	n, err := s.to.Write(b)
	s.n += int64(n)
	head := min(n, s.left)
	s.left -= head
	s.metas.Write(b[:head])
	s.pages.Write(b[head:n])
	return n, err
}

// stamp returns that of a transaction whose pages were written through s.
func (s *sums) stamp(t *transaction) ([]byte, error) {
	st := &stamp{
		Transaction: uint64(t.tx.ID()), Size: s.n, Metas: s.metas.Sum32(), Pages: s.pages.Sum32(),
		PageSize: t.tx.DB().Info().PageSize, Counts: map[string]uint64{},
	}
	version, err := schemaOf(t.tx)
	if err != nil {
		return nil, err
	}
	for _, name := range bucketsOf(version) {
		if counts(string(name)) {
			st.Counts[string(name)] = t.size(name)
		}
	}
	return st.encode()
}

// putStamp ends the file with a stamp. It commits once more before, so that
// both states that the file names are the same. The writer is held.
func (s *Store) putStamp() error {
	tx, err := s.enter("close", true)
	if err != nil {
		return err
	}
	if err := s.commit(tx); err != nil {
		return err
	}
	return s.view("close", func(t *transaction) error {
		size := t.tx.Size()
		if err := s.file.Truncate(size); err != nil {
			return err
		}
		is := newSums(io.Discard, s.db.Info().PageSize)
		if _, err := io.CopyBuffer(is, io.NewSectionReader(s.file, 0, size), make([]byte, 1<<18)); err != nil {
			return err
		}
		b, err := is.stamp(t)
		if err != nil {
			return err
		}
		if _, err := s.file.WriteAt(b, size); err != nil {
			return err
		}
		s.stampAt, s.wrote = size, false // Close has nothing more to do
		return s.sync()
	})
}

// eraseStamp takes the stamp away before anything is written that it does not
// know of. The writer is held.
func (s *Store) eraseStamp() error {
	if s.stampAt == 0 {
		return nil
	}
	if _, err := s.file.WriteAt(make([]byte, stampSize), s.stampAt); err != nil {
		return classify("update", err)
	}
	if err := s.sync(); err != nil {
		return classify("update", err)
	}
	s.stampAt = 0
	return nil
}

func (s *Store) sync() error {
	if s.noSync {
		return nil
	}
	return s.file.Sync()
}
