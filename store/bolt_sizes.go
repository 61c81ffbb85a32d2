package store

import (
	"context"
)

// Sizes says how much a store holds.
type Sizes struct {
	Households, Outbox, Inbox, Dead int
	Bytes                           int64 // of the file
}

// Sizes counts what the store holds. It costs time in proportion to
// what waits in it, and none for the households.
func (s *Bolt) Sizes() (Sizes, error) {
	var out Sizes
	t, err := s.enter(context.Background(), "sizes")
	if err != nil {
		return out, err
	}
	defer t.end()
	for name, n := range map[*[]byte]*int{
		&bucketOutbox: &out.Outbox, &bucketInbox: &out.Inbox, &bucketDead: &out.Dead,
	} {
		err := t.in("sizes", *name, func(b merged) error {
			*n = b.Len()
			return nil
		})
		if err != nil {
			return out, err
		}
	}
	err = t.in("sizes", bucketHouseholds, func(b merged) error {
		out.Households = int(b.Sequence())
		return nil
	})
	if err != nil {
		return out, err
	}
	unmapPages(t.tx)
	out.Bytes = t.tx.Size()
	return out, nil
}
