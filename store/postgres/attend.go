package postgres

import (
	"context"
	"errors"
	"net/url"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"bowlwright/store"
)

// channel is what processes tell each other of work on. A notification is a chat
// into whose outbox something was put, with a letter before it, or the letter of
// the inbox alone.
const (
	channel   = "bowlwright"
	tellsChat = "c"
	tellsIn   = "i"
)

// attendEvery is how often a process looks whether another has gone; our own
// choice. What that one held is free when its lock was not there twice.
const attendEvery = time.Second

// attendBegin begins the session that stands for this process: it brings the
// schema up, holds the lock of the process and listens.
func (s *Store) attendBegin(ctx context.Context) (conn *pgx.Conn, err error) {
	all, err := allMigrations()
	if err != nil {
		return nil, err
	}
	if conn, err = pgx.ConnectConfig(ctx, s.config.Copy()); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			conn.Close(context.WithoutCancel(ctx))
			conn = nil
		}
	}()
	if _, err = conn.Exec(ctx, `SELECT pg_advisory_lock($1)`, lockSchema); err != nil {
		return conn, err
	}
	if err = migrate(ctx, conn, all); err != nil {
		return conn, err
	}
	if _, err = conn.Exec(ctx, `SELECT pg_advisory_unlock($1)`, lockSchema); err != nil {
		return conn, err
	}
	// The session of before may still be on its way out; either holds it.
	if _, err = conn.Exec(ctx, `SELECT pg_advisory_lock_shared($1, $2)`, lockProcess, s.process); err != nil {
		return conn, err
	}
	_, err = conn.Exec(ctx, `LISTEN `+channel)
	return conn, err
}

// attend keeps that session until ctx ends, and begins another where it is lost.
func (s *Store) attend(ctx context.Context, conn *pgx.Conn) {
	defer close(s.ended)
	gone := []int32{}
	for next := time.Now(); ; {
		if conn == nil {
			var err error
			if conn, err = s.attendBegin(ctx); err != nil {
				if ctx.Err() != nil {
					return
				}
				var unsuited *unsuitedError
				var e *store.Error
				if errors.As(err, &unsuited) && errors.As(err, &e) {
					s.refused.Store(e)
				}
				store.Pause(ctx, attendEvery/4)
				continue
			}
			s.tellHere("") // what was told meanwhile was not heard
		}
		err := s.listen(ctx, conn, next)
		if err == nil {
			gone, err = s.sweep(ctx, conn, gone)
			next = time.Now().Add(attendEvery)
		}
		if ctx.Err() != nil {
			conn.Close(context.WithoutCancel(ctx))
			return
		}
		if err != nil {
			conn.Close(context.WithoutCancel(ctx))
			conn = nil
		}
	}
}

// listen passes on what is told until a time.
func (s *Store) listen(ctx context.Context, conn *pgx.Conn, until time.Time) error {
	limited, cancel := context.WithDeadline(ctx, until)
	defer cancel()
	for {
		n, err := conn.WaitForNotification(limited)
		switch {
		case err == nil && n.Payload != "":
			chat, _ := url.PathUnescape(n.Payload[1:]) // of tell
			s.tellHere(chat)
		case err == nil:
		case pgconn.Timeout(err) && limited.Err() != nil && ctx.Err() == nil && !conn.IsClosed():
			return nil
		default:
			return err
		}
	}
}

// sweep frees what this process could not free before, and what processes held of
// which the lock was gone before and still is. It returns those whose lock is gone now.
func (s *Store) sweep(ctx context.Context, conn *pgx.Conn, before []int32) (gone []int32, err error) {
	ctx, cancel := context.WithTimeout(ctx, openTimeout)
	defer cancel()
	if err := s.freeNow(ctx, conn); err != nil {
		return nil, err
	}
	const sql = `SELECT DISTINCT process FROM claims WHERE process <> ALL (ARRAY(SELECT objid::bigint::int FROM ` + advisoryLocks + ` AND classid = $1))`
	rows, err := conn.Query(ctx, sql, lockProcess)
	if err != nil {
		return nil, err
	}
	if gone, err = pgx.CollectRows(rows, pgx.RowTo[int32]); err != nil {
		return nil, err
	}
	void := slices.DeleteFunc(slices.Clone(gone), func(p int32) bool { return !slices.Contains(before, p) })
	if len(void) == 0 {
		return gone, nil
	}
	if _, err := conn.Exec(ctx, `DELETE FROM claims WHERE process = ANY ($1)`, void); err != nil {
		return gone, err
	}
	s.tellHere("")
	return gone, nil
}

// Alone fails, with code Busy, where another process uses the database too. One
// that has just ended may still hold its lock, until the server has noticed: it is
// given goneWithin.
func (s *Store) Alone(ctx context.Context) error {
	const sql = `SELECT count(DISTINCT objid) FROM ` + advisoryLocks + ` AND classid = $1`
	var n int
	for late := time.Now().Add(goneWithin); ; store.Pause(ctx, 50*time.Millisecond) {
		if err := s.pool.QueryRow(ctx, sql, lockProcess).Scan(&n); err != nil || n <= 1 {
			return classify("open", err)
		}
		if time.Now().After(late) {
			return classify("open", &store.Error{Code: store.Busy, Op: "open"})
		}
	}
}

// goneWithin is how long a server may need to notice that a session has ended
// (our own choice).
const goneWithin = 2 * time.Second

// Hear implements store.Store.
func (s *Store) Hear(ctx context.Context, wake func(chat string)) {
	s.heard.Lock()
	s.wake = wake
	s.heard.Unlock()
	<-ctx.Done()
	s.heard.Lock()
	s.wake = nil
	s.heard.Unlock()
}

func (s *Store) tellHere(chat string) {
	s.heard.Lock()
	defer s.heard.Unlock()
	if s.wake != nil {
		s.wake(chat)
	}
}

// tell tells all processes what a commit has left to do. It comes after the
// commit, since commits that notify wait for one another; what is not told is
// found all the same.
func tell(ctx context.Context, conn *pgxpool.Conn, c store.Commit) {
	var said []string
	handled := false
	for _, w := range c.Writes {
		switch w := w.(type) {
		case store.Enqueue:
			// A notification is shorter than 8000 bytes (PostgreSQL's documentation of
			// NOTIFY, from memory), and is text, which a name may not be.
			if text := tellsChat + url.PathEscape(w.Chat); len(text) < 8000 && !slices.Contains(said, text) {
				said = append(said, text)
			}
		case store.DeleteUpdate:
			handled = true
		}
	}
	if len(said) > 0 {
		conn.Exec(ctx, `SELECT pg_notify($1, chat) FROM unnest($2::text[]) AS chat`, channel, said)
	}
	if handled { // others of its chat may wait for another process
		conn.Exec(ctx, `SELECT pg_notify($1, $2) WHERE EXISTS (SELECT FROM inbox WHERE NOT EXISTS
			(SELECT FROM claims WHERE kind = 'inbox' AND key = int8send(inbox.id) AND until > clock_timestamp()))`, channel, tellsIn)
	}
}
