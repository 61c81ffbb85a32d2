package postgres

import (
	"cmp"
	"context"
	"encoding/binary"
	"encoding/json"
	"hash/fnv"
	"math/rand/v2"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"bowlwright/store"
)

// Our own choices.
const (
	mostTries  = 10                   // of a commit that collides with others
	firstPause = 5 * time.Millisecond // before the second
)

// Commit implements store.Store. What collides with another transaction, or
// found a connection that was already dead, is tried again here. Where a
// connection is lost later nobody knows whether it has happened: the error has
// code Lost.
func (s *Store) Commit(ctx context.Context, c store.Commit) error {
	for n := 1; ; n++ {
		err := s.commit(ctx, c)
		if err == nil || n == mostTries || !collides(err) && !(pgconn.SafeToRetry(err) && ctx.Err() == nil) {
			return classify("commit", err)
		}
		store.Pause(ctx, rand.N(firstPause<<min(n, 5)))
	}
}

func (s *Store) commit(ctx context.Context, c store.Commit) error {
	conn, err := s.acquire(ctx)
	if err != nil {
		return err
	}
	defer conn.Release()
	tx, err := conn.BeginTx(ctx, pgx.TxOptions{IsoLevel: pgx.ReadCommitted})
	if err != nil {
		return err
	}
	defer tx.Rollback(context.WithoutCancel(ctx)) // nothing is left to do where it was committed
	if again, err := begin(ctx, tx, c); err != nil || again {
		return err
	}
	writes := &pgx.Batch{}
	for _, w := range c.Writes {
		if err := cmp.Or(store.Named(w), queue(writes, w)); err != nil {
			return err
		}
	}
	if writes.Len() > 0 {
		if err := tx.SendBatch(ctx, writes).Close(); err != nil {
			return err
		}
	}
	if err := tx.Commit(ctx); err != nil {
		return err
	}
	tell(ctx, conn, c)
	return nil
}

// begin takes the locks of a commit and makes sure that it may go on; again says
// that its event was handled before.
func begin(ctx context.Context, tx pgx.Tx, c store.Commit) (again bool, err error) {
	if locks := locksOf(c); len(locks) > 0 {
		const sql = `SELECT pg_advisory_xact_lock(k) FROM unnest($1::bigint[]) AS k`
		if _, err := tx.Exec(ctx, sql, locks); err != nil {
			return false, err
		}
	}
	if c.Event != "" {
		const sql = `INSERT INTO seen VALUES ($1, $2) ON CONFLICT DO NOTHING`
		done, err := tx.Exec(ctx, sql, key(c.Event), store.TimeKey(c.At))
		if err != nil || done.RowsAffected() == 0 {
			return err == nil, err
		}
	}
	now := &snapshot{ctx: ctx, tx: tx}
	for _, e := range c.Expect {
		if e, ok := e.(store.PublishedAt); ok { // whoever deletes its author does not know its name beforehand
			if _, err := tx.Exec(ctx, `SELECT FROM published WHERE token = $1 FOR KEY SHARE`, key(e.Token)); err != nil {
				return false, err
			}
		}
		holds, err := store.Holds(now, e)
		if err != nil {
			return false, err
		}
		if !holds {
			return false, store.ErrConflict
		}
	}
	return false, nil
}

// locksOf are the numbers of the names that a commit rests on or writes about,
// in the order in which they are locked.
func locksOf(c store.Commit) (all []int64) {
	lock := func(names []store.Name) {
		for _, n := range names {
			all = append(all, lockOf(n.Kind, n.Of))
		}
	}
	for _, e := range c.Expect {
		lock(e.Expects())
	}
	for _, w := range c.Writes {
		lock(w.Writes())
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// lockOf is the number under which a name is locked. Two names that share one
// only wait for each other.
func lockOf(kind, name string) int64 {
	h := fnv.New64a()
	h.Write([]byte(kind + "\x00" + name))
	return int64(h.Sum64())
}

// queue adds what a write asks for to a batch.
func queue(b *pgx.Batch, w store.Write) error {
	switch w := w.(type) {
	case store.MarkSeen:
		b.Queue(`INSERT INTO seen VALUES ($1, $2) ON CONFLICT (event) DO UPDATE SET at = greatest(seen.at, excluded.at)`, key(w.Event), store.TimeKey(w.At))
	case store.ForgetEvent:
		b.Queue(`DELETE FROM seen WHERE event = $1`, key(string(w)))
	case store.PutHousehold:
		return queueRecord(b, w.Household, `INSERT INTO households (record, id, rev) VALUES ($1, $2, $3)
			ON CONFLICT (id) DO UPDATE SET rev = excluded.rev, record = excluded.record`, key(w.ID), int64(w.Rev))
	case store.DeleteHousehold:
		queueForgotten(b, key(string(w)))
	case store.PutEnding:
		if w.At.IsZero() {
			b.Queue(`DELETE FROM endings WHERE household = $1`, key(w.Household))
			break
		}
		b.Queue(`INSERT INTO endings VALUES ($1, $2) ON CONFLICT (household) DO UPDATE SET at = excluded.at`, key(w.Household), store.TimeKey(w.At))
	case store.PushChange:
		b.Queue(`DELETE FROM changes WHERE household = $1 AND n <= (SELECT n FROM changes WHERE household = $1 ORDER BY n DESC OFFSET $2 LIMIT 1)`, key(w.Household), store.MaxChanges-1)
		return queueRecord(b, w.Change, `INSERT INTO changes (record, household) VALUES ($1, $2)`, key(w.Household))
	case store.PopChange:
		b.Queue(`DELETE FROM changes WHERE household = $1 AND n = (SELECT n FROM changes WHERE household = $1 ORDER BY n DESC LIMIT 1)`, key(string(w)))
	case store.PutEntry:
		e := w.Entry
		return queueRecord(b, e, `INSERT INTO journal (record, household, id, kind, dog, at) VALUES ($1, $2, $3, $4, $5, $6)
			ON CONFLICT (household, id) DO UPDATE SET kind = excluded.kind, dog = excluded.dog, at = excluded.at, record = excluded.record`,
			key(w.Household), key(e.ID), key(string(e.Kind)), key(e.Dog), store.TimeKey(e.At))
	case store.DeleteEntry:
		b.Queue(`DELETE FROM journal WHERE household = $1 AND id = $2`, key(w.Household), key(w.ID))
	case store.PutDue:
		return queueDue(b, store.Due(w))
	case store.PutMember:
		if w.Household == "" {
			b.Queue(`DELETE FROM members WHERE chat = $1 AND person = $2`, key(w.Chat), key(w.Person))
			break
		}
		b.Queue(`INSERT INTO members VALUES ($1, $2, $3) ON CONFLICT (chat, person) DO UPDATE SET household = excluded.household`, key(w.Chat), key(w.Person), key(w.Household))
	case store.PutInvite:
		return queueRecord(b, w, `INSERT INTO invites (record, key, household) VALUES ($1, $2, $3)
			ON CONFLICT (key) DO UPDATE SET household = excluded.household, record = excluded.record`, key(w.Key), key(w.Household))
	case store.DeleteInvite:
		b.Queue(`DELETE FROM invites WHERE key = $1`, key(string(w)))
	case store.PutPublished:
		return queueRecord(b, w, `INSERT INTO published (record, token, household) VALUES ($1, $2, $3)
			ON CONFLICT (token) DO UPDATE SET household = excluded.household, record = excluded.record`, key(w.Token), key(w.Household))
	case store.PutReader:
		return queueRecord(b, w, `INSERT INTO readers (record, token, household) VALUES ($1, $2, $3)
			ON CONFLICT (token, household) DO UPDATE SET record = excluded.record`, key(w.Token), key(w.Household))
	case store.DeleteReader:
		b.Queue(`DELETE FROM readers WHERE token = $1 AND household = $2`, key(w.Token), key(w.Household))
	default:
		return queueOfChat(b, w)
	}
	return nil
}

// queueOfChat adds what a write about chats, and what comes and goes, asks for.
func queueOfChat(b *pgx.Batch, w store.Write) error {
	switch w := w.(type) {
	case store.MoveChat:
		queueMoved(b, key(w.From), key(w.To))
	case store.ForgetChat:
		for _, table := range []string{"dialogues", "adapters", "blocked", "outbox", "dead"} {
			b.Queue(`DELETE FROM `+table+` WHERE chat = $1`, key(string(w)))
		}
	case store.PutDialogue:
		if w.Dialogue.None() {
			b.Queue(`DELETE FROM dialogues WHERE chat = $1 AND person = $2`, key(w.Chat), key(w.Person))
			break
		}
		return queueRecord(b, w.Dialogue, `INSERT INTO dialogues (record, chat, person) VALUES ($1, $2, $3)
			ON CONFLICT (chat, person) DO UPDATE SET record = excluded.record`, key(w.Chat), key(w.Person))
	case store.PutAdapter:
		if len(w.Notes) == 0 {
			b.Queue(`DELETE FROM adapters WHERE chat = $1`, key(w.Chat))
			break
		}
		b.Queue(`INSERT INTO adapters VALUES ($1, $2) ON CONFLICT (chat) DO UPDATE SET notes = excluded.notes`, key(w.Chat), slices.Clone(w.Notes))
	case store.Enqueue:
		first := store.Outgoing(w).Numbered(0).Number
		return queueRecord(b, w, `INSERT INTO outbox (record, number, chat) VALUES ($1, nextval('outbox_number') + $2, $3)`, int64(first), key(w.Chat))
	case store.PutMessage:
		return queueRecord(b, w, `INSERT INTO outbox (record, number, chat) VALUES ($1, $2, $3)
			ON CONFLICT (number) DO UPDATE SET chat = excluded.chat, record = excluded.record`, int64(w.Number), key(w.Chat))
	case store.NumberFrom:
		b.Queue(`SELECT setval('outbox_number', greatest($1, (SELECT last_value FROM outbox_number))) WHERE $1 > 0`, int64(w))
	case store.Delivered:
		b.Queue(`DELETE FROM outbox WHERE number = $1`, int64(w))
	case store.PutBlocked:
		if w.Since.IsZero() {
			b.Queue(`DELETE FROM blocked WHERE chat = $1`, key(w.Chat))
			break
		}
		b.Queue(`INSERT INTO blocked VALUES ($1, $2) ON CONFLICT (chat) DO UPDATE SET since = excluded.since`, key(w.Chat), store.TimeKey(w.Since))
	case store.PutDead:
		return queueRecord(b, w, `INSERT INTO dead (record, number, chat) VALUES ($1, $2, $3)
			ON CONFLICT (number) DO UPDATE SET chat = excluded.chat, record = excluded.record`, int64(w.Message.Number), key(w.Message.Chat))
	case store.DeleteDead:
		b.Queue(`DELETE FROM dead WHERE number = $1`, int64(w))
	case store.PutUpdate:
		b.Queue(`INSERT INTO inbox VALUES ($1, $2, $3) ON CONFLICT (id) DO UPDATE SET chat = excluded.chat, body = excluded.body`, w.ID, key(w.Chat), append([]byte{}, w.Body...))
	case store.DeleteUpdate:
		b.Queue(`DELETE FROM inbox WHERE id = $1`, int64(w))
		b.Queue(`DELETE FROM claims WHERE kind = 'inbox' AND key = $1`, updateKey(int64(w)))
	default:
		return errUndecoded
	}
	return nil
}

// queueRecord adds a statement whose first parameter is a record.
func queueRecord(b *pgx.Batch, record any, sql string, args ...any) error {
	data, err := json.Marshal(record)
	if err != nil {
		return &store.Error{Code: store.Internal, Op: "commit", Err: err}
	}
	b.Queue(sql, append([]any{data}, args...)...)
	return nil
}

// queueDue also ends the claim of what was due.
func queueDue(b *pgx.Batch, d store.Due) error {
	home := key(d.Household)
	b.Queue(`DELETE FROM claims WHERE kind = 'due' AND key = $1`, home)
	if d.At.IsZero() && d.Through.IsZero() {
		b.Queue(`DELETE FROM due WHERE household = $1`, home)
		return nil
	}
	d.At, d.Through = d.At.UTC(), d.Through.UTC()
	var at []byte
	if !d.At.IsZero() {
		at = store.TimeKey(d.At)
	}
	return queueRecord(b, d, `INSERT INTO due (record, household, at) VALUES ($1, $2, $3)
		ON CONFLICT (household) DO UPDATE SET at = excluded.at, record = excluded.record`, home, at)
}

// queueForgotten locks what a household has published before that goes: others
// may be about to keep it.
func queueForgotten(b *pgx.Batch, home []byte) {
	b.Queue(`SELECT token FROM published WHERE household = $1 ORDER BY token FOR UPDATE`, home)
	b.Queue(`DELETE FROM readers WHERE household = $1 OR token IN (SELECT token FROM published WHERE household = $1)`, home)
	for _, table := range []string{"published", "changes", "journal", "members", "invites", "endings", "due"} {
		b.Queue(`DELETE FROM `+table+` WHERE household = $1`, home)
	}
	b.Queue(`DELETE FROM claims WHERE kind = 'due' AND key = $1`, home)
	b.Queue(`DELETE FROM households WHERE id = $1`, home)
}

// queueMoved gives what lies under one name another, in whose place there is
// nothing then.
func queueMoved(b *pgx.Batch, from, to []byte) {
	if string(from) == string(to) {
		return
	}
	for _, table := range []string{"members", "dialogues"} {
		b.Queue(`DELETE FROM `+table+` WHERE chat = $2 AND person IN (SELECT person FROM `+table+` WHERE chat = $1)`, from, to)
		b.Queue(`UPDATE `+table+` SET chat = $2 WHERE chat = $1`, from, to)
	}
	for _, table := range []string{"adapters", "blocked"} {
		b.Queue(`DELETE FROM `+table+` WHERE chat = $2 AND EXISTS (SELECT FROM `+table+` WHERE chat = $1)`, from, to)
		b.Queue(`UPDATE `+table+` SET chat = $2 WHERE chat = $1`, from, to)
	}
	b.Queue(`UPDATE outbox SET chat = $2 WHERE chat = $1`, from, to)
}

// updateKey is the id of an update as a claim has it, and as int8send says it.
func updateKey(id int64) []byte { return binary.BigEndian.AppendUint64(nil, uint64(id)) }

// idOf reads it.
func idOf(key []byte) int64 { return int64(binary.BigEndian.Uint64(key)) }
