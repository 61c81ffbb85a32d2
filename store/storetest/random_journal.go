package storetest

import (
	"fmt"
	"math"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

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

// entryKind returns one of a few kinds.
func (r *runner) entryKind() planner.EntryKind {
	return []planner.EntryKind{planner.Weighed, planner.Fed, planner.Treat, ""}[r.rand.IntN(4)]
}

func (r *runner) dog() string { return []string{"", "d1", "d2", "d10"}[r.rand.IntN(4)] }

func (r *runner) entryOperation() operation {
	household, id := r.name(), fmt.Sprint("n", r.rand.IntN(12))
	switch r.rand.IntN(8) {
	case 0:
		return operation{"DeleteEntry", func(tx store.Snapshot, put Put) (any, error) {
			return nil, put(store.DeleteEntry{Household: household, ID: id})
		}}
	case 1:
		return operation{"Entry", func(tx store.Snapshot, put Put) (any, error) { return tx.Entry(household, id) }}
	case 2, 3:
		q := store.EntryQuery{Dog: r.dog(), From: r.instant(), To: r.instant(), Newest: r.rand.IntN(2) == 0, Limit: r.rand.IntN(5)}
		for range r.rand.IntN(3) {
			q.Kinds = append(q.Kinds, r.entryKind())
		}
		return operation{fmt.Sprintf("Entries %+v", q), func(tx store.Snapshot, put Put) (any, error) { return tx.Entries(household, q) }}
	}
	e := planner.Entry{ID: id, Kind: r.entryKind(), Dog: r.dog(), At: r.instant(), Weight: nutrition.Kilograms(r.tick), Text: id}
	switch r.rand.IntN(30) {
	case 0:
		e.ID = ""
	case 1:
		e.Weight = nutrition.Kilograms(math.NaN())
	}
	return operation{"PutEntry", func(tx store.Snapshot, put Put) (any, error) {
		return nil, put(store.PutEntry{Household: household, Entry: e})
	}}
}

func (r *runner) dueOperation() operation {
	d := store.Due{Household: r.name(), At: r.instant(), Through: r.instant()}
	by, limit := r.instant(), r.rand.IntN(6)
	switch r.rand.IntN(6) {
	case 0:
		return operation{"Due", func(tx store.Snapshot, put Put) (any, error) { return tx.Due(d.Household) }}
	case 1:
		return operation{"DueBy", func(tx store.Snapshot, put Put) (any, error) { return tx.DueBy(by, limit) }}
	case 2:
		return operation{"NextDue", func(tx store.Snapshot, put Put) (any, error) { return tx.NextDue() }}
	}
	return operation{"PutDue", func(tx store.Snapshot, put Put) (any, error) { return nil, put(store.PutDue(d)) }}
}
