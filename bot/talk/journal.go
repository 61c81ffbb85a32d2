package talk

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/store"
)

// notes is what a turn does to the household's journal. It is written with
// the rest of the turn and kept with its change, so that /undo takes it back.
type notes struct {
	home    string          // the household that they are of
	last    int             // the number of the last id that was given
	added   []planner.Entry // as they are to be kept
	removed []planner.Entry // as they were
	good    map[string]bool // ids of added entries that stay when the change is taken back
}

// none reports that the turn does nothing to the journal.
func (n *notes) none() bool { return len(n.added)+len(n.removed) == 0 }

// Note enters something in the household's journal and returns the entry as
// stored. What is empty is filled in: an id, which sorts as things are told, so
// that entries of one instant keep their order; the event's time, the
// household's date of it, and the person who entered it. An entry with the id of
// another takes its place.
//
// /undo knows of it where the turn says what it changed (Mutate).
func (t *Turn) Note(e planner.Entry) planner.Entry {
	if e.ID == "" {
		t.notes.last++
		e.ID = fmt.Sprintf("%08x-%02d", t.Rev, t.notes.last)
	} else {
		t.Unnote(e)
	}
	if e.At.IsZero() {
		e.At = t.Event.At
	}
	if e.Date.IsZero() {
		e.Date = t.DateAt(e.At)
	}
	if e.Entered.IsZero() {
		e.Entered = t.Event.At
	}
	e.Person = cmp.Or(e.Person, t.By, t.Event.Person)
	e.At, e.Entered = e.At.Round(0).UTC(), e.Entered.Round(0).UTC()
	t.hasNotes()
	t.notes.added = append(t.notes.added, e)
	return e
}

// NoteForGood is Note for what no /undo takes back.
func NoteForGood(t *Turn, e planner.Entry) {
	e = t.Note(e)
	if t.notes.good == nil {
		t.notes.good = map[string]bool{}
	}
	t.notes.good[e.ID] = true
}

// Unnote takes the entry with an entry's id out of the journal, if it is there.
func (t *Turn) Unnote(e planner.Entry) {
	kept, ok := t.Entry(e.ID) // which may differ from what the caller saw of it
	if !ok {
		return
	}
	t.hasNotes()
	if i := entryIn(t.notes.added, e.ID); i >= 0 {
		t.notes.added = slices.Delete(t.notes.added, i, i+1)
		return
	}
	t.notes.removed = append(t.notes.removed, kept)
}

// Entry returns the entry with an id, as this turn leaves it.
func (t *Turn) Entry(id string) (planner.Entry, bool) {
	if i := entryIn(t.notes.added, id); i >= 0 {
		return t.notes.added[i], true
	}
	if entryIn(t.notes.removed, id) >= 0 {
		return planner.Entry{}, false
	}
	e, err := t.Snap.Entry(t.Home.ID, id)
	return e, Found(t, err)
}

// Entries returns what a query finds in the journal, as this turn leaves it.
func (t *Turn) Entries(q store.EntryQuery) []planner.Entry {
	limit := q.Limit
	if limit > 0 {
		q.Limit += len(t.notes.removed)
	}
	out := t.stored(q)
	if t.notes.none() || t.Err != nil {
		return out
	}
	out = t.noted(out, q)
	if limit > 0 && len(out) > limit {
		out = out[:limit]
	}
	return out
}

// stored returns what a query finds in the journal as the store has it.
func (t *Turn) stored(q store.EntryQuery) []planner.Entry {
	out, err := t.Snap.Entries(t.Home.ID, q)
	if err != nil {
		t.Fail(err)
		return nil
	}
	return out
}

// noted turns what a query found in the store into what it finds as this turn
// leaves the journal.
func (t *Turn) noted(out []planner.Entry, q store.EntryQuery) []planner.Entry {
	out = slices.DeleteFunc(out, func(e planner.Entry) bool { return entryIn(t.notes.removed, e.ID) >= 0 })
	for _, e := range t.notes.added {
		if q.Finds(e) {
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b planner.Entry) int {
		if q.Newest {
			a, b = b, a
		}
		return cmp.Or(a.At.Compare(b.At), strings.Compare(a.ID, b.ID))
	})
	return out
}

// entryIn is where an entry with an id stands in a list, -1 where it does not.
func entryIn(all []planner.Entry, id string) int {
	return slices.IndexFunc(all, func(e planner.Entry) bool { return e.ID == id })
}

// revertNotes undoes what a change did to the journal.
func (t *Turn) revertNotes(c store.Change) {
	for _, e := range c.Added {
		t.Unnote(e)
	}
	if len(c.Removed) > 0 {
		t.hasNotes()
		t.notes.added = append(t.notes.added, c.Removed...)
	}
}

// hasNotes says that the turn has notes. They rest on the household's revision,
// which therefore moves with them.
func (t *Turn) hasNotes() {
	t.Changed = true
	t.notes.home = cmp.Or(t.notes.home, t.Home.ID)
}

// keepNotes has the turn write its notes, and keeps them with its change.
func (t *Turn) keepNotes() {
	if t.notes.home == "" {
		return
	}
	t.change.Removed = t.notes.removed
	t.change.Added = slices.DeleteFunc(slices.Clone(t.notes.added), func(e planner.Entry) bool { return t.notes.good[e.ID] })
	ws := say.Each(t.notes.removed, func(e planner.Entry) store.Write { return store.DeleteEntry{Household: t.notes.home, ID: e.ID} })
	ws = append(ws, say.Each(t.notes.added, func(e planner.Entry) store.Write { return store.PutEntry{Household: t.notes.home, Entry: e} })...)
	t.writes = append(ws, t.writes...) // the household may be deleted after them
}
