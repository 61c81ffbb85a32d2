package pgtest

import (
	"os/exec"
	"syscall"
)

// endsWithParent has a process end when the thread does that starts it.
func endsWithParent(c *exec.Cmd) { c.SysProcAttr.Pdeathsig = syscall.SIGQUIT }
