//go:build unix

package agent

import (
	"os"
	"path/filepath"
	"testing"

	"lampblack/rules"
)

// A file is an export of the same folder by whatever path it is named.
func TestOwnerOfAnyPath(t *testing.T) {
	dir := t.TempDir()
	in := func(parts ...string) string { return filepath.Join(append([]string{dir}, parts...)...) }
	for _, d := range []string{in("to-print", "day"), in("elsewhere")} {
		mustNot(t, os.MkdirAll(d, 0o700))
	}
	for link, to := range map[string]string{in("prints"): in("to-print"), in("elsewhere", "today"): in("to-print", "day")} {
		mustNot(t, os.Symlink(to, link))
	}
	folders := []rules.Folder{
		{Path: in("prints"), Paper: "harbour rag", Match: []string{"*.tif"}, Subfolders: true}, // itself a link
		{Path: in("gone"), Paper: "slip gloss", Subfolders: true},
	}
	for _, c := range []struct {
		file     string
		paper    string
		isExport bool
	}{
		{in("to-print", "fog.tif"), "harbour rag", true},
		{in("prints", "day", "fog.TIF"), "harbour rag", true},
		{in("elsewhere", "today", "fog.tif"), "harbour rag", true},
		{in("elsewhere", "today", "fog.psd"), "harbour rag", false},
		{in("elsewhere", "fog.tif"), "", false},
	} {
		f, isExport := OwnerOf(folders, c.file)
		if f.Paper != c.paper || isExport != c.isExport {
			t.Errorf("%s is of %q, an export: %v; want %q, %v", c.file, f.Paper, isExport, c.paper, c.isExport)
		}
	}
	t.Chdir(in("prints"))
	if f, isExport := OwnerOf(folders, "fog.tif"); f.Paper != "harbour rag" || !isExport {
		t.Errorf("from within it is of %+v, an export: %v", f, isExport)
	}
}
