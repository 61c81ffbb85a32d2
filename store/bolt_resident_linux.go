package store

import (
	"syscall"

	bolt "go.etcd.io/bbolt"
)

// unmapPages lets the process forget which pages of the file it has looked
// at; they stay in the system's cache of files. Without it they count as
// memory of the process until the system is short of it. A transaction keeps
// the mapping where it is, so tx must be open, and of the calling goroutine.
func unmapPages(tx *bolt.Tx) {
	data := tx.DB().Info().Data
	// Where the system refuses, more memory is resident and nothing is lost.
	syscall.Syscall(syscall.SYS_MADVISE, data, uintptr(tx.Size()), syscall.MADV_DONTNEED)
}
