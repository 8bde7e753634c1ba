//go:build desktop

package autostart

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// TestDesktopStartsIt: the desktop's own tools take the entry for a valid one, and
// start what it says with the words as they are.
func TestDesktopStartsIt(t *testing.T) {
	dir := t.TempDir()
	var made []string
	for _, w := range nasty {
		made = append(made, filepath.Join(dir, "made "+w))
	}
	entry := filepath.Join(dir, "lampblack.desktop")
	if err := writeEntry(entry, desktopEntry("/usr/bin/touch", made)); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("desktop-file-validate", entry).CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("desktop-file-validate: %v: %s", err, out)
	}
	if out, err := exec.Command("gio", "launch", entry).CombinedOutput(); err != nil {
		t.Fatalf("gio launch: %v: %s", err, out)
	}
	for _, path := range made {
		for end := time.Now().Add(time.Minute); ; time.Sleep(10 * time.Millisecond) {
			if _, err := os.Stat(path); err == nil {
				break
			}
			if time.Now().After(end) {
				t.Errorf("%q was not made", path)
				break
			}
		}
	}
}
