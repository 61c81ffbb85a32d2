package store

import "errors"

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
