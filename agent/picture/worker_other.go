//go:build unix && !linux

package picture

import (
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// openWithoutWaiting keeps a pipe that took the file's place from blocking.
const openWithoutWaiting = syscall.O_NONBLOCK

const niceness = 10

// childAttributes: a process group of its own, so that all of it can be killed.
func childAttributes() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setpgid: true} }

func killGroup(p *os.Process) error {
	err := syscall.Kill(-p.Pid, syscall.SIGKILL)
	if err == syscall.ESRCH {
		return os.ErrProcessDone
	}
	return err
}

func confine(p *os.Process, _ uint64) (release func()) {
	_ = unix.Setpriority(unix.PRIO_PGRP, p.Pid, niceness)
	return func() {}
}

// limitMemory does nothing: macOS ignores the limits that it lets one set. The
// header gate, the runtime's soft limit and the time limit are all there is.
func limitMemory(uint64) {}
