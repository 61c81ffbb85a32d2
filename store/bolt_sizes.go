package store

import (
	"context"

	bolt "go.etcd.io/bbolt"
)

// Sizes says how much a store holds.
type Sizes struct {
	Households, Outbox, Inbox, Dead int
	Bytes                           int64 // of the file
}

// Sizes counts what the store holds. It costs time in proportion to the
// pages of what waits in it, and none for the households.
func (s *Bolt) Sizes() (Sizes, error) {
	var out Sizes
	t, err := s.enter(context.Background(), "sizes", false)
	if err != nil {
		return out, err
	}
	defer t.end()
	for name, n := range map[*[]byte]*int{
		&bucketOutbox: &out.Outbox, &bucketInbox: &out.Inbox, &bucketDead: &out.Dead,
	} {
		err := t.in("sizes", *name, func(b *bolt.Bucket) error {
			*n = b.Stats().KeyN
			return nil
		})
		if err != nil {
			return out, err
		}
	}
	err = t.in("sizes", bucketHouseholds, func(b *bolt.Bucket) error {
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
