package store

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"time"
	"unicode/utf8"
)

// Those who implement a Store keep records and times in the same way.

// TimeSize is the length of a TimeKey.
const TimeSize = 12

// TimeKey is an instant in an encoding that sorts by time, for any time that
// time.Time can hold.
func TimeKey(t time.Time) []byte { return AppendTimeKey(make([]byte, 0, 64), t) }

// AppendTimeKey puts a TimeKey behind what a key begins with.
func AppendTimeKey(k []byte, t time.Time) []byte {
	k = binary.BigEndian.AppendUint64(k, uint64(t.Unix())^1<<63)
	return binary.BigEndian.AppendUint32(k, uint32(t.Nanosecond()))
}

// TimeOf reads the TimeKey that something begins with.
func TimeOf(k []byte) time.Time {
	if len(k) < TimeSize {
		return time.Time{}
	}
	return time.Unix(int64(binary.BigEndian.Uint64(k)^1<<63), int64(binary.BigEndian.Uint32(k[8:]))).UTC()
}

// Decode reads a record. What json says of a failure may quote the record, so
// only where it failed is passed on.
func Decode(op string, data []byte, v any) error {
	err := json.Unmarshal(data, v)
	if err == nil {
		return nil
	}
	said := "the record cannot be read"
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		said = fmt.Sprintf("%s: offset %d", said, syntax.Offset)
	case errors.As(err, &kind):
		said = fmt.Sprintf("%s: field %s", said, kind.Field)
	}
	return &Error{Code: Damaged, Op: op, Err: errors.New(said)}
}

var (
	errNoName = errors.New("a name is needed")
	errNoText = errors.New("a name is not text") // JSON would keep another than the key has
)

// Named refuses a write of a record without a name, or with one that cannot be
// kept.
func Named(w Write) error {
	var err error
	some := func(names ...string) {
		for _, name := range names {
			if name == "" {
				err = errNoName
			}
		}
	}
	text := func(names ...string) {
		for _, name := range names {
			if !utf8.ValidString(name) {
				err = errNoText
			}
		}
	}
	switch w := w.(type) {
	case MarkSeen:
		some(w.Event)
	case PutHousehold:
		some(w.ID)
	case PutEnding:
		if !w.At.IsZero() {
			some(w.Household)
		}
	case PutEntry:
		some(w.Entry.ID)
		text(w.Entry.ID, w.Entry.Dog, string(w.Entry.Kind))
	case PutDue:
		some(w.Household)
		text(w.Household)
	case PutInvite:
		some(w.Key)
	case PutPublished:
		some(w.Token)
	case PutReader:
		some(w.Token, w.Household)
	}
	if err != nil {
		return &Error{Code: Internal, Op: "commit", Err: err}
	}
	return nil
}
