package storetest

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"bowlwright/nutrition"
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
	rand     *rand.Rand
	model    *Memory
	tick     int
	enqueued int
}

// operation is a write, or a question, which can be made on any store.
type operation struct {
	name  string
	write store.Write
	ask   func(store.Snapshot) (any, error)
}

func write(w store.Write) operation { return operation{name: fmt.Sprintf("%T", w), write: w} }

func ask(name string, f func(store.Snapshot) (any, error)) operation {
	return operation{name: name, ask: f}
}

// on makes an operation on a store, and returns what it gave in a form that can
// be compared and read.
func (o operation) on(tx store.Snapshot, put Put) string {
	if o.write != nil {
		put(o.write)
		return o.name
	}
	v, err := o.ask(tx)
	if err != nil {
		return fmt.Sprintf("%s: code %s", o.name, codeOf(err))
	}
	if p := reflect.ValueOf(v); p.Kind() == reflect.Pointer && !p.IsNil() {
		v = p.Elem().Interface()
	}
	return fmt.Sprintf("%s: %+v", o.name, v)
}

// transaction makes the same operations on both stores, and commits the same
// writes to both, where it commits at all.
func (r *runner) transaction(t *testing.T, s store.Store) {
	ops := make([]operation, 1+r.rand.IntN(12))
	for n := range ops {
		ops[n] = r.operation()
	}
	undo := r.rand.IntN(8) == 0
	do := func(s store.Store) (results []string, err error) {
		err = Change(context.Background(), s, func(tx store.Snapshot, put Put) error {
			for _, op := range ops {
				results = append(results, op.on(tx, put))
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
			t.Errorf("operation %d of %d:\n got %v\nwant %s", n, len(want), got[min(n, len(got)):min(n+1, len(got))], want[n])
			return
		}
	}
}

var errUndo = errors.New("undo")

func (r *runner) purge(t *testing.T, s store.Store) {
	before := morning.Add(time.Duration(r.rand.IntN(r.tick+1)) * time.Minute)
	for _, s := range []store.Store{s, r.model} {
		if err := store.Purge(context.Background(), s, before); err != nil {
			t.Errorf("purge: %v", err)
		}
	}
}

// pick returns one of some values.
func pick[T any](r *runner, all ...T) T { return all[r.rand.IntN(len(all))] }

// name returns one of a few names, most of which begin another.
func (r *runner) name() string { return pick(r, "a", "ab", "abc", "b", "a\x00b", "terminal/Ines") }

// instant returns one of a few times, the zero time and some before 1970
// among them.
func (r *runner) instant() time.Time {
	switch n := r.rand.IntN(10); n {
	case 0:
		return time.Time{}
	case 1:
		return time.Unix(int64(-r.rand.IntN(3)), 5).UTC()
	default:
		return morning.Add(time.Duration(r.rand.IntN(8)) * time.Hour / 2)
	}
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
	return pick(r, pick(r, r.events, r.members, r.homes, r.dialogues, r.changes, r.notes, r.delivery, r.journal, r.journal, r.dues, r.inbox, r.outbox, r.publishing)()...)
}

// events are ever more, so that old and new ones occur.
func (r *runner) events() []operation {
	id, at := fmt.Sprint("e", r.rand.IntN(r.tick/4+2)), morning.Add(time.Duration(r.rand.IntN(r.tick))*time.Minute)
	return []operation{
		ask("Seen", func(tx store.Snapshot) (any, error) { return tx.Seen(id) }),
		write(store.MarkSeen{Event: id, At: at}),
	}
}

func (r *runner) members() []operation {
	chat, person, id, limit := r.name(), r.name(), r.name(), r.rand.IntN(5)
	at := morning.Add(time.Duration(r.rand.IntN(10)) * time.Hour)
	return []operation{
		write(store.PutMember{Chat: chat, Person: person, Household: pick(r, "", id, id)}),
		ask("Member", func(tx store.Snapshot) (any, error) { return tx.Member(chat, person) }),
		ask("Members", func(tx store.Snapshot) (any, error) {
			all, err := tx.Members(id)
			slices.SortFunc(all, func(a, b store.Member) int {
				return cmp.Or(cmp.Compare(a.Chat, b.Chat), cmp.Compare(a.Person, b.Person))
			})
			return all, err
		}),
		write(store.MoveChat{From: chat, To: id}),
		write(store.PutInvite{Key: chat, Household: person, By: person, Expires: at}),
		ask("Invite", func(tx store.Snapshot) (any, error) { return tx.Invite(id) }),
		write(store.DeleteInvite(id)),
		ask("Invites", func(tx store.Snapshot) (any, error) { return tx.Invites(id) }),
		write(store.PutEnding{Household: id, At: pick(r, time.Time{}, at)}),
		ask("Endings", func(tx store.Snapshot) (any, error) { return tx.Endings(at, limit) }),
	}
}

func (r *runner) homes() []operation {
	h, id := r.household(), r.name()
	return []operation{
		write(store.PutHousehold{Household: h}), write(store.PutHousehold{Household: h}), write(store.PutHousehold{Household: h}),
		write(store.DeleteHousehold(id)),
		write(store.ForgetChat(id)),
		ask("Revision", func(tx store.Snapshot) (any, error) { return tx.Revision(id) }),
		ask("Household", func(tx store.Snapshot) (any, error) { return tx.Household(id) }),
	}
}

func (r *runner) dialogues() []operation {
	chat, person := r.name(), r.name()
	d := store.Dialogue{Kind: r.name(), Step: fmt.Sprint(r.tick), Data: make([]byte, r.rand.IntN(50)), Since: morning}
	return []operation{
		write(store.PutDialogue{Chat: chat, Person: person, Dialogue: pick(r, store.Dialogue{}, d)}),
		ask("Dialogue", func(tx store.Snapshot) (any, error) { return tx.Dialogue(chat, person) }),
	}
}

func (r *runner) changes() []operation {
	id := r.name()
	push := write(store.PushChange{Household: id, Change: store.Change{ID: fmt.Sprint(r.tick), At: morning}})
	return []operation{
		push, push, write(store.PopChange(id)),
		ask("Change", func(tx store.Snapshot) (any, error) { return tx.Change(id, 0) }),
		ask("Change before", func(tx store.Snapshot) (any, error) { return tx.Change(id, 1) }),
	}
}

func (r *runner) notes() []operation {
	chat := r.name()
	return []operation{
		write(store.PutAdapter{Chat: chat, Notes: make([]byte, r.rand.IntN(40))}),
		ask("Adapter", func(tx store.Snapshot) (any, error) { return tx.Adapter(chat) }),
	}
}

// delivery is what the delivery keeps.
func (r *runner) delivery() []operation {
	prefix, after, limit := r.name()[:1], r.name(), 1+r.rand.IntN(4)
	letter := store.Dead{Message: message(after, r.tick), Reason: fmt.Sprint(r.tick), At: morning}
	letter.Message.Number = uint64(r.rand.IntN(8))
	return []operation{
		ask("PendingChats", func(tx store.Snapshot) (any, error) { return allPending(tx, prefix, limit) }),
		ask("Blocked", func(tx store.Snapshot) (any, error) { return tx.Blocked(after) }),
		write(store.PutBlocked{Chat: after, Since: pick(r, time.Time{}, morning, morning.Add(time.Duration(r.tick)))}),
		ask("Dead", func(tx store.Snapshot) (any, error) { return tx.Dead(limit * 3) }),
		write(store.PutDead(letter)),
		write(store.DeleteDead(letter.Message.Number)),
	}
}

// allPending reads the chats page by page, and puts them into one order: that of
// a store is its own.
func allPending(tx store.Snapshot, prefix string, page int) (out []store.PendingChat, err error) {
	for after := ""; ; after = out[len(out)-1].Chat {
		chats, err := tx.PendingChats(prefix, after, page)
		out = append(out, chats...)
		if len(chats) > page {
			return nil, fmt.Errorf("%d chats in a page of %d", len(chats), page)
		}
		if err != nil || len(chats) < page {
			slices.SortFunc(out, func(a, b store.PendingChat) int { return cmp.Compare(a.Chat, b.Chat) })
			return out, err
		}
	}
}

func (r *runner) inbox() []operation {
	id, after, limit := int64(r.rand.IntN(20)-5), int64(r.rand.IntN(20)-6), r.rand.IntN(12)
	return []operation{
		write(store.DeleteUpdate(id)),
		write(store.PutUpdate{ID: id, Chat: r.name(), Body: make([]byte, r.rand.IntN(50))}),
		ask("Updates", func(tx store.Snapshot) (any, error) { return tx.Updates(after, limit) }),
	}
}

func (r *runner) outbox() []operation {
	chat, limit := pick(r, "", r.name()), r.rand.IntN(30)
	r.enqueued++ // at most
	return []operation{
		ask("Pending", func(tx store.Snapshot) (any, error) { return tx.Pending(chat, limit) }),
		write(store.Enqueue(message(r.name(), r.tick))),
		write(store.Delivered(max(1, r.enqueued-r.rand.IntN(60)))),
	}
}

func (r *runner) journal() []operation {
	household, id := r.name(), fmt.Sprint("n", r.rand.IntN(12))
	kinds := []planner.EntryKind{planner.Weighed, planner.Fed, planner.Treat, ""}
	dog := func() string { return pick(r, "", "d1", "d2", "d10") }
	q := store.EntryQuery{Dog: dog(), From: r.instant(), To: r.instant(), Newest: r.rand.IntN(2) == 0, Limit: r.rand.IntN(5)}
	for range r.rand.IntN(3) {
		q.Kinds = append(q.Kinds, pick(r, kinds...))
	}
	e := planner.Entry{ID: id, Kind: pick(r, kinds...), Dog: dog(), At: r.instant(), Weight: nutrition.Kilograms(r.tick), Text: id}
	switch r.rand.IntN(30) {
	case 0:
		e.ID = ""
	case 1:
		e.Weight = nutrition.Kilograms(math.NaN())
	}
	put := write(store.PutEntry{Household: household, Entry: e})
	return []operation{
		put, put, put, write(store.DeleteEntry{Household: household, ID: id}),
		ask("Entry", func(tx store.Snapshot) (any, error) { return tx.Entry(household, id) }),
		ask(fmt.Sprintf("Entries %+v", q), func(tx store.Snapshot) (any, error) { return tx.Entries(household, q) }),
	}
}

func (r *runner) publishing() []operation {
	token, household, after, limit := r.name(), r.name(), pick(r, "", r.name()), r.rand.IntN(5)
	p := store.Published{Household: household, Rev: uint64(r.tick), Published: planner.Published{Token: token}}
	reader := store.Reader{Token: token, Household: household, Version: r.tick}
	return []operation{
		write(store.PutPublished(p)),
		write(store.PutReader(reader)), write(store.PutReader(reader)), write(store.DeleteReader{Token: token, Household: household}),
		ask("Published", func(tx store.Snapshot) (any, error) { return tx.Published(token) }),
		ask("PublishedBy", func(tx store.Snapshot) (any, error) { return tx.PublishedBy(household) }),
		ask("PublishedAfter", func(tx store.Snapshot) (any, error) { return tx.PublishedAfter(after, limit) }),
		ask("Readers", func(tx store.Snapshot) (any, error) { return tx.Readers(token, after, limit) }),
		ask("Reading", func(tx store.Snapshot) (any, error) { return tx.Reading(household) }),
	}
}

func (r *runner) dues() []operation {
	d := store.Due{Household: r.name(), At: r.instant(), Through: r.instant()}
	by, limit := r.instant(), r.rand.IntN(6)
	return []operation{
		write(store.PutDue(d)), write(store.PutDue(d)), write(store.PutDue(d)),
		ask("Due", func(tx store.Snapshot) (any, error) { return tx.Due(d.Household) }),
		ask("DueBy", func(tx store.Snapshot) (any, error) { return tx.DueBy(by, limit) }),
		ask("NextDue", func(tx store.Snapshot) (any, error) { return store.NextDue(tx) }),
	}
}
