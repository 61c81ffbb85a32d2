package storetest

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// entry is a household and the id of one of its entries.
type entry struct{ household, id string }

func (t *snapshot) Entry(household, id string) (e planner.Entry, err error) {
	err = cmp.Or(t.reads("entry"), record("entry", t.journal[entry{household, id}], &e))
	return e, err
}

// Entries looks at every entry there is.
func (t *snapshot) Entries(household string, q store.EntryQuery) ([]planner.Entry, error) {
	var out []planner.Entry
	for k, data := range t.journal {
		var e planner.Entry
		if err := record("entries", data, &e); err != nil {
			return nil, err
		}
		if k.household != household ||
			q.Dog != "" && e.Dog != q.Dog ||
			len(q.Kinds) > 0 && !slices.Contains(q.Kinds, e.Kind) ||
			!q.From.IsZero() && e.At.Before(q.From) ||
			!q.To.IsZero() && !e.At.Before(q.To) {
			continue
		}
		out = append(out, e)
	}
	slices.SortFunc(out, func(a, b planner.Entry) int { return cmp.Or(a.At.Compare(b.At), strings.Compare(a.ID, b.ID)) })
	if q.Newest {
		slices.Reverse(out)
	}
	if q.Limit > 0 && len(out) > q.Limit {
		out = out[:q.Limit]
	}
	return out, t.reads("entries")
}

func (t *snapshot) Due(household string) (store.Due, error) {
	return t.due[household], t.reads("due")
}

// timed returns every household that has a time, the earliest first.
func (t *snapshot) timed() (out []store.Due) {
	for _, d := range t.due {
		if !d.At.IsZero() {
			out = append(out, d)
		}
	}
	slices.SortFunc(out, func(a, b store.Due) int {
		return cmp.Or(a.At.Compare(b.At), strings.Compare(a.Household, b.Household))
	})
	return out
}

func (t *snapshot) DueBy(at time.Time, limit int) (out []store.Due, err error) {
	for _, d := range t.timed() {
		if !d.At.After(at) && len(out) < limit {
			out = append(out, d)
		}
	}
	return out, t.reads("due by")
}

func (t *snapshot) NextDue() (next time.Time, err error) {
	if all := t.timed(); len(all) > 0 {
		next = all[0].At
	}
	return next, t.reads("next due")
}
