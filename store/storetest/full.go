package storetest

import (
	"context"
	"errors"
	"sync/atomic"

	"bowlwright/store"
)

// FullDisk is a store on a disk without room, as long as it is full.
type FullDisk struct {
	store.Store
	Full atomic.Bool
}

func (f *FullDisk) Commit(ctx context.Context, c store.Commit) error {
	if f.Full.Load() {
		return &store.Error{Code: store.Full, Op: "update", Err: errors.New("no space left on device")}
	}
	return f.Store.Commit(ctx, c)
}
