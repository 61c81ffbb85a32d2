//go:build unix

package telegram_test

import (
	"syscall"
	"time"
)

// processorTime is how long the processor has worked for this process.
func processorTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
