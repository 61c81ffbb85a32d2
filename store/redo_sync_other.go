//go:build !linux

package store

import "os"

func syncData(f *os.File) error { return f.Sync() }
