package rules

import (
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// What makes a file an export of a folder: where it lies, and what it is called. The
// watch, the agent and explain all ask here.

// temporary are the endings that programs give to files they have not finished.
var temporary = []string{".tmp", ".temp", ".part", ".partial", ".download", "~"}

// HiddenName tells a name that people are not meant to see.
func HiddenName(name string) bool { return name == "" || name[0] == '.' || name[0] == '~' }

// NamesExport tells whether a file can be an export by its name alone: it is neither
// hidden nor temporary and matches a pattern. Patterns are in the syntax of
// [path.Match] and compared without regard to case; none: every name. A malformed
// one matches nothing: the profile is checked earlier.
func NamesExport(patterns []string, name string) bool {
	name = strings.ToLower(name)
	if HiddenName(name) || slices.ContainsFunc(temporary, func(end string) bool { return strings.HasSuffix(name, end) }) {
		return false
	}
	return len(patterns) == 0 || slices.ContainsFunc(patterns, func(p string) bool {
		ok, err := path.Match(strings.ToLower(p), name)
		return ok && err == nil
	})
}

// Holds tells whether a file lies in the folder, or below it in folders that are not
// hidden, if those count. The file's path is absolute and clean, as the folder's is.
func (f Folder) Holds(file string) bool {
	dir, separator := filepath.Dir(file), string(filepath.Separator)
	if dir == f.Path {
		return true
	}
	below, is := strings.CutPrefix(dir, strings.TrimSuffix(f.Path, separator)+separator)
	return is && f.Subfolders && !slices.ContainsFunc(strings.Split(below, separator), HiddenName)
}

// Claims tells whether a file is an export of the folder, by its place and its name.
func (f Folder) Claims(file string) bool {
	return f.Holds(file) && NamesExport(f.Match, filepath.Base(file))
}

// OwnerOf is the index of the folder that a file is an export of: of those that claim
// it the innermost, and of several for one place the first; -1 if none does.
func OwnerOf(folders []Folder, file string) int {
	return innermost(folders, func(f Folder) bool { return f.Claims(file) })
}

// HolderOf is the same for the folder that a file lies in, whatever it is called.
func HolderOf(folders []Folder, file string) int {
	return innermost(folders, func(f Folder) bool { return f.Holds(file) })
}

func innermost(folders []Folder, is func(Folder) bool) int {
	best := -1
	for i, f := range folders {
		if is(f) && (best < 0 || len(f.Path) > len(folders[best].Path)) {
			best = i
		}
	}
	return best
}

// notAnExport is what to say of a file that was named although the folder it lies in
// doesn't take it for an export; empty for all others.
func (f Folder) notAnExport(file string) Sentence {
	name := filepath.Base(file)
	switch {
	case file == "" || f.Path == "" || NamesExport(f.Match, name): // bare tones are of no file
		return Sentence{}
	case NamesExport(nil, name):
		return Sentence{NoteName, fillIn("It is not taken for an export of its folder: the name matches none of {patterns}.", "patterns", strings.Join(f.Match, ", "))}
	}
	return Sentence{NoteUnfinished, "It is not taken for an export of its folder: by its name it is hidden or not finished."}
}
