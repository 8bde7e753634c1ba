package agent

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"golang.org/x/sys/windows"

	"lampblack/config/private"
)

// lockFile opens and locks a file. Windows lets go of the lock when the process
// ends, however it ends.
func lockFile(path string) (*os.File, error) {
	f, err := private.Open(path, os.O_RDWR|os.O_CREATE)
	if err != nil {
		return nil, fmt.Errorf("can't use the state directory: %w", advised(err))
	}
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err = windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, &windows.Overlapped{})
	if err == nil {
		return f, nil
	}
	_ = f.Close()
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return nil, ErrRunning
	}
	return nil, fmt.Errorf("can't lock %s: %w", path, err)
}

// sameDrive is always true: on Windows a drive that is gone leaves no folder behind.
func sameDrive(_, _ fs.FileInfo) bool { return true }
