package agent

import (
	"os"
	"path/filepath"

	"lampblack/rules"
)

// OwnerOf is the watched folder that a file lies in, however the file is named; the
// zero Folder if it lies in none. An export of that folder it is only if its name is
// one, too. Folders are compared as the system knows them, since one folder can have
// several paths.
func OwnerOf(folders []rules.Folder, file string) (f rules.Folder, isExport bool) {
	path := realPath(file)
	seen := seenFrom(folders, filepath.Dir(path))
	if i := rules.OwnerOf(seen, path); i >= 0 {
		return folders[i], true
	}
	if i := rules.HolderOf(seen, path); i >= 0 {
		return folders[i], false
	}
	return rules.Folder{}, false
}

// realPath is the absolute path of a file, whose folder's links are followed. The
// file itself needn't be there.
func realPath(file string) string {
	abs, err := filepath.Abs(file)
	if err != nil {
		return file
	}
	dir, err := filepath.EvalSymlinks(filepath.Dir(abs))
	if err != nil {
		return abs
	}
	return filepath.Join(dir, filepath.Base(abs))
}

// seenFrom are the folders with the paths by which one meets them on the way up from
// dir.
func seenFrom(folders []rules.Folder, dir string) []rules.Folder {
	seen := append([]rules.Folder(nil), folders...)
	for ; ; dir = filepath.Dir(dir) {
		if at, err := os.Stat(dir); err == nil {
			for i, f := range folders {
				if there, err := os.Stat(f.Path); err == nil && os.SameFile(at, there) {
					seen[i].Path = dir
				}
			}
		}
		if dir == filepath.Dir(dir) {
			return seen
		}
	}
}
