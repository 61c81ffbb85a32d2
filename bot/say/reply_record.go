package say

import (
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"
)

// EncodeReply writes a reply as DecodeReply reads it, with one piece of advice to
// see a vet at most. Bytes of a text that are no UTF-8 become U+FFFD.
func EncodeReply(r Reply) []byte {
	OneVet(&r)
	b, err := json.Marshal(r)
	if err != nil {
		panic(err) // a reply has nothing that JSON has not
	}
	return b
}

// Replies that an older program left in the outbox are no JSON: a byte with
// which no JSON begins, a byte that says what the reply has, then the fields in
// order, texts after their lengths, lists after their counts.

// plainReply is the first byte of a reply's record.
const plainReply = 1

// What a reply has besides its body and buttons.
const (
	replySettles byte = 1 << iota
	replyPicture
	replyDocument
	replyEnd // the first that means nothing
)

// errReply says that a record is not that of a reply.
var errReply = errors.New("the record cannot be read")

// DecodeReply reads what EncodeReply wrote, or what an older program left in
// the outbox. An error says that it is neither, or not whole.
func DecodeReply(record []byte) (Reply, error) {
	var r Reply
	if len(record) == 0 || record[0] != plainReply {
		if err := json.Unmarshal(record, &r); err != nil {
			return Reply{}, fmt.Errorf("bot: decode reply: %w", err)
		}
		return r, nil
	}
	// The texts are parts of one copy of the record.
	f := replyFields{rest: string(record[1:])}
	has := f.byte()
	if n := f.count(2); n > 0 { // a block has at least a flag and a length
		r.Body = make([]Block, n)
	}
	for i := range r.Body {
		r.Body[i] = Block{Table: f.bit(), Text: f.text()}
	}
	if n := f.count(1); n > 0 {
		r.Buttons = make([][]Button, n)
	}
	for i := range r.Buttons {
		r.Buttons[i] = make([]Button, f.count(2)) // of two lengths at least
		for k := range r.Buttons[i] {
			r.Buttons[i][k] = Button{Label: f.text(), Data: f.text()}
		}
	}
	r.Settles, r.Start, r.InPlace = has&replySettles != 0, f.text(), f.text()
	if has&replyPicture != 0 {
		r.Picture = &Picture{Name: f.text(), Alt: f.text(), PNG: f.data()}
	}
	if has&replyDocument != 0 {
		r.Document = &Document{Name: f.text(), Alt: f.text(), Type: f.text(), Data: f.data()}
	}
	if f.bad || len(f.rest) > 0 || has >= replyEnd {
		return Reply{}, fmt.Errorf("bot: decode reply: %w", errReply)
	}
	return r, nil
}

// replyFields reads the fields of a record; the first that is not there makes
// it bad, and all behind it empty.
type replyFields struct {
	rest string
	bad  bool
}

func (f *replyFields) fail() { f.rest, f.bad = "", true }

func (f *replyFields) byte() byte {
	if f.rest == "" {
		f.fail()
		return 0
	}
	b := f.rest[0]
	f.rest = f.rest[1:]
	return b
}

func (f *replyFields) bit() bool {
	b := f.byte()
	f.bad = f.bad || b > 1
	return b == 1
}

// count reads how many there are of what takes so many bytes at least. More
// than there is room for is refused before any room is made.
func (f *replyFields) count(least int) int {
	var n uint64
	for shift := 0; ; shift += 7 {
		b := f.byte()
		n |= uint64(b&0x7f) << shift
		if b < 0x80 {
			break
		}
		if shift > 28 { // longer than any record
			f.fail()
			return 0
		}
	}
	if n > uint64(len(f.rest)/least) {
		f.fail()
		return 0
	}
	return int(n)
}

func (f *replyFields) bytes() string {
	n := f.count(1)
	s := f.rest[:n]
	f.rest = f.rest[n:]
	return s
}

func (f *replyFields) text() string {
	s := f.bytes()
	f.bad = f.bad || !utf8.ValidString(s)
	return s
}

func (f *replyFields) data() []byte { return []byte(f.bytes()) }
