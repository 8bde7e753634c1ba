package watch

import "golang.org/x/sys/unix"

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
