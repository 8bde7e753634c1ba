package watch

import (
	"io/fs"
	"path/filepath"

	"golang.org/x/sys/windows"
)

// held tells whether a program has the file open for writing: opening it for
// reading without sharing it with writers fails while there is one. Readers are
// let in, so that a viewer or a virus scanner doesn't count.
func held(path string) bool {
	name, err := windows.UTF16PtrFromString(path)
	if err != nil {
		return false
	}
	h, err := windows.CreateFile(name, windows.GENERIC_READ,
		windows.FILE_SHARE_READ|windows.FILE_SHARE_DELETE, nil,
		windows.OPEN_EXISTING, windows.FILE_ATTRIBUTE_NORMAL, 0)
	if err == nil {
		windows.CloseHandle(h)
	}
	return err == windows.ERROR_SHARING_VIOLATION
}

// remote tells whether the events of a folder can't be trusted: a mapped
// network drive, or a path that begins with a server's name.
func remote(path string) bool {
	volume := filepath.VolumeName(path)
	if len(volume) > 2 {
		return true
	}
	root, err := windows.UTF16PtrFromString(volume + `\`)
	if err != nil {
		return true
	}
	return windows.GetDriveType(root) == windows.DRIVE_REMOTE
}

// changeOf is always 0: what Windows tells of a file along with its size has no time
// of the last change.
func changeOf(fs.FileInfo) int64 { return 0 }
