package postgres

import (
	"bytes"
	"context"

	"github.com/jackc/pgx/v5"

	"bowlwright/planner"
	"bowlwright/store"
)

// Each implements store.Movable. A record that says something else than the
// columns beside it is damage.
func (s *Store) Each(ctx context.Context, f func(store.Write) error) error {
	const op = "each"
	t, err := s.read(ctx)
	if err != nil {
		return classify(op, err)
	}
	defer t.Close()
	for _, table := range []struct {
		sql  string
		make func(v [][]byte) (store.Write, error)
	}{
		{`SELECT event, at FROM seen ORDER BY event`, func(v [][]byte) (store.Write, error) {
			return store.MarkSeen{Event: string(v[0]), At: store.TimeOf(v[1])}, nil
		}},
		{`SELECT record, id, int8send(rev) FROM households ORDER BY id`, made(func(v [][]byte, h *planner.Household) (store.Write, bool) {
			return store.PutHousehold{Household: h}, h.ID == string(v[0]) && string(updateKey(int64(h.Rev))) == string(v[1])
		})},
		{`SELECT record, household FROM changes ORDER BY household, n`, made(func(v [][]byte, c store.Change) (store.Write, bool) {
			return store.PushChange{Household: string(v[0]), Change: c}, true
		})},
		{`SELECT chat, person, household FROM members ORDER BY chat, person`, func(v [][]byte) (store.Write, error) {
			return store.PutMember{Chat: string(v[0]), Person: string(v[1]), Household: string(v[2])}, nil
		}},
		{`SELECT record, key, household FROM invites ORDER BY key`, made(func(v [][]byte, i store.Invite) (store.Write, bool) {
			return store.PutInvite(i), i.Key == string(v[0]) && i.Household == string(v[1])
		})},
		{`SELECT household, at FROM endings ORDER BY household`, func(v [][]byte) (store.Write, error) {
			return store.PutEnding{Household: string(v[0]), At: store.TimeOf(v[1])}, nil
		}},
		{`SELECT record, household, id, kind, dog, at FROM journal ORDER BY household, id`, made(func(v [][]byte, e planner.Entry) (store.Write, bool) {
			return store.PutEntry{Household: string(v[0]), Entry: e},
				e.ID == string(v[1]) && string(e.Kind) == string(v[2]) && e.Dog == string(v[3]) && e.At.Equal(store.TimeOf(v[4]))
		})},
		{`SELECT record, household, at FROM due ORDER BY household`, made(func(v [][]byte, d store.Due) (store.Write, bool) {
			return store.PutDue(d), d.Household == string(v[0]) && d.At.Equal(store.TimeOf(v[1]))
		})},
		{`SELECT record, token, household FROM published ORDER BY token`, made(func(v [][]byte, p store.Published) (store.Write, bool) {
			return store.PutPublished(p), p.Token == string(v[0]) && p.Household == string(v[1])
		})},
		{`SELECT record, token, household FROM readers ORDER BY token, household`, made(func(v [][]byte, r store.Reader) (store.Write, bool) {
			return store.PutReader(r), r.Token == string(v[0]) && r.Household == string(v[1])
		})},
		{`SELECT record, chat, person FROM dialogues ORDER BY chat, person`, made(func(v [][]byte, d store.Dialogue) (store.Write, bool) {
			return store.PutDialogue{Chat: string(v[0]), Person: string(v[1]), Dialogue: d}, true
		})},
		{`SELECT chat, notes FROM adapters ORDER BY chat`, func(v [][]byte) (store.Write, error) {
			return store.PutAdapter{Chat: string(v[0]), Notes: bytes.Clone(v[1])}, nil
		}},
		{`SELECT record, int8send(number), chat FROM outbox ORDER BY number`, made(func(v [][]byte, m store.Outgoing) (store.Write, bool) {
			m.Number, m.Chat = uint64(idOf(v[0])), string(v[1])
			return store.PutMessage(m), true
		})},
		{`SELECT chat, since FROM blocked ORDER BY chat`, func(v [][]byte) (store.Write, error) {
			return store.PutBlocked{Chat: string(v[0]), Since: store.TimeOf(v[1])}, nil
		}},
		{`SELECT record, int8send(number), chat FROM dead ORDER BY number`, made(func(v [][]byte, d store.Dead) (store.Write, bool) {
			return store.PutDead(d), int64(d.Message.Number) == idOf(v[0]) && d.Message.Chat == string(v[1])
		})},
		{`SELECT int8send(id), chat, body FROM inbox ORDER BY id`, func(v [][]byte) (store.Write, error) {
			return store.PutUpdate{ID: idOf(v[0]), Chat: string(v[1]), Body: bytes.Clone(v[2])}, nil
		}},
		{`SELECT int8send(CASE WHEN is_called THEN last_value ELSE 0 END) FROM outbox_number`, func(v [][]byte) (store.Write, error) {
			return store.NumberFrom(idOf(v[0])), nil
		}},
	} {
		err := t.each(op, table.sql, nil, func(r pgx.Rows) error {
			w, err := table.make(r.RawValues())
			if err != nil {
				return err
			}
			return f(w)
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// made makes a write of a record and the columns beside it, which says whether
// they agree.
func made[T any](f func(beside [][]byte, is T) (store.Write, bool)) func([][]byte) (store.Write, error) {
	return func(v [][]byte) (store.Write, error) {
		var is T
		if err := store.Decode("each", v[0], &is); err != nil {
			return nil, err
		}
		w, agrees := f(v[1:], is)
		if !agrees {
			return nil, &store.Error{Code: store.Damaged, Op: "each", Err: &unsuitedError{"a record says something else than its columns"}}
		}
		return w, nil
	}
}
