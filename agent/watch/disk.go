package watch

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"syscall"

	"github.com/fsnotify/fsnotify"
)

// This file touches the disk. Nothing in it keeps state between calls but what
// is returned, and any call may take forever on a drive that doesn't answer.

// opened is a folder while it is being watched.
type opened struct {
	path    string
	info    fs.FileInfo // the folder's identity
	watcher *fsnotify.Watcher
	remote  bool            // other computers may write here, and their events don't arrive
	limit   error           // why there is no watcher, or none for some subfolder
	partial error           // why a subfolder can't be read
	folders map[string]bool // the subfolders that were found
}

type openResult struct {
	opened *opened
	err    error
}

// openFolder starts to watch a folder. A watch that the system has no room for
// is no error: the folder is scanned instead.
func openFolder(path string) openResult {
	info, err := os.Stat(path)
	if err != nil {
		return openResult{err: err}
	}
	if !info.IsDir() {
		return openResult{err: errors.New("it is not a folder")}
	}
	o := &opened{path: path, info: info, remote: remote(path), folders: map[string]bool{}}
	o.watcher, err = newWatcher(path)
	switch {
	case isLimit(err):
		o.limit = err
	case err != nil:
		return openResult{err: err}
	}
	return openResult{opened: o}
}

func newWatcher(path string) (*fsnotify.Watcher, error) {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, err
	}
	if err := w.Add(path); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	return w, nil
}

// isLimit tells that the system has no watch, or no file handle, left.
func isLimit(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EMFILE) || errors.Is(err, syscall.ENFILE)
}

// channels returns channels that never deliver while there is no watcher.
func (o *opened) channels() (<-chan fsnotify.Event, <-chan error) {
	if o == nil || o.watcher == nil {
		return nil, nil
	}
	return o.watcher.Events, o.watcher.Errors
}

// valid tells whether the path still leads to the folder that was opened. An
// unmounted drive sends no event: the watcher's list just turns empty.
func (o *opened) valid() bool {
	info, err := os.Stat(o.path)
	if err != nil || !os.SameFile(info, o.info) {
		return false
	}
	return o.watcher == nil || slices.Contains(o.watcher.WatchList(), o.path)
}

// close returns when the watcher's goroutine has ended: its last act is to close
// the channel of events.
func (o *opened) close() {
	if o.watcher == nil {
		return
	}
	o.watcher.Close()
	for range o.watcher.Events {
	}
}

// lookAll looks at the named files of a folder.
func lookAll(folder string, names []string) []look {
	looks := make([]look, len(names))
	for i, name := range names {
		path := filepath.Join(folder, name)
		info, err := os.Stat(path)
		if err != nil || !info.Mode().IsRegular() {
			looks[i].folder = err == nil && info.IsDir() && !isLink(path)
			looks[i].gone = !looks[i].folder
			continue
		}
		looks[i].state = stateOf(info)
		looks[i].held = held(path)
	}
	return looks
}

func isLink(path string) bool {
	info, err := os.Lstat(path)
	return err != nil || info.Mode()&fs.ModeSymlink != 0
}

func stateOf(info fs.FileInfo) state {
	return state{info.Size(), info.ModTime().UnixNano(), changeOf(info)}
}
