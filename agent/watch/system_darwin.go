package watch

import (
	"io/fs"
	"syscall"

	"golang.org/x/sys/unix"
)

// held is always false: macOS doesn't tell who has a file open for writing.
func held(string) bool { return false }

// remote tells whether the events of a folder can't be trusted.
func remote(path string) bool {
	var st unix.Statfs_t
	if err := unix.Statfs(path, &st); err != nil {
		return true
	}
	return st.Flags&unix.MNT_LOCAL == 0
}

// changeOf is the time of the last change of any kind: of the content, the name, the
// links or the attributes. Nanoseconds since 1970.
func changeOf(info fs.FileInfo) int64 {
	st, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return 0
	}
	return st.Ctimespec.Nano()
}
