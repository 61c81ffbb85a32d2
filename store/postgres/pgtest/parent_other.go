//go:build !linux

package pgtest

import "os/exec"

func endsWithParent(*exec.Cmd) {}

func inMemory() string { return "" }
