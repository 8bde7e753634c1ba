//go:build unix

package picture

import (
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// openWithoutWaiting keeps a pipe that took the file's place from blocking.
const openWithoutWaiting = syscall.O_NONBLOCK

// niceness is well behind the editor, ahead of the system's own housekeeping.
const niceness = 10

func killGroup(p *os.Process) error {
	err := syscall.Kill(-p.Pid, syscall.SIGKILL)
	if err == syscall.ESRCH {
		return os.ErrProcessDone
	}
	return err
}

// confine lowers the priority of all the child's threads; a child can do it to
// itself for one thread only. Politeness that fails is no reason to stop.
func confine(p *os.Process, _ uint64) (release func()) {
	_ = unix.Setpriority(unix.PRIO_PGRP, p.Pid, niceness)
	return func() {}
}
