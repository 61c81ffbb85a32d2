package main

import "runtime/debug"

// Our own choices. What stays in use takes some 50 MB, most of it to understand
// messages; nearly all else that an update needs is garbage at once. Collecting it
// seldom saves a tenth of the processor's time, and the soft limit makes it more
// frequent while many updates are in hand. A limit below what stays in use would
// have the program collect garbage and do little else: TestMemory holds that. The
// file's pages come on top of it, see package store.
const (
	garbage   = 200       // percent of what is in use, until it is collected
	softLimit = 160 << 20 // bytes
)

// tuneMemory sets how often memory is collected, unless the operator has done
// so by the runtime's own variables.
func tuneMemory(getenv func(string) string) {
	if getenv("GOGC") == "" {
		debug.SetGCPercent(garbage)
	}
	if getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(softLimit)
	}
}
