//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package bolt

import (
	"errors"
	"os"
	"syscall"
	"time"

	berrors "go.etcd.io/bbolt/errors"
)

// renamesOpen says that an open file can be renamed and stays locked.
const renamesOpen = true

// mapSize is how many bytes are mapped from the start; our own choice. It
// costs only addresses. Without it, a long reader (a backup) stalls writers
// whenever the file outgrows the mapping.
const mapSize = 1 << 30

// lock takes the lock that bbolt itself takes, so that a file is verified
// only while nobody writes to it. bbolt takes it again through the same open
// file, which always succeeds.
func lock(f *os.File, deadline time.Time) error {
	for {
		err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		switch {
		case err == nil:
			return nil
		case errors.Is(err, syscall.EINTR):
			continue
		case !errors.Is(err, syscall.EWOULDBLOCK):
			return err
		}
		left := time.Until(deadline)
		if left <= 0 {
			return berrors.ErrTimeout
		}
		time.Sleep(min(left, 20*time.Millisecond))
	}
}

// letGo releases the lock and closes the file. A mapping that was left behind
// would otherwise keep the lock.
func letGo(f *os.File) error {
	return errors.Join(syscall.Flock(int(f.Fd()), syscall.LOCK_UN), f.Close())
}

// giveTo gives an open file the owner of another, if that is not its own.
func giveTo(f *os.File, other os.FileInfo) error {
	is, ok := other.Sys().(*syscall.Stat_t)
	if !ok {
		return nil
	}
	mine, err := f.Stat()
	if err != nil {
		return err
	}
	if my, ok := mine.Sys().(*syscall.Stat_t); ok && my.Uid == is.Uid && my.Gid == is.Gid {
		return nil
	}
	err = f.Chown(int(is.Uid), int(is.Gid))
	if errors.Is(err, os.ErrPermission) && os.Geteuid() != 0 {
		return nil // it is the file of whoever restores, as far as that can be
	}
	return err
}
