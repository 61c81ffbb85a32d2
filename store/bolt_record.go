package store

import (
	"encoding/binary"
	"errors"
	"time"
)

// Messages and dialogues are written and read several times for each event,
// and entries of the journal many at once, so their records are no JSON since
// schema 6: a byte that says so, which no JSON begins with, then the fields in
// order, texts behind their lengths.

// plain is the first byte of such a record. A message that goes to a topic of
// its chat has topical instead, and the topic behind all else; those without
// one read as before there were any.
const (
	plain   = 1
	topical = 2
)

// isPlain tells the records of schema 6 from those before.
func isPlain(data []byte) bool { return len(data) > 0 && data[0] == plain }

func appendText[T ~string | ~[]byte](to []byte, s T) []byte {
	return append(binary.AppendUvarint(to, uint64(len(s))), s...)
}

// appendTime writes a time with its zone's offset; the zero time as nothing.
func appendTime(to []byte, t time.Time) ([]byte, error) {
	if t.IsZero() {
		return append(to, 0), nil
	}
	data, err := t.MarshalBinary()
	return appendText(to, data), err
}

// fields reads the fields of a record; the first that is not there makes it
// bad, and all behind it empty.
type fields struct {
	rest []byte
	bad  bool
}

func (f *fields) number() uint64 {
	v, n := binary.Uvarint(f.rest)
	if n <= 0 {
		f.rest, f.bad = nil, true
		return 0
	}
	f.rest = f.rest[n:]
	return v
}

// bytes returns a part of the record, not a copy; nil where it is empty.
func (f *fields) bytes() []byte {
	n := f.number()
	if n > uint64(len(f.rest)) {
		f.rest, f.bad = nil, true
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

func (f *fields) time() (t time.Time) {
	if b := f.bytes(); len(b) > 0 && t.UnmarshalBinary(b) != nil {
		f.bad = true
	}
	return t
}

// end says whether all fields were there and nothing else.
func (f *fields) end(op string) error {
	if f.bad || len(f.rest) > 0 {
		return &Error{Code: Damaged, Op: op, Err: errors.New("the record cannot be read")}
	}
	return nil
}

func (m *Outgoing) encode() ([]byte, error) {
	b := make([]byte, 0, 96+len(m.Chat)+len(m.Event)+len(m.Body))
	kind := byte(plain)
	if m.Topic != "" {
		kind = topical
	}
	b = binary.AppendUvarint(append(b, kind), m.Number)
	b = appendText(appendText(b, m.Chat), m.Event)
	b, err := appendTime(b, m.At)
	if err == nil {
		b, err = appendTime(b, m.Expires)
	}
	b = appendText(b, m.Body)
	if m.Topic != "" {
		b = appendText(b, m.Topic)
	}
	return b, err
}

// chatOfMessage reads no more of a message's record than its chat.
func chatOfMessage(op string, data []byte) (string, error) {
	if len(data) == 0 || data[0] != plain && data[0] != topical {
		var m Outgoing
		err := decode(op, data, &m)
		return m.Chat, err
	}
	f := fields{rest: data[1:]}
	f.number()
	chat := f.text()
	f.rest = nil
	return chat, f.end(op)
}

// decode reads a record; Body stays a part of it.
func (m *Outgoing) decode(op string, data []byte) error {
	withTopic := len(data) > 0 && data[0] == topical
	if !isPlain(data) && !withTopic {
		return decode(op, data, m)
	}
	f := fields{rest: data[1:]}
	*m = Outgoing{Number: f.number(), Chat: f.text(), Event: f.text(), At: f.time(), Expires: f.time(), Body: f.bytes()}
	if withTopic {
		m.Topic = f.text()
		f.bad = f.bad || m.Topic == ""
	}
	return f.end(op)
}

func (d *Dialogue) encode() ([]byte, error) {
	b := make([]byte, 0, 64+len(d.Kind)+len(d.Step)+len(d.Data))
	b = appendText(appendText(append(b, plain), d.Kind), d.Step)
	b, err := appendTime(b, d.Since)
	return appendText(b, d.Data), err
}

// decode reads a record; Data stays a part of it.
func (d *Dialogue) decode(op string, data []byte) error {
	if !isPlain(data) {
		return decode(op, data, d)
	}
	f := fields{rest: data[1:]}
	*d = Dialogue{Kind: f.text(), Step: f.text(), Since: f.time(), Data: f.bytes()}
	return f.end(op)
}
