//go:build !unix

package telegram_test

import "time"

// processorTime is not known here.
func processorTime() time.Duration { return 0 }
