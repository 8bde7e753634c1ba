//go:build unix

package private

import (
	"os"

	"golang.org/x/sys/unix"
)

// noFollow has an opening fail at a link, and not wait for a pipe's other end.
const noFollow = unix.O_NOFOLLOW | unix.O_NONBLOCK

// SyncFolder sees the names in a folder to the disk.
func SyncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
