// Package journal keeps the record of exports: what came, under which
// conditions, with which prediction, and whether a notice was raised: an [Entry] each.
// How the prints came out is kept beside it, an [Outcome] each.
//
// It is a folder with one file of JSON lines for each year, in which lines are
// only ever appended. An entry that [Journal.Append] has acknowledged is on the
// disk. What a power cut or a full drive leaves of a line is kept, set on a line of
// its own, and skipped by readers.
//
// There is no database: what grows is read in one go, and only once it is asked for.
// To decode a line of 4 KB takes 70 µs, and ten years are 730 000 lines, so [Search]
// reads name and date in a line's head, looks for a verdict as text, and decodes what
// is left. Measured on two cores, ten years (3.1 GB) open in 0.24 s and 11 MB, one
// name is found in 2.7 s, and a year goes into a table in 7 s of processor time and
// 35 MB.
//
// A line that a reader of today would misunderstand has a higher [Format]. Older ones
// are read; a newer one ends every command and the agent's start with a sentence, and
// nothing is written beside it.
package journal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"lampblack/config/private"
	"lampblack/rules"
)

// Journal is an open journal. Its methods may be called from several goroutines.
// Only one process may append at a time.
type Journal struct {
	dir string

	mu        sync.Mutex
	file      *os.File    // nil after a failure: the next Append opens it anew
	info      fs.FileInfo // the identity of file
	year      int         // of file
	recovered string
	states    *recent[kept]   // of each state, by identity
	contents  *recent[uint32] // of each path, its latest size and hash
	gists     *recent[gist]   // of each path, that of its latest export
	last      []Entry         // the latest at the end, at most maxLast

	syncFolder func(dir string) error // sees the names in a folder to the disk
}

// Open opens the journal in dir, which is made if need be, and reads its latest
// entries for Known and Last. It returns ErrNewer for a journal whose latest
// entries are of a newer format, and leaves that untouched.
func Open(dir string) (*Journal, error) {
	if err := private.Folder(dir); err != nil {
		return nil, fmt.Errorf("the journal's folder can't be made: %w", advised(err, whatToDo))
	}
	paths, err := yearFiles(dir)
	if err != nil {
		return nil, fmt.Errorf("the journal can't be opened: %w", advised(err, whatToDo))
	}
	j := &Journal{dir: dir, states: newRecent[kept](maxKnown), contents: newRecent[uint32](maxKnown), gists: newRecent[gist](maxGists), syncFolder: private.SyncFolder}
	if err := j.learn(paths); err != nil {
		return nil, err
	}
	if len(paths) > 0 {
		year, _ := yearOf(filepath.Base(paths[len(paths)-1]))
		if err := j.openYear(year); err != nil {
			return nil, err
		}
	}
	return j, nil
}

const whatToDo = "check that its drive is there, writable and not full"

// advised is an error with what to do about it, unless it says that itself.
func advised(err error, advice string) error {
	if errors.Is(err, private.ErrLink) {
		return err
	}
	return fmt.Errorf("%w; %s", err, advice)
}

// Append writes an entry and returns when it is on the disk. The entry goes to
// the file of its own year, without the report's curves. After an error the entry counts as not kept; the
// next Append starts from scratch, so that a journal heals with its drive.
func (j *Journal) Append(e Entry) error {
	e.Version = Format
	kept := e
	kept.Report = slim(e.Report)
	line, err := kept.encode()
	if err != nil {
		return fmt.Errorf("%q can't be recorded in the journal: %w", e.Path, err)
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	if err := j.openFor(e.At.Year()); err != nil {
		return fmt.Errorf("the journal can't be written, so %q isn't recorded yet: %w", filepath.Base(e.Path), err)
	}
	if err := j.write(line); err != nil {
		return fmt.Errorf("the journal can't be written, so %q isn't recorded yet: %w; %s", filepath.Base(e.Path), err, whatToDo)
	}
	j.remember(e)
	return nil
}

// write appends a whole line and sees it to the disk. After an error the file is
// let go: whatever part of the line is in it, openYear ends that line.
func (j *Journal) write(line []byte) error {
	_, err := j.file.Write(line)
	if err == nil {
		err = j.file.Sync()
	}
	if err != nil {
		err = errors.Join(err, j.letGo())
	}
	return err
}

// Known tells whether an export is among the latest ones in the journal.
func (j *Journal) Known(path string, size int64, mtime time.Time) bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	_, known := j.states.get(Identify(path, size, mtime))
	return known
}

// KeptAt is when an export among the latest ones was journaled.
func (j *Journal) KeptAt(path string, size int64, mtime time.Time) (at time.Time, known bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	k, known := j.states.get(Identify(path, size, mtime))
	return time.Unix(0, k.at), known
}

// Has tells whether an export is among the latest ones with this very content. An
// entry without a hash may be about any.
func (j *Journal) Has(path string, size int64, mtime time.Time, hash string) bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	k, known := j.states.get(Identify(path, size, mtime))
	return known && (k.hash == 0 || hash == "" || k.hash == j.states.fold(hash))
}

// Unchanged tells whether the latest export that is known of a path has this size
// and content, whatever its modification time.
func (j *Journal) Unchanged(path string, size int64, hash string) bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	latest, known := j.contents.get(asWritten(path))
	return known && hash != "" && latest == j.contents.fold(content{size, hash})
}

// Before is the gist of the latest export to a path that could be read, among the latest
// ones; nil when none is known.
func (j *Journal) Before(path string) *rules.Gist {
	j.mu.Lock()
	defer j.mu.Unlock()
	if g, known := j.gists.get(asWritten(path)); known {
		return g.unpacked()
	}
	return nil
}

// Last returns the latest n entries, at most 5, the latest first.
func (j *Journal) Last(n int) []Entry {
	j.mu.Lock()
	defer j.mu.Unlock()
	var latest []Entry
	for i := len(j.last) - 1; i >= 0 && len(latest) < n; i-- {
		latest = append(latest, j.last[i])
	}
	return latest
}

// Recovered says, once, that a line was found cut off and was ended; otherwise
// it returns an empty string.
func (j *Journal) Recovered() string {
	j.mu.Lock()
	defer j.mu.Unlock()
	text := j.recovered
	j.recovered = ""
	return text
}

// Close closes the journal.
func (j *Journal) Close() error {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.letGo()
}

func (j *Journal) remember(e Entry) {
	j.rememberState(head{At: e.At, Path: e.Path, Size: e.Size, ModTime: e.ModTime, Hash: e.Hash, Gist: e.Gist})
	j.keepLast(e)
}

func (j *Journal) rememberState(h head) {
	k := kept{at: h.At.UnixNano()}
	if h.Hash != "" {
		k.hash = j.states.fold(h.Hash)
	}
	j.states.add(Identify(h.Path, h.Size, h.ModTime), k)
	j.contents.add(asWritten(h.Path), j.contents.fold(content{h.Size, h.Hash}))
	if h.Gist != nil {
		j.gists.add(asWritten(h.Path), packed(h.Gist))
	}
}

// content is what two exports of one path have in common when the second brought
// nothing new.
type content struct {
	size int64
	hash string
}

func (j *Journal) keepLast(e Entry) {
	j.last = append(j.last, e)
	if len(j.last) > maxLast {
		j.last = append([]Entry(nil), j.last[1:]...)
	}
}

// openFor makes sure that file is the year's file, and still has its name: what
// is written to a file that was deleted is lost without an error.
func (j *Journal) openFor(year int) error {
	if j.file != nil && j.year == year {
		info, err := os.Lstat(j.file.Name()) // not what a link leads to
		if err == nil && os.SameFile(info, j.info) {
			return nil
		}
	}
	if err := j.letGo(); err != nil {
		return fmt.Errorf("the journal can't be closed: %w; %s", err, whatToDo)
	}
	return j.openYear(year)
}

// openYear opens the file of a year for appending, makes it and the folder if
// need be, and ends a line that was cut off.
func (j *Journal) openYear(year int) error {
	if err := private.Folder(j.dir); err != nil {
		return fmt.Errorf("the journal's folder is gone and can't be made: %w", advised(err, whatToDo))
	}
	path := filepath.Join(j.dir, fileName(year))
	f, err := private.Append(path)
	if err != nil {
		return fmt.Errorf("the journal can't be opened: %w", advised(err, whatToDo))
	}
	info, err := f.Stat()
	if err == nil {
		err = j.prepare(f, info.Size())
	}
	if err != nil {
		return errors.Join(err, f.Close())
	}
	j.file, j.info, j.year = f, info, year
	return nil
}

// prepare makes a file ready for the next line.
func (j *Journal) prepare(f *os.File, size int64) error {
	if size == 0 {
		if err := j.syncFolder(j.dir); err != nil { // so that a new file's name survives a power cut
			return fmt.Errorf("the journal's folder can't be written: %w; %s", err, whatToDo)
		}
		return nil
	}
	offset, _, err := lastLines(f, size, 2) // the one before, should the last one be cut off
	if err != nil {
		return fmt.Errorf("the journal can't be read: %w; %s", err, whatToDo)
	}
	nothing := func(Entry) error { return nil }
	if _, err := readLines(io.NewSectionReader(f, offset, size-offset), f.Name(), decode, nothing); err != nil {
		return err
	}
	end := make([]byte, 1)
	if _, err := f.ReadAt(end, size-1); err != nil {
		return fmt.Errorf("the journal can't be read: %w; %s", err, whatToDo)
	}
	if end[0] == '\n' {
		return nil
	}
	if _, err := f.WriteString("\n"); err != nil {
		return fmt.Errorf("the journal can't be written: %w; %s", err, whatToDo)
	}
	j.recovered = fmt.Sprintf("the last line of %s was cut off, as after a power cut; it was left there, and new entries begin below it", f.Name())
	return nil
}

func (j *Journal) letGo() error {
	if j.file == nil {
		return nil
	}
	err := j.file.Close()
	j.file = nil
	return err
}
