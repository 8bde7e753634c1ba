package picture

import (
	"syscall"
	"unsafe"

	"golang.org/x/sys/unix"
)

// shutIn gives up for good what reading a picture doesn't need: gaining
// privileges through another program, and, by Landlock (Linux 5.13), opening
// files. What is open stays open. A kernel that lacks one of these has less to
// give up, which is no reason to stop. The network is taken away when the child
// is started: Landlock knows TCP, and there are ways around that.
//
// Each is set for every thread. A program built with cgo can't do that
// (syscall.AllThreadsSyscall); there it is this thread alone.
func shutIn() {
	forAllThreads(unix.SYS_PRCTL, unix.PR_SET_NO_NEW_PRIVS, 1)
	// An older kernel takes the longer structure as long as it doesn't know what is 0.
	rules := landlockRules()
	set, _, errno := unix.Syscall(unix.SYS_LANDLOCK_CREATE_RULESET, uintptr(unsafe.Pointer(&rules)), unsafe.Sizeof(rules), 0)
	if errno != 0 {
		return
	}
	forAllThreads(unix.SYS_LANDLOCK_RESTRICT_SELF, set, 0)
	_ = unix.Close(int(set))
}

// landlockRules are all accesses to files that the kernel's version of Landlock can
// forbid; no exception is ever added to them. Signals are not among them: each
// thread gets bounds of its own, and Go's threads signal each other.
func landlockRules() (rules unix.LandlockRulesetAttr) {
	version, _, errno := unix.Syscall(unix.SYS_LANDLOCK_CREATE_RULESET, 0, 0, unix.LANDLOCK_CREATE_RULESET_VERSION)
	if errno != 0 {
		return rules
	}
	// A right is a bit; each version has those of the ones before it.
	last := uint64(unix.LANDLOCK_ACCESS_FS_MAKE_SYM)
	switch {
	case version >= 5:
		last = unix.LANDLOCK_ACCESS_FS_IOCTL_DEV
	case version >= 3:
		last = unix.LANDLOCK_ACCESS_FS_TRUNCATE
	case version == 2:
		last = unix.LANDLOCK_ACCESS_FS_REFER
	}
	rules.Handled_access_fs = last<<1 - 1
	return rules
}

// forAllThreads makes a system call in every thread, or at least in this one.
func forAllThreads(call, a, b uintptr) {
	if _, _, errno := syscall.AllThreadsSyscall6(call, a, b, 0, 0, 0, 0); errno == syscall.ENOTSUP {
		_, _, _ = unix.RawSyscall6(call, a, b, 0, 0, 0, 0)
	}
}
