package postgres

import (
	"context"
	"errors"

	"github.com/jackc/pgx/v5/pgconn"

	"bowlwright/store"
)

var (
	errOver      = errors.New("the snapshot is closed")
	errClosed    = errors.New("the store is closed")
	errUndecoded = errors.New("a write of no known kind")
)

// classify makes an *Error of whatever went wrong; nil stays nil. Neither the
// address of the database nor a record is in what PostgreSQL says of a failure:
// details, which quote, are left out.
func classify(op string, err error) error { return store.Classify(op, err, codeOf) }

func codeOf(err error) store.Code {
	var e *pgconn.PgError
	var connecting *pgconn.ConnectError // which has a time limit of its own
	isPg, isConnecting := errors.As(err, &e), errors.As(err, &connecting)
	switch {
	case !isPg && !isConnecting && (errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)):
		return store.Internal
	case !isPg:
		if isLocal(err) {
			return store.Internal
		}
		return store.Lost // the wire, or nobody at its other end
	}
	switch e.Code {
	case "53100": // disk full
		return store.Full
	case "25006": // read only transaction: a standby
		return store.ReadOnly
	case "XX001", "XX002": // data or index corrupted
		return store.Damaged
	case "53300", "57P01", "57P02", "57P03", "57P05": // too many connections, or the server ends or begins
		return store.Lost
	}
	if e.Code[:2] == "08" {
		return store.Lost
	}
	return store.Internal
}

// isLocal reports an error that nothing on the wire has caused.
func isLocal(err error) bool {
	var unsuited *unsuitedError
	return errors.As(err, &unsuited) || errors.Is(err, errOver) || errors.Is(err, errClosed) || errors.Is(err, errUndecoded)
}

// collides reports that two transactions were in each other's way, and that
// this one has not happened.
func collides(err error) bool {
	var e *pgconn.PgError
	return errors.As(err, &e) && (e.Code == "40001" || e.Code == "40P01")
}
