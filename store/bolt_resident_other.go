//go:build !linux

package store

import bolt "go.etcd.io/bbolt"

// unmapPages does nothing where the system cannot be told.
func unmapPages(*bolt.Tx) {}
