// Package config reads the profile, a TOML file that the user writes, and makes the
// first one ([Load], [WriteStarter]). Out come the types of package rules; TOML goes no
// further than this package. What the program notes by itself is in package log, below
// it.
//
// A profile is held against one schema, of which each row has a key's name, kind, range
// and the setter that takes it into the profile ([rules.Profile]); all its mistakes are
// told at once, and each says where it is, what was found and what is allowed.
package config

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"lampblack/rules"
)

// maxProfile is more than anybody types, in bytes: beyond it, the file is
// something else.
const maxProfile = 256 << 10

// Load reads the profile in the file path and looks whether its folders are
// there. The second result are doubts, which don't stop the load: a folder that
// is not there right now, say, since a drive can be unplugged.
//
// The error is of type [Mistakes] when the profile is wrong, and otherwise says
// why the file can't be read; it wraps what the system said ([fs.ErrNotExist]
// and so on).
func Load(path string) (*rules.Profile, Mistakes, error) {
	r, err := load(path)
	if err != nil {
		return nil, nil, err
	}
	r.checkDisk()
	return r.result()
}

// LoadFile is Load without a look at what the profile names: for a caller that a dead
// drive must not hold up, and who finds out otherwise.
func LoadFile(path string) (*rules.Profile, Mistakes, error) {
	r, err := load(path)
	if err != nil {
		return nil, nil, err
	}
	return r.result()
}

func load(path string) (*reader, error) {
	content, err := readSmall(path, maxProfile)
	if err != nil {
		return nil, fmt.Errorf("the profile can't be read: %w", err)
	}
	full, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("the profile's folder can't be told: %w", err)
	}
	home, err := os.UserHomeDir()
	if err != nil {
		home = "" // only a profile with a ~ needs it, and is then told
	}
	r := read(path, filepath.Dir(full), string(content), home)
	r.checkFuture(time.Now())
	return r, nil
}

// Parse is Load without the disk: name stands for the file in mistakes, and
// relative paths start from its folder; home stands for ~, and may be empty.
func Parse(name string, content []byte, home string) (*rules.Profile, Mistakes, error) {
	return read(name, filepath.Dir(name), string(content), home).result()
}

// read reads a profile of the given content whose file lies in dir.
func read(name, dir, content, home string) *reader {
	r := &reader{file: name}
	r.decode(content)
	r.expandPaths(dir, home)
	r.checkRelations()
	return r
}

// result is what a reader has found.
func (r *reader) result() (*rules.Profile, Mistakes, error) {
	if len(r.wrong) > 0 {
		return nil, r.doubtful.inOrder(), r.wrong.inOrder()
	}
	return build(r.sections), r.doubtful.inOrder(), nil
}

// readSmall reads a file unless it is larger than most bytes.
func readSmall(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	content, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(content)) > most {
		return nil, fmt.Errorf("%s is larger than %d KB, so it is something else", path, most>>10)
	}
	return content, err
}

// checkDisk looks at the folders and colour profiles that are named.
func (r *reader) checkDisk() {
	for _, s := range r.sections["folder"] {
		if path, ok := value[string](s, "path"); ok {
			r.checkFolder(s.at.in("path"), "folder.path", path)
		}
	}
	for _, s := range r.sections["room"] {
		if path, ok := value[string](s, "light_folder"); ok {
			r.checkFolder(s.at.in("light_folder"), "room.light_folder", path)
		}
	}
	for _, s := range r.sections["paper"] {
		if path, ok := value[string](s, "icc"); ok {
			if _, err := os.Stat(path); err != nil {
				r.doubt(s.at.in("icc"), "paper.icc",
					fmt.Sprintf("%s can't be reached right now (%v); what else isn't said of the paper is assumed until it can", path, reason(err)), "")
			}
		}
	}
}

// checkFolder looks whether a folder is there and can be read.
func (r *reader) checkFolder(at place, key, path string) {
	info, err := os.Stat(path)
	if err == nil && !info.IsDir() {
		err = syscall.ENOTDIR
	}
	if err == nil {
		err = canList(path)
	}
	if err != nil {
		r.judgeFolder(at, key, path, err)
	}
}

// judgeFolder tells a folder that can't be one from a folder that is not there
// right now: a drive that is unplugged, a share that is asleep.
func (r *reader) judgeFolder(at place, key, path string, err error) {
	switch {
	case errors.Is(err, syscall.ENOTDIR):
		r.mistake(at, key, fmt.Sprintf("%s is not a folder; allowed is a folder", path), "")
	case errors.Is(err, fs.ErrPermission):
		r.mistake(at, key, fmt.Sprintf("%s can't be read (%v); allow this user to read it", path, reason(err)), "")
	default:
		r.doubt(at, key, fmt.Sprintf("%s is not there right now (%v); it is watched once it is", path, reason(err)), "")
	}
}

// canList tries whether the names in a folder can be read.
func canList(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	if _, err := f.Readdirnames(1); err != io.EOF {
		return err
	}
	return nil
}

// reason is what the system said, without the path that the sentence has anyway.
func reason(err error) error {
	if p := (*fs.PathError)(nil); errors.As(err, &p) {
		return p.Err
	}
	return err
}

// asTyped is a moment of the profile, which may be a day.
func asTyped(t time.Time) string {
	return strings.TrimSuffix(t.Format("2006-01-02 15:04"), " 00:00")
}

// checkFuture looks for days that have yet to come: a slip in the year, or a
// clock that is wrong.
func (r *reader) checkFuture(now time.Time) {
	for _, f := range []struct{ table, key, until string }{
		{"display", "measured", "until then it is taken for today"},
		{"reading", "at", "until then it is left out"},
	} {
		for _, s := range r.sections[f.table] {
			if t, ok := value[time.Time](s, f.key); ok && t.After(now) {
				r.doubt(s.at.in(f.key), f.table+"."+f.key,
					fmt.Sprintf("%s has yet to come, and %s; write when it was, or set this machine's clock right", asTyped(t), f.until), "")
			}
		}
	}
}
