package storetest

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// Random runs random transactions on a store and on Memory and fails where
// the two differ. Between them it reopens the store: reopen closes the store
// it is given and returns the same data opened again. The same seed gives the
// same run.
func Random(t *testing.T, s store.Store, reopen func(store.Store) store.Store, seed uint64, transactions int) {
	r := &runner{rand: rand.New(rand.NewPCG(seed, 1)), model: NewMemory()}
	for n := range transactions {
		if r.rand.IntN(25) == 0 {
			s = reopen(s)
		}
		if r.rand.IntN(20) == 0 {
			r.purge(t, s)
		}
		r.transaction(t, s)
		if t.Failed() {
			t.Fatalf("in transaction %d of seed %d", n, seed)
		}
	}
}

type runner struct {
	rand  *rand.Rand
	model *Memory
	tick  int
}

// operation is one call, or a write, which can be made on any store.
type operation struct {
	name string
	call func(store.Snapshot, Put) (any, error)
}

// transaction makes the same calls on both stores, and commits the same writes
// to both, where it commits at all.
func (r *runner) transaction(t *testing.T, s store.Store) {
	ops := make([]operation, 1+r.rand.IntN(12))
	for n := range ops {
		ops[n] = r.operation()
	}
	undo := r.rand.IntN(8) == 0
	do := func(s store.Store) (results []string, err error) {
		err = Change(context.Background(), s, func(tx store.Snapshot, put Put) error {
			for _, op := range ops {
				v, err := op.call(tx, put)
				results = append(results, result(op.name, v, err))
			}
			if undo {
				return errUndo
			}
			return nil
		})
		return results, err
	}
	want, wantErr := do(r.model)
	got, err := do(s)
	if codeOf(err) != codeOf(wantErr) {
		t.Errorf("transaction: %v, want %v", err, wantErr)
	}
	for n := range want {
		if n >= len(got) || got[n] != want[n] {
			t.Errorf("call %d of %d:\n got %v\nwant %s", n, len(want), got[min(n, len(got)):min(n+1, len(got))], want[n])
			return
		}
	}
}

var errUndo = errors.New("undo")

// result is what a call gave, in a form that can be compared and read.
func result(name string, v any, err error) string {
	if err != nil {
		return fmt.Sprintf("%s: code %s", name, codeOf(err))
	}
	if p := reflect.ValueOf(v); p.Kind() == reflect.Pointer && !p.IsNil() {
		v = p.Elem().Interface()
	}
	return fmt.Sprintf("%s: %+v", name, v)
}

func (r *runner) purge(t *testing.T, s store.Store) {
	before := morning.Add(time.Duration(r.rand.IntN(r.tick+1)) * time.Minute)
	for _, s := range []store.Store{s, r.model} {
		if err := store.Purge(context.Background(), s, before); err != nil {
			t.Errorf("purge: %v", err)
		}
	}
}

// name returns one of a few names, most of which begin another.
func (r *runner) name() string {
	return []string{"a", "ab", "abc", "b", "a\x00b", "terminal/Ines"}[r.rand.IntN(6)]
}

// event returns one of ever more event ids, so that old and new ones occur.
func (r *runner) event() string {
	return fmt.Sprint("e", r.rand.IntN(r.tick/4+2))
}

// household returns a household between a few bytes and several pages long.
func (r *runner) household() *planner.Household {
	h := &planner.Household{ID: r.name(), LastID: r.tick, Rev: uint64(r.tick), Created: morning}
	for range r.rand.IntN(1 << r.rand.IntN(7)) {
		d := Quayside().Dogs[r.rand.IntN(2)]
		d.Health = fmt.Sprint(r.rand.Uint64())
		h.Dogs = append(h.Dogs, d)
	}
	return h
}

func (r *runner) operation() operation {
	r.tick++
	switch n := r.rand.IntN(26); {
	case n < 2:
		return r.eventOperation()
	case n < 5:
		return r.memberOperation()
	case n < 7:
		return r.householdOperation()
	case n < 10:
		return r.dialogueOperation()
	case n < 13:
		return r.changeOperation()
	case n < 15:
		return r.adapterOperation()
	case n < 18:
		return r.chatOperation()
	case n < 22:
		return r.entryOperation()
	case n < 24:
		return r.dueOperation()
	}
	if r.rand.IntN(4) == 0 {
		return r.inboxOperation()
	}
	return r.outboxOperation()
}

func (r *runner) inboxOperation() operation {
	id, after, limit := int64(r.rand.IntN(20)-5), int64(r.rand.IntN(20)-6), r.rand.IntN(12)
	u := store.Update{ID: id, Chat: r.name(), Body: make([]byte, r.rand.IntN(50))}
	switch r.rand.IntN(4) {
	case 0:
		return operation{"DeleteUpdate", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.DeleteUpdate(id)) }}
	case 1, 2:
		return operation{"PutUpdate", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.PutUpdate(u)) }}
	}
	return operation{"Updates", func(tx store.Snapshot, put Put) (any, error) { return tx.Updates(after, limit) }}
}

func (r *runner) eventOperation() operation {
	id, at := r.event(), morning.Add(time.Duration(r.rand.IntN(r.tick))*time.Minute)
	if r.rand.IntN(2) == 0 {
		return operation{"Seen " + id, func(tx store.Snapshot, put Put) (any, error) { return tx.Seen(id) }}
	}
	return operation{"MarkSeen " + id, func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.MarkSeen{Event: id, At: at}) }}
}

func (r *runner) memberOperation() operation {
	chat, person, id := r.name(), r.name(), r.name()
	switch r.rand.IntN(6) {
	case 4:
		return operation{"Members", func(tx store.Snapshot, put Put) (any, error) { return tx.Members(id) }}
	case 5:
		return r.membershipOperation()
	case 0:
		return operation{"DeleteMember", func(tx store.Snapshot, put Put) (any, error) {
			return nil, put(store.PutMember{Chat: chat, Person: person})
		}}
	case 1:
		return operation{"PutMember", func(tx store.Snapshot, put Put) (any, error) {
			return nil, put(store.PutMember{Chat: chat, Person: person, Household: id})
		}}
	}
	return operation{"Member", func(tx store.Snapshot, put Put) (any, error) { return tx.Member(chat, person) }}
}

func (r *runner) membershipOperation() operation {
	chat, id, limit := r.name(), r.name(), r.rand.IntN(5)
	at := morning.Add(time.Duration(r.rand.IntN(10)) * time.Hour)
	i := store.Invite{Key: r.name(), Household: r.name(), By: person, Expires: at}
	switch r.rand.IntN(12) {
	case 0:
		return operation{"DeleteHousehold", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.DeleteHousehold(id)) }}
	case 1, 2:
		return operation{"MoveChat", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.MoveChat{From: chat, To: id}) }}
	case 3, 4:
		return operation{"PutInvite", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.PutInvite(i)) }}
	case 5:
		return operation{"Invite", func(tx store.Snapshot, put Put) (any, error) { return tx.Invite(id) }}
	case 6:
		return operation{"DeleteInvite", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.DeleteInvite(id)) }}
	case 7, 8:
		return operation{"Invites", func(tx store.Snapshot, put Put) (any, error) { return tx.Invites(id) }}
	case 9:
		return operation{"PutEnding", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.PutEnding{Household: id, At: at}) }}
	case 10:
		return operation{"PutEnding of none", func(tx store.Snapshot, put Put) (any, error) {
			return nil, put(store.PutEnding{Household: id, At: time.Time{}})
		}}
	}
	return operation{"Endings", func(tx store.Snapshot, put Put) (any, error) { return tx.Endings(at, limit) }}
}

func (r *runner) householdOperation() operation {
	h, id := r.household(), r.name()
	kind := r.rand.IntN(4)
	if kind < 2 {
		return operation{"PutHousehold", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.PutHousehold{Household: h}) }}
	}
	if kind == 2 {
		return operation{"Revision", func(tx store.Snapshot, put Put) (any, error) { return tx.Revision(id) }}
	}
	return operation{"Household", func(tx store.Snapshot, put Put) (any, error) { return tx.Household(id) }}
}

func (r *runner) dialogueOperation() operation {
	chat, person := r.name(), r.name()
	d := store.Dialogue{Kind: r.name(), Step: fmt.Sprint(r.tick), Data: make([]byte, r.rand.IntN(50)), Since: morning}
	switch r.rand.IntN(4) {
	case 0:
		return operation{"DeleteDialogue", func(tx store.Snapshot, put Put) (any, error) {
			return nil, put(store.PutDialogue{Chat: chat, Person: person})
		}}
	case 1:
		return operation{"PutDialogue", func(tx store.Snapshot, put Put) (any, error) {
			return nil, put(store.PutDialogue{Chat: chat, Person: person, Dialogue: d})
		}}
	}
	return operation{"Dialogue", func(tx store.Snapshot, put Put) (any, error) { return tx.Dialogue(chat, person) }}
}

func (r *runner) changeOperation() operation {
	id, c := r.name(), store.Change{ID: fmt.Sprint(r.tick), At: morning}
	switch r.rand.IntN(6) {
	case 0:
		return operation{"PopChange", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.PopChange(id)) }}
	case 1, 2:
		return operation{"PushChange", func(tx store.Snapshot, put Put) (any, error) {
			return nil, put(store.PushChange{Household: id, Change: c})
		}}
	}
	if r.rand.IntN(2) == 0 {
		return operation{"ChangeBefore", func(tx store.Snapshot, put Put) (any, error) { return tx.ChangeBefore(id) }}
	}
	return operation{"LastChange", func(tx store.Snapshot, put Put) (any, error) { return tx.LastChange(id) }}
}

func (r *runner) adapterOperation() operation {
	chat, notes := r.name(), make([]byte, r.rand.IntN(40))
	if r.rand.IntN(2) == 0 {
		return operation{"PutAdapter", func(tx store.Snapshot, put Put) (any, error) {
			return nil, put(store.PutAdapter{Chat: chat, Notes: notes})
		}}
	}
	return operation{"Adapter", func(tx store.Snapshot, put Put) (any, error) { return tx.Adapter(chat) }}
}

func (r *runner) outboxOperation() operation {
	chat, limit, m := r.name(), r.rand.IntN(30), message(r.name(), r.tick)
	which := r.rand.IntN(1 << 16)
	switch r.rand.IntN(6) {
	case 0:
		return operation{"Pending of all", func(tx store.Snapshot, put Put) (any, error) { return tx.Pending("", limit) }}
	case 1:
		return operation{"Pending", func(tx store.Snapshot, put Put) (any, error) { return tx.Pending(chat, limit) }}
	case 2, 3:
		return operation{"Enqueue", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.Enqueue(m)) }}
	}
	return operation{"Delivered", func(tx store.Snapshot, put Put) (any, error) {
		ms, err := tx.Pending("", 1000)
		if len(ms) == 0 {
			return nil, err
		}
		return len(ms), put(store.Delivered(ms[which%len(ms)].Number))
	}}
}
