package postgres

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"bowlwright/planner"
	"bowlwright/store"
)

// snapshot reads in a transaction.
type snapshot struct {
	ctx  context.Context
	tx   pgx.Tx
	over bool
	end  func()
}

// Close implements store.Snapshot.
func (t *snapshot) Close() {
	if !t.over {
		t.over = true
		t.end()
	}
}

// each calls f with every row of a query.
func (t *snapshot) each(op, sql string, args []any, f func(pgx.Rows) error) error {
	if t.over {
		return classify(op, errOver)
	}
	rows, err := t.tx.Query(t.ctx, sql, args...)
	if err != nil {
		return classify(op, err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows); err != nil {
			return classify(op, err)
		}
	}
	return classify(op, rows.Err())
}

// rows reads one column.
func rows[T any](t *snapshot, op, sql string, args ...any) (out []T, err error) {
	err = t.each(op, sql, args, func(r pgx.Rows) error {
		var v T
		err := r.Scan(&v)
		out = append(out, v)
		return err
	})
	return out, err
}

// row is the one row of a query, NotFound where there is none.
func row[T any](t *snapshot, op, sql string, args ...any) (T, error) {
	all, err := rows[T](t, op, sql, args...)
	return one(op, all, err)
}

// one is the one thing that there is, NotFound where there is none.
func one[T any](op string, all []T, err error) (v T, _ error) {
	if err == nil && len(all) == 0 {
		err = &store.Error{Code: store.NotFound, Op: op}
	}
	for _, v = range all {
	}
	return v, err
}

// records reads one column of records.
func records[T any](t *snapshot, op, sql string, args ...any) (out []T, err error) {
	err = t.each(op, sql, args, func(r pgx.Rows) error {
		var v T
		err := store.Decode(op, r.RawValues()[0], &v)
		out = append(out, v)
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// record is the one record of a query, NotFound where there is none.
func record[T any](t *snapshot, op, sql string, args ...any) (T, error) {
	all, err := records[T](t, op, sql, args...)
	return one(op, all, err)
}

// names reads one column of names.
func names(t *snapshot, op, sql string, args ...any) (out []string, err error) {
	all, err := rows[[]byte](t, op, sql, args...)
	for _, name := range all {
		out = append(out, string(name))
	}
	return out, err
}

// key is a name as a column has it.
func key(name string) []byte { return []byte(name) }

// most is a limit as PostgreSQL takes it.
func most(limit int) int { return max(0, limit) }

func (t *snapshot) Seen(event string) (bool, error) {
	return row[bool](t, "seen", `SELECT EXISTS (SELECT FROM seen WHERE event = $1)`, key(event))
}

func (t *snapshot) SeenBefore(at time.Time, limit int) ([]string, error) {
	return names(t, "seen before", `SELECT event FROM seen WHERE at < $1 ORDER BY at, event LIMIT $2`, store.TimeKey(at), most(limit))
}

func (t *snapshot) Household(id string) (*planner.Household, error) {
	return record[*planner.Household](t, "household", `SELECT record FROM households WHERE id = $1`, key(id))
}

func (t *snapshot) Revision(household string) (uint64, error) {
	rev, err := row[int64](t, "revision", `SELECT rev FROM households WHERE id = $1`, key(household))
	return uint64(rev), err
}

func (t *snapshot) Change(household string, before int) (store.Change, error) {
	const sql = `SELECT record FROM changes WHERE household = $1 ORDER BY n DESC LIMIT 1 OFFSET $2`
	return record[store.Change](t, "change", sql, key(household), before)
}

func (t *snapshot) Member(chat, person string) (string, error) {
	household, err := row[[]byte](t, "member", `SELECT household FROM members WHERE chat = $1 AND person = $2`, key(chat), key(person))
	return string(household), err
}

func (t *snapshot) Members(household string) (out []store.Member, err error) {
	const sql = `SELECT chat, person FROM members WHERE household = $1 ORDER BY chat, person`
	err = t.each("members", sql, []any{key(household)}, func(r pgx.Rows) error {
		v := r.RawValues() // bytea, in the binary format
		out = append(out, store.Member{Chat: string(v[0]), Person: string(v[1])})
		return nil
	})
	return out, err
}

func (t *snapshot) Invite(k string) (store.Invite, error) {
	return record[store.Invite](t, "invite", `SELECT record FROM invites WHERE key = $1`, key(k))
}

func (t *snapshot) Invites(household string) ([]store.Invite, error) {
	return records[store.Invite](t, "invites", `SELECT record FROM invites WHERE household = $1 ORDER BY key`, key(household))
}

// Endings reads all of them, which are few.
func (t *snapshot) Endings(until time.Time, limit int) ([]string, error) {
	return names(t, "endings", `SELECT household FROM endings WHERE at <= $1 ORDER BY household LIMIT $2`, store.TimeKey(until), most(limit))
}

func (t *snapshot) Published(token string) (store.Published, error) {
	return record[store.Published](t, "published", `SELECT record FROM published WHERE token = $1`, key(token))
}

func (t *snapshot) PublishedBy(household string) ([]store.Published, error) {
	return records[store.Published](t, "published by", `SELECT record FROM published WHERE household = $1 ORDER BY token`, key(household))
}

func (t *snapshot) PublishedAfter(token string, limit int) ([]store.Published, error) {
	return records[store.Published](t, "published after", `SELECT record FROM published WHERE token > $1 ORDER BY token LIMIT $2`, key(token), most(limit))
}

func (t *snapshot) Readers(token, after string, limit int) ([]store.Reader, error) {
	const sql = `SELECT record FROM readers WHERE token = $1 AND household > $2 ORDER BY household LIMIT $3`
	return records[store.Reader](t, "readers", sql, key(token), key(after), most(limit))
}

func (t *snapshot) Reading(household string) ([]store.Reader, error) {
	return records[store.Reader](t, "reading", `SELECT record FROM readers WHERE household = $1 ORDER BY token`, key(household))
}

func (t *snapshot) Entry(household, id string) (planner.Entry, error) {
	return record[planner.Entry](t, "entry", `SELECT record FROM journal WHERE household = $1 AND id = $2`, key(household), key(id))
}

func (t *snapshot) Entries(household string, q store.EntryQuery) ([]planner.Entry, error) {
	sql, args := entriesSQL(household, q)
	return records[planner.Entry](t, "entries", sql, args...)
}

// entriesSQL is a query of the journal. Entries of some kinds are looked up kind
// by kind, each no further than the limit: of years of bowls none is read for
// the last weigh-in.
func entriesSQL(household string, q store.EntryQuery) (string, []any) {
	args := []any{key(household)}
	bind := func(v any) string { args = append(args, v); return fmt.Sprint("$", len(args)) }
	where := "household = $1"
	if q.Dog != "" {
		where += " AND dog = " + bind(key(q.Dog))
	}
	if !q.From.IsZero() {
		where += " AND at >= " + bind(store.TimeKey(q.From))
	}
	if !q.To.IsZero() {
		where += " AND at < " + bind(store.TimeKey(q.To))
	}
	way, limit := "", ""
	if q.Newest {
		way = " DESC"
	}
	if q.Limit > 0 {
		limit = " LIMIT " + bind(q.Limit)
	}
	order := " ORDER BY at" + way + ", id" + way + limit
	if len(q.Kinds) == 0 {
		return "SELECT record FROM journal WHERE " + where + order, args
	}
	var each []string
	asked := map[planner.EntryKind]bool{}
	for _, kind := range q.Kinds {
		if !asked[kind] {
			each = append(each, "(SELECT record, at, id FROM journal WHERE "+where+" AND kind = "+bind(key(string(kind)))+order+")")
		}
		asked[kind] = true
	}
	return "SELECT record FROM (" + strings.Join(each, " UNION ALL ") + ") AS kinds" + order, args
}

func (t *snapshot) Due(household string) (store.Due, error) {
	d, err := record[store.Due](t, "due", `SELECT record FROM due WHERE household = $1`, key(household))
	return d, store.OrNone(err)
}

func (t *snapshot) DueBy(at time.Time, limit int) ([]store.Due, error) {
	return records[store.Due](t, "due by", `SELECT record FROM due WHERE at <= $1 ORDER BY at, household LIMIT $2`, store.TimeKey(at), most(limit))
}

func (t *snapshot) Dialogue(chat, person string) (store.Dialogue, error) {
	return record[store.Dialogue](t, "dialogue", `SELECT record FROM dialogues WHERE chat = $1 AND person = $2`, key(chat), key(person))
}

func (t *snapshot) Adapter(chat string) ([]byte, error) {
	notes, err := row[[]byte](t, "adapter", `SELECT notes FROM adapters WHERE chat = $1`, key(chat))
	return notes, store.OrNone(err)
}

func (t *snapshot) Pending(chat string, limit int) ([]store.Outgoing, error) {
	const op, sql = "pending", `SELECT record, number, chat FROM outbox `
	if chat == "" {
		return t.messages(op, sql+`ORDER BY number LIMIT $1`, most(limit))
	}
	return t.messages(op, sql+`WHERE chat = $1 ORDER BY number LIMIT $2`, key(chat), most(limit))
}

// messages reads records with their numbers and chats.
func (t *snapshot) messages(op, sql string, args ...any) (out []store.Outgoing, err error) {
	err = t.each(op, sql, args, func(r pgx.Rows) error {
		var m store.Outgoing
		var data, chat []byte
		var number int64
		err := errors.Join(r.Scan(&data, &number, &chat), store.Decode(op, data, &m))
		m.Number, m.Chat = uint64(number), string(chat)
		out = append(out, m)
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

func (t *snapshot) PendingChats(prefix, after string, limit int) (out []store.PendingChat, err error) {
	sql, args := `SELECT chat, min(number) FROM outbox WHERE chat > $1 AND chat >= $2`, []any{key(after), key(prefix), most(limit)}
	if after == "" {
		sql = `SELECT chat, min(number) FROM outbox WHERE chat >= $1 AND chat >= $2`
	}
	if end := behindPrefix(prefix); end != nil {
		sql += ` AND chat < $4`
		args = append(args, end)
	}
	err = t.each("pending chats", sql+` GROUP BY chat ORDER BY chat LIMIT $3`, args, func(r pgx.Rows) error {
		var chat []byte
		var n int64
		err := r.Scan(&chat, &n)
		out = append(out, store.PendingChat{Chat: string(chat), Oldest: uint64(n)})
		return err
	})
	return out, err
}

// behindPrefix is behind all names that begin with a prefix, nil where nothing
// is.
func behindPrefix(prefix string) []byte {
	end := []byte(prefix)
	for len(end) > 0 && end[len(end)-1] == 0xff {
		end = end[:len(end)-1]
	}
	if len(end) == 0 {
		return nil
	}
	end[len(end)-1]++
	return end
}

func (t *snapshot) Blocked(chat string) (time.Time, error) {
	since, err := row[[]byte](t, "blocked", `SELECT since FROM blocked WHERE chat = $1`, key(chat))
	if err != nil {
		return time.Time{}, store.OrNone(err)
	}
	return store.TimeOf(since), nil
}

func (t *snapshot) Dead(limit int) ([]store.Dead, error) {
	return records[store.Dead](t, "dead", `SELECT record FROM dead ORDER BY number LIMIT $1`, most(limit))
}

func (t *snapshot) Updates(after int64, limit int) ([]store.Update, error) {
	return t.updates("updates", `SELECT id, chat, body FROM inbox WHERE id > $1 ORDER BY id LIMIT $2`, after, most(limit))
}

func (t *snapshot) updates(op, sql string, args ...any) (out []store.Update, err error) {
	err = t.each(op, sql, args, func(r pgx.Rows) error {
		var u store.Update
		var chat []byte
		err := r.Scan(&u.ID, &chat, &u.Body)
		u.Chat = string(chat)
		out = append(out, u)
		return err
	})
	return out, err
}

// Sizes implements store.Snapshot. It counts, which costs some milliseconds for
// 100,000 households.
func (t *snapshot) Sizes() (out store.Sizes, err error) {
	const op, waits = "sizes", `FROM outbox WHERE NOT EXISTS (SELECT FROM blocked WHERE blocked.chat = outbox.chat)`
	for sql, n := range map[string]*int{
		`SELECT count(*) FROM households`: &out.Households, `SELECT count(*) FROM inbox`: &out.Inbox, `SELECT count(*) FROM dead`: &out.Dead,
		`SELECT count(*) ` + waits: &out.Outbox, `SELECT count(*) FROM outbox`: &out.Refused,
	} {
		if *n, err = row[int](t, op, sql); err != nil {
			return out, err
		}
	}
	out.Refused -= out.Outbox
	first, err := records[store.Outgoing](t, op, `SELECT record `+waits+` ORDER BY number LIMIT 1`)
	for _, m := range first {
		out.Oldest = m.At
	}
	if err == nil {
		out.Bytes, err = row[int64](t, op, `SELECT pg_database_size(current_database())`)
	}
	return out, err
}
