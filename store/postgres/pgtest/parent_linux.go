package pgtest

import (
	"os/exec"
	"syscall"
)

// endsWithParent has a process end when the thread does that starts it.
func endsWithParent(c *exec.Cmd) { c.SysProcAttr.Pdeathsig = syscall.SIGQUIT }

// inMemory is a directory in memory, where there is one with room for some servers: each
// makes a thousand files, for which a file system on a disk looks long once as many were
// removed. Empty: the usual one.
func inMemory() string {
	const dir, room = "/dev/shm", 2 << 30 // bytes
	var fs syscall.Statfs_t
	if err := syscall.Statfs(dir, &fs); err != nil || int64(fs.Bavail)*int64(fs.Bsize) < room {
		return ""
	}
	return dir
}
