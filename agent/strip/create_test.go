package strip

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

// TestCreate: a file that is there stays as it is, and of a strip that can't be made
// nothing is left.
func TestCreate(t *testing.T) {
	dir := t.TempDir()
	file, out := filepath.Join(dir, "torn.tif"), filepath.Join(dir, "strip.tif")
	for path, text := range map[string]string{file: "II*\x00", out: "an older strip"} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := Create(out, file, Options{}); !errors.Is(err, fs.ErrExist) {
		t.Errorf("over a file: %v", err)
	}
	if text, err := os.ReadFile(out); err != nil || string(text) != "an older strip" {
		t.Errorf("the older strip is %q, %v", text, err)
	}
	fresh := filepath.Join(dir, "fresh.tif")
	if _, err := Create(fresh, file, Options{}); err == nil {
		t.Error("a strip was made of a torn picture")
	}
	if _, err := os.Stat(fresh); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("something is left of it: %v", err)
	}
	if _, err := Create(fresh, filepath.Join(dir, "gone.tif"), Options{}); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("of no file: %v", err)
	}
}
