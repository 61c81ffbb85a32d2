package store

import (
	"slices"
	"time"

	"bowlwright/planner"
)

// Journal is what happened, as carers entered it. It is kept for good and
// goes with its household.
type Journal interface {
	// PutEntry adds an entry; one with the same id replaces it, also where
	// its time is another.
	PutEntry(household string, e planner.Entry) error
	// Entry returns one entry; NotFound where there is none.
	Entry(household, id string) (planner.Entry, error)
	// Entries returns the entries that a query asks for, in the order in
	// which they happened (Entry.At, then ID), or the other way round. It
	// costs what it returns and a little for each kind and dog.
	Entries(household string, q EntryQuery) ([]planner.Entry, error)
	// DeleteEntry takes an entry out; one that is not there is no error.
	DeleteEntry(household, id string) error
}

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

// Agenda is the index of what falls due. It holds one time for each
// household, the next at which something is to be said, and reading what is
// due costs what is due.
type Agenda interface {
	// Due returns a household's next time; the zero Due where it has none.
	Due(household string) (Due, error)
	// PutDue sets it. A zero At takes the household out of the index but
	// keeps Through.
	PutDue(d Due) error
	// DueBy returns up to limit households whose time is not after an
	// instant, the earliest first.
	DueBy(at time.Time, limit int) ([]Due, error)
	// NextDue returns the earliest time of all, the zero time where nothing
	// is due ever.
	NextDue() (time.Time, error)
}

// Due is when something is next to be said to a household.
type Due struct {
	Household string    `json:"household"`
	At        time.Time `json:"at,omitzero"`      // the next time, UTC
	Through   time.Time `json:"through,omitzero"` // everything due up to here has been said
}
