//go:build unix

package agent

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"syscall"

	"golang.org/x/sys/unix"

	"lampblack/config/private"
)

// lockFile opens and locks a file. The kernel lets go of the lock when the
// process ends, however it ends.
func lockFile(path string) (*os.File, error) {
	f, err := private.Open(path, os.O_RDWR|os.O_CREATE)
	if err != nil {
		return nil, fmt.Errorf("can't use the state directory: %w", advised(err))
	}
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if err == nil {
		return f, nil
	}
	_ = f.Close()
	if errors.Is(err, unix.EWOULDBLOCK) {
		return nil, ErrRunning
	}
	return nil, fmt.Errorf("can't lock %s: %w", path, err)
}

// sameDrive tells whether two files are in one file system.
func sameDrive(a, b fs.FileInfo) bool {
	x, known := a.Sys().(*syscall.Stat_t)
	y, both := b.Sys().(*syscall.Stat_t)
	return !known || !both || x.Dev == y.Dev
}
