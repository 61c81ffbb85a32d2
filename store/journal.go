package store

import (
	"slices"
	"time"

	"bowlwright/planner"
)

// EntryQuery says which entries are meant. Zero fields ask for nothing.
type EntryQuery struct {
	Dog    string              // id
	Kinds  []planner.EntryKind // any of these
	From   time.Time           // At is not before
	To     time.Time           // At is before
	Newest bool                // the newest first
	Limit  int                 // at most so many
}

// Finds reports whether a query asks for an entry, its limit aside.
func (q EntryQuery) Finds(e planner.Entry) bool {
	return (q.Dog == "" || q.Dog == e.Dog) &&
		(len(q.Kinds) == 0 || slices.Contains(q.Kinds, e.Kind)) &&
		(q.From.IsZero() || !e.At.Before(q.From)) &&
		(q.To.IsZero() || e.At.Before(q.To))
}

// Due is when something is next to be said to a household.
type Due struct {
	Household string    `json:"household"`
	At        time.Time `json:"at,omitzero"`      // the next time, UTC
	Through   time.Time `json:"through,omitzero"` // everything due up to here has been said
}
