package storetest

import (
	"context"

	"bowlwright/store"
)

// Put adds writes to a commit; its error is always nil, so that it can stand
// where one is returned.
type Put func(...store.Write) error

// Look calls f with a snapshot.
func Look(ctx context.Context, s store.Store, f func(store.Snapshot) error) error {
	snap, err := s.Read(ctx)
	if err != nil {
		return err
	}
	defer snap.Close()
	return f(snap)
}

// Change commits what f puts, which may rest on what it reads.
func Change(ctx context.Context, s store.Store, f func(store.Snapshot, Put) error) error {
	return store.Answer(ctx, s, func(snap store.Snapshot) (c store.Commit, err error) {
		err = f(snap, func(w ...store.Write) error {
			c.Writes = append(c.Writes, w...)
			return nil
		})
		return c, err
	})
}
