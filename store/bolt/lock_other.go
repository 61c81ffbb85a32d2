//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly)

package bolt

import (
	"os"
	"time"
)

// renamesOpen says that an open file can be renamed and stays locked.
const renamesOpen = false

// mapSize leaves the mapping to bbolt: on Windows it makes the file as large.
const mapSize = 0

// lock leaves locking to bbolt, which here cannot share a lock with us: a
// file that another process is writing may then be reported as damaged
// rather than busy, and is left alone either way.
func lock(*os.File, time.Time) error { return nil }

func letGo(f *os.File) error { return f.Close() }

func giveTo(*os.File, os.FileInfo) error { return nil }
