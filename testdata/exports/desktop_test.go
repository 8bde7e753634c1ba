//go:build desktop

package exports

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// This test wants Debian's libtiff-tools, and fails without.

func TestTIFFsInLibtiff(t *testing.T) {
	dir := t.TempDir()
	for _, name := range Names() {
		if filepath.Ext(name) != ".tif" {
			continue
		}
		file, err := Files.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, file, 0o600); err != nil {
			t.Fatal(err)
		}
		checkInLibtiff(t, path)
	}
	path := filepath.Join(dir, "big.tif")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := BigTIFF16(f, 1, 1, true); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	checkInLibtiff(t, path)
}

// checkInLibtiff reads all of a file's data, too, and wants no word of complaint.
func checkInLibtiff(t *testing.T, path string) {
	t.Helper()
	var out, complaints strings.Builder
	cmd := exec.Command("tiffinfo", "-d", path)
	cmd.Stdout, cmd.Stderr = &out, &complaints
	if err := cmd.Run(); err != nil || complaints.Len() > 0 {
		t.Errorf("tiffinfo, of libtiff-tools: %v %s", err, complaints.String())
	}
	for _, want := range []string{"Resolution: 300, 300 pixels/inch", "ICC Profile: <present>"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("tiffinfo of %s doesn't say %q:\n%s", filepath.Base(path), want, out.String())
		}
	}
}
