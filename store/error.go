package store

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"
	"unicode/utf8"
)

// Code classifies what went wrong with the store.
type Code string

// The codes.
const (
	NotFound Code = "not-found" // no such record
	Busy     Code = "busy"      // another process holds the file
	ReadOnly Code = "read-only" // the directory or file cannot be written
	Full     Code = "full"      // no space left on the device
	Newer    Code = "newer"     // written by a newer version of the program
	Damaged  Code = "damaged"   // truncated, not a store, or fails its check
	Older    Code = "older"     // whole, and a damaged page hides what was newer
	Conflict Code = "conflict"  // what a commit rests on is no longer so
	Lost     Code = "lost"      // nobody answers, or an answer did not come: whether a commit has happened is not known
	Internal Code = "internal"  // anything else
)

// ErrConflict says that a commit has not happened, since something that it rests
// on is no longer so. What it read is out of date: another commit has gone
// through since, and a new snapshot shows it.
var ErrConflict error = &Error{Code: Conflict, Op: "commit"}

// Error is what every failure of a store is returned as.
type Error struct {
	Code Code
	Op   string // what was being done: "open", "household"
	Err  error  // the cause; may be nil
}

// Error returns the operation and the cause, for logs. It holds no content
// of a record.
func (e *Error) Error() string {
	s := "store: " + e.Op + ": " + string(e.Code)
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Classify makes an *Error of what went wrong in an operation, with the code that an
// implementation has for it; nil and an *Error stay what they are.
func Classify(op string, err error, code func(error) Code) error {
	if err == nil {
		return nil
	}
	var e *Error
	if errors.As(err, &e) {
		return e
	}
	return &Error{Code: code(err), Op: op, Err: err}
}

// CodeOf is the code of an error of a store, empty of any other.
func CodeOf(err error) Code {
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

// IsNotFound reports that a record is not there.
func IsNotFound(err error) bool { return CodeOf(err) == NotFound }

// IsLost reports that the store could not be reached, as when a server starts
// anew. It may be there again at once.
func IsLost(err error) bool { return CodeOf(err) == Lost }

// OrNone drops the error of what is not there.
func OrNone(err error) error {
	if IsNotFound(err) {
		return nil
	}
	return err
}

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

// Named refuses a write of a record without a name, or with one that cannot be
// kept.
func Named(w Write) error {
	var needed, text []string
	switch w := w.(type) {
	case MarkSeen:
		needed = []string{w.Event}
	case PutHousehold:
		needed = []string{w.ID}
	case PutEnding:
		if !w.At.IsZero() {
			needed = []string{w.Household}
		}
	case PutEntry:
		needed = []string{w.Entry.ID}
		text = []string{w.Entry.ID, w.Entry.Dog, string(w.Entry.Kind)}
	case PutDue:
		needed, text = []string{w.Household}, []string{w.Household}
	case PutInvite:
		needed = []string{w.Key}
	case PutPublished:
		needed = []string{w.Token}
	case PutReader:
		needed = []string{w.Token, w.Household}
	}
	switch {
	case slices.Contains(needed, ""):
		return &Error{Code: Internal, Op: "commit", Err: errors.New("a name is needed")}
	case slices.ContainsFunc(text, func(s string) bool { return !utf8.ValidString(s) }): // JSON would keep another than the key has
		return &Error{Code: Internal, Op: "commit", Err: errors.New("a name is not text")}
	}
	return nil
}
