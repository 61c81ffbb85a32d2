package schema8

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"time"

	"bowlwright/planner"
)

// Records that were written often were no JSON: a byte that says so, which no
// JSON begins with, then the fields in order, texts behind their lengths.
// Messages and dialogues were so since schema 6, households and changes since
// schema 8.
const (
	plain   = 1
	topical = 2 // a message to a topic of its chat, which stands behind all else
)

func isPlain(record []byte) bool { return len(record) > 0 && record[0] == plain }

// fields reads the fields of a record; the first that is not there makes it
// bad, and all behind it empty.
type fields struct {
	rest []byte
	bad  bool
}

func (f *fields) fail() { f.rest, f.bad = nil, true }

func (f *fields) number() uint64 {
	v, n := binary.Uvarint(f.rest)
	if n <= 0 {
		f.fail()
		return 0
	}
	f.rest = f.rest[n:]
	return v
}

func (f *fields) signed() int {
	v, n := binary.Varint(f.rest)
	if n <= 0 {
		f.fail()
		return 0
	}
	f.rest = f.rest[n:]
	return int(v)
}

// bytes returns a part of the record, not a copy; nil where it is empty.
func (f *fields) bytes() []byte {
	n := f.number()
	if n > uint64(len(f.rest)) {
		f.fail()
		return nil
	}
	if n == 0 {
		return nil
	}
	b := f.rest[:n:n]
	f.rest = f.rest[n:]
	return b
}

func (f *fields) text() string { return string(f.bytes()) }

func (f *fields) float() float64 {
	if len(f.rest) < 8 {
		f.fail()
		return 0
	}
	x := math.Float64frombits(binary.BigEndian.Uint64(f.rest))
	f.rest = f.rest[8:]
	return x
}

// time reads a time with its zone's offset; the zero time is nothing.
func (f *fields) time() (t time.Time) {
	if b := f.bytes(); len(b) > 0 && t.UnmarshalBinary(b) != nil {
		f.bad = true
	}
	return t
}

func (f *fields) date() planner.Date {
	return planner.Date{Year: f.signed(), Month: time.Month(f.signed()), Day: f.signed()}
}

// count reads how many there are of what takes at least a byte each.
func (f *fields) count() int {
	n := f.number()
	if n > uint64(len(f.rest)) {
		f.fail()
		return 0
	}
	return int(n)
}

// flags reads up to eight of them.
func (f *fields) flags(to ...*bool) {
	if len(f.rest) == 0 || f.rest[0]>>len(to) != 0 {
		f.fail()
		return
	}
	for i, set := range to {
		*set = f.rest[0]>>i&1 != 0
	}
	f.rest = f.rest[1:]
}

// json reads what stands as JSON within a record.
func (f *fields) json(v any) {
	if data := f.bytes(); data != nil && !f.bad {
		f.bad = json.Unmarshal(data, v) != nil
	}
}

// whole says whether all fields were there and nothing else.
func (f *fields) whole() bool { return !f.bad && len(f.rest) == 0 }
