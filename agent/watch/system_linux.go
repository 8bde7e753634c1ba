package watch

import (
	"io/fs"
	"slices"
	"syscall"

	"golang.org/x/sys/unix"
)

// held tells whether a program has the file open for writing. The kernel grants
// a read lease only when none has; the lease is given back at once. Where leases
// don't work (other people's files, network drives) the answer is false.
func held(path string) bool {
	// O_NONBLOCK: should the file have become a pipe since the last look.
	fd, err := unix.Open(path, unix.O_RDONLY|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
	if err != nil {
		return false
	}
	defer unix.Close(fd)
	_, err = unix.FcntlInt(uintptr(fd), unix.F_SETLEASE, unix.F_RDLCK)
	if err == nil {
		_, _ = unix.FcntlInt(uintptr(fd), unix.F_SETLEASE, unix.F_UNLCK) // closing does it too
	}
	return err == unix.EAGAIN
}

// changeOf is the time of the last change of any kind: of the content, the name, the
// links or the attributes. Nanoseconds since 1970.
func changeOf(info fs.FileInfo) int64 {
	st, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return 0
	}
	return st.Ctim.Nano()
}

// remoteMagic are the file systems on which other computers, or a program that
// stands for them, can write without the kernel's knowledge.
var remoteMagic = []uint32{
	unix.NFS_SUPER_MAGIC, unix.SMB_SUPER_MAGIC, unix.CIFS_SUPER_MAGIC, unix.SMB2_SUPER_MAGIC,
	unix.FUSE_SUPER_MAGIC, unix.V9FS_MAGIC, unix.CEPH_SUPER_MAGIC, unix.AFS_SUPER_MAGIC, unix.CODA_SUPER_MAGIC,
}

// remote tells whether the events of a folder can't be trusted.
func remote(path string) bool {
	var st unix.Statfs_t
	if err := unix.Statfs(path, &st); err != nil {
		return true
	}
	return slices.Contains(remoteMagic, uint32(st.Type))
}
