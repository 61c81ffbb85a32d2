package store

import (
	"errors"
	"os"
	"syscall"
)

// syncData waits until the disk has what was written; times of the file
// itself may come later.
func syncData(f *os.File) error {
	for {
		if err := syscall.Fdatasync(int(f.Fd())); !errors.Is(err, syscall.EINTR) {
			return err
		}
	}
}
