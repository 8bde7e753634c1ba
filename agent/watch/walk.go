package watch

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"lampblack/rules"
)

// The bounds of what is watched below a folder: an inotify watch takes about
// 1 KB of the kernel's memory, and a scan takes a look into each folder.
const (
	maxFolders = 2000
	maxDepth   = 16
)

// foundFile is a regular file with a wanted name, which is relative to the folder.
type foundFile struct {
	name string
	state
}

// scanBatch is how many directory entries are read at a time.
const scanBatch = 512

// scanner reads a folder, and the folders below it, batch by batch. Like all that
// touches the disk it keeps to itself: the watch only sees the batches.
type scanner struct {
	opened *opened
	match  []string // as the folder has it
	below  bool     // look into subfolders, too

	queue []string // folders to be read, relative to the root; the first is being read
	found int      // folders met, in all scans since the root was opened
	dir   *os.File // open in the middle of a folder
}

// batch is what a look at the next entries has brought.
type batch struct {
	files   []foundFile
	folders []string // their watches, if any, were set before they were read
	limit   error    // there is no watch left for one of the folders
	partial error    // a subfolder can't be read
	tooDeep bool     // some subfolders were passed over
	more    bool
	err     error // the root can't be read
}

// newScanner scans from a folder on, "" for the root.
func newScanner(o *opened, match []string, below bool, from string) *scanner {
	return &scanner{opened: o, match: match, below: below, queue: []string{from}, found: len(o.folders)}
}

// next returns the wanted files among the next entries. After an error, and
// after the last batch, the scanner is closed.
func (s *scanner) next() batch {
	var b batch
	if err := s.read(&b); err != nil && err != io.EOF {
		if s.queue[0] == "" {
			b.err = err
			return b
		}
		if !errors.Is(err, fs.ErrNotExist) { // gone again since it was met
			b.partial = err
		}
	}
	if s.dir == nil {
		s.queue = s.queue[1:]
	}
	b.more = len(s.queue) > 0
	return b
}

// read reads the next entries of the first folder in the queue. At its end it
// gives an error, and io.EOF is one.
func (s *scanner) read(b *batch) error {
	if s.dir == nil {
		if err := s.open(b); err != nil {
			return err
		}
	}
	entries, err := s.dir.ReadDir(scanBatch)
	if err != nil {
		s.dir.Close()
		s.dir = nil
	}
	for _, e := range entries {
		name := filepath.Join(s.queue[0], e.Name())
		if e.IsDir() {
			s.meet(b, name)
			continue
		}
		if !rules.NamesExport(s.match, e.Name()) {
			continue
		}
		info, err := os.Stat(filepath.Join(s.opened.path, name))
		if err == nil && info.Mode().IsRegular() {
			b.files = append(b.files, foundFile{name, stateOf(info)})
		}
	}
	return err
}

// open opens the first folder in the queue. It is watched before it is read, so
// that nothing is written to it in between.
func (s *scanner) open(b *batch) error {
	name := s.queue[0]
	path := filepath.Join(s.opened.path, name)
	if name != "" {
		if s.opened.watcher != nil {
			if err := s.opened.watcher.Add(path); isLimit(err) {
				b.limit = err
			} else if err != nil {
				return err
			}
		}
		b.folders = append(b.folders, name)
	}
	dir, err := os.Open(path)
	s.dir = dir
	return err
}

// meet puts a subfolder into the queue, if it is to be watched.
func (s *scanner) meet(b *batch, name string) {
	switch {
	case !s.below || rules.HiddenName(filepath.Base(name)):
	case s.found >= maxFolders || strings.Count(name, string(filepath.Separator)) >= maxDepth:
		b.tooDeep = true
	default:
		s.found++
		s.queue = append(s.queue, name)
	}
}
