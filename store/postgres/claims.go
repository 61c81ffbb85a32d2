package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"bowlwright/store"
)

// claim does some statements as one, and reads what the last returns. To lose
// the newest claims in a crash costs little, so the disk is not waited for.
func (s *Store) claim(ctx context.Context, op string, read func(*snapshot) error) error {
	conn, err := s.acquire(ctx)
	if err != nil {
		return classify(op, err)
	}
	defer conn.Release()
	tx, err := conn.BeginTx(ctx, pgx.TxOptions{BeginQuery: `BEGIN ISOLATION LEVEL READ COMMITTED; SET LOCAL synchronous_commit = off`})
	if err != nil {
		return classify(op, err)
	}
	defer tx.Rollback(context.WithoutCancel(ctx)) // none where it was committed
	if err := read(&snapshot{ctx: ctx, tx: tx}); err != nil {
		return err
	}
	return classify(op, tx.Commit(ctx))
}

// upsert takes what is free, and what the holder has already where that is
// asked for.
const (
	values = `$1, $2, clock_timestamp() + make_interval(secs => $3)`
	upsert = ` ON CONFLICT (kind, key) DO UPDATE SET holder = excluded.holder, process = excluded.process, until = excluded.until, chat = excluded.chat
		WHERE claims.until <= clock_timestamp()`
)

func (s *Store) args(c store.Claim, more ...any) []any {
	return append([]any{c.By, s.process, c.Lease.Seconds()}, more...)
}

// ClaimDue implements store.Store. What another is about to claim, or to put the
// next time of, is left out.
func (s *Store) ClaimDue(ctx context.Context, c store.Claim, at time.Time) (out []store.Due, err error) {
	const op = "claim due"
	const sql = `WITH free AS (
		SELECT household, at, record FROM due WHERE at <= $4 AND NOT EXISTS
			(SELECT FROM claims WHERE kind = 'due' AND key = due.household AND until > clock_timestamp())
		ORDER BY at, household LIMIT $5 FOR UPDATE SKIP LOCKED
	), held AS (
		INSERT INTO claims (holder, process, until, kind, key, chat) SELECT ` + values + `, 'due', household, '' FROM free` + upsert + ` RETURNING key
	) SELECT record FROM free JOIN held ON household = key ORDER BY at, household`
	err = s.claim(ctx, op, func(t *snapshot) error {
		out, err = records[store.Due](t, op, sql, s.args(c, store.TimeKey(at), most(c.N))...)
		return err
	})
	return claimed(s, c.By, out, err, func(d store.Due) []byte { return key(d.Household) })
}

// ClaimOutbox implements store.Store.
func (s *Store) ClaimOutbox(ctx context.Context, c store.Claim, chat string) (out []store.Outgoing, err error) {
	const op = "claim outbox"
	const sql = `INSERT INTO claims (holder, process, until, kind, key, chat) SELECT ` + values + `, 'outbox', $4, ''
		WHERE EXISTS (SELECT FROM outbox WHERE chat = $4) AND NOT EXISTS (SELECT FROM blocked WHERE chat = $4)` + upsert + ` OR claims.holder = excluded.holder RETURNING true`
	err = s.claim(ctx, op, func(t *snapshot) error {
		held, err := rows[bool](t, op, sql, s.args(c, key(chat))...)
		if err != nil || len(held) == 0 {
			return err
		}
		out, err = t.Pending(chat, c.N)
		return err
	})
	return out, err
}

// ClaimInbox implements store.Store. One at a time claims, since what may be
// claimed of a chat depends on all that is of it.
func (s *Store) ClaimInbox(ctx context.Context, c store.Claim) (out []store.Update, err error) {
	const op = "claim inbox"
	const sql = `WITH free AS (
		SELECT id, chat, body FROM inbox WHERE NOT EXISTS
			(SELECT FROM claims WHERE kind = 'inbox' AND key = int8send(inbox.id) AND until > clock_timestamp())
		AND (chat = '' OR NOT EXISTS
			(SELECT FROM claims WHERE kind = 'inbox' AND chat = inbox.chat AND holder <> $1 AND until > clock_timestamp()))
		ORDER BY id LIMIT $4 FOR UPDATE
	), held AS (
		INSERT INTO claims (holder, process, until, kind, key, chat) SELECT ` + values + `, 'inbox', int8send(id), chat FROM free` + upsert + ` RETURNING key
	) SELECT id, chat, body FROM free JOIN held ON int8send(id) = key ORDER BY id`
	err = s.claim(ctx, op, func(t *snapshot) error {
		if _, err := t.tx.Exec(ctx, `SELECT pg_advisory_xact_lock($1)`, lockOf("inbox", "")); err != nil {
			return classify(op, err)
		}
		out, err = t.updates(op, sql, s.args(c, most(c.N))...)
		return err
	})
	return claimed(s, c.By, out, err, func(u store.Update) []byte { return updateKey(u.ID) })
}

// claimed is what was claimed. Where that failed it may have been claimed all the
// same, and nobody would work on it: it is freed.
func claimed[T any](s *Store, by string, out []T, err error, key func(T) []byte) ([]T, error) {
	if err == nil {
		return out, nil
	}
	keys := [][]byte{}
	for _, v := range out {
		keys = append(keys, key(v))
	}
	s.freeLater(held{by, keys})
	return nil, err
}

// Release implements store.Store. Where the database is not to be had it is done
// as soon as it is, so a holder that has let go claims nothing more.
func (s *Store) Release(ctx context.Context, by string) error {
	_, err := s.pool.Exec(ctx, `DELETE FROM claims WHERE holder = $1`, by)
	if err != nil {
		s.freeLater(held{by: by})
	}
	return classify("release", err)
}

// held is what a holder may have of which nobody knows: all where keys is nil.
type held struct {
	by   string
	keys [][]byte
}

// freeLater has something freed by the session of this process. A claim of which
// the answer was lost would else be renewed for ever.
func (s *Store) freeLater(h held) {
	s.heard.Lock()
	defer s.heard.Unlock()
	s.free = append(s.free, h)
}

// freeNow frees what could not be freed before.
func (s *Store) freeNow(ctx context.Context, conn *pgx.Conn) error {
	s.heard.Lock()
	all := s.free
	s.free = nil
	s.heard.Unlock()
	for i, h := range all {
		const sql = `DELETE FROM claims WHERE holder = $1 AND ($2::bytea[] IS NULL OR key = ANY ($2))`
		if _, err := conn.Exec(ctx, sql, h.by, h.keys); err != nil {
			s.heard.Lock()
			s.free = append(s.free, all[i:]...)
			s.heard.Unlock()
			return err
		}
	}
	if len(all) > 0 {
		s.tellHere("")
	}
	return nil
}

// Renew implements store.Store.
func (s *Store) Renew(ctx context.Context, by string, lease time.Duration) error {
	_, err := s.pool.Exec(ctx, `UPDATE claims SET until = clock_timestamp() + make_interval(secs => $2) WHERE holder = $1`, by, lease.Seconds())
	return classify("renew", err)
}

// Our own choices.
const (
	// leadAgain is the pause after a session could not be had.
	leadAgain = 250 * time.Millisecond
	// leadGrace is the time for whoever led before to notice that it does no more:
	// its session may have been lost.
	leadGrace = 250 * time.Millisecond
)

// Lead implements store.Store. The session of a leader holds the lock of the
// role; where the session is lost the context ends, and it waits to lead again.
func (s *Store) Lead(ctx context.Context, role string, f func(context.Context)) error {
	for again := false; ; again = true {
		lost, err := s.leadOnce(ctx, role, again, f)
		switch {
		case ctx.Err() != nil && err != nil:
			return &store.Error{Code: store.Internal, Op: "lead", Err: ctx.Err()}
		case err == nil && (!lost || ctx.Err() != nil):
			return nil
		case err != nil:
			store.Pause(ctx, leadAgain)
		}
	}
}

// leadOnce leads in one session. The error is of before it led.
func (s *Store) leadOnce(ctx context.Context, role string, again bool, f func(context.Context)) (lost bool, err error) {
	if err := ctx.Err(); err != nil {
		return false, err
	}
	conn, err := pgx.ConnectConfig(ctx, s.config.Copy())
	if err != nil {
		return false, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	free := false
	if err := conn.QueryRow(ctx, `SELECT pg_try_advisory_lock($1)`, lockOf("lead", role)).Scan(&free); err != nil {
		return false, err
	}
	if !free {
		if _, err := conn.Exec(ctx, `SELECT pg_advisory_lock($1)`, lockOf("lead", role)); err != nil {
			return false, err
		}
	}
	if again || !free {
		store.Pause(ctx, leadGrace)
	}
	leading, stop := context.WithCancel(ctx)
	defer stop()
	watching, over := context.WithCancel(context.WithoutCancel(ctx))
	watched := make(chan error, 1)
	go func() {
		_, err := conn.WaitForNotification(watching) // which nobody sends: it returns with the session, or with over
		watched <- err
		stop()
	}()
	f(leading)
	lost = leading.Err() != nil && ctx.Err() == nil
	over()
	<-watched
	return lost, nil
}
