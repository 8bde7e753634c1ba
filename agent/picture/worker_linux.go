package picture

import (
	"syscall"

	"golang.org/x/sys/unix"
)

// childAttributes are the ways to start a child, the tightest first: a process
// group of its own, so that no stray key or signal reaches it and all of it can
// be killed, and death with the parent; and, where the system lets anybody do
// that, a network of its own, in which there is nobody else.
func childAttributes() []*syscall.SysProcAttr {
	return []*syscall.SysProcAttr{
		{Setpgid: true, Pdeathsig: syscall.SIGKILL, Cloneflags: syscall.CLONE_NEWUSER | syscall.CLONE_NEWNET},
		{Setpgid: true, Pdeathsig: syscall.SIGKILL},
	}
}

// limitMemory limits this process's data to a number of bytes. RLIMIT_AS would
// not do: the Go runtime reserves a gigabyte of addresses that it never uses.
func limitMemory(limit uint64) {
	_ = unix.Setrlimit(unix.RLIMIT_DATA, &unix.Rlimit{Cur: limit, Max: limit})
}
