//go:build unix

package private

import (
	"errors"
	"path/filepath"
	"testing"

	"golang.org/x/sys/unix"
)

// TestPipe: nobody waits for the other end of a pipe that lies where a file should be.
func TestPipe(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pipe")
	mustNot(t, unix.Mkfifo(path, 0o600))
	if _, err := Read(path); !errors.Is(err, errNotPlain) {
		t.Errorf("read: %v", err)
	}
	if _, err := Append(path); !errors.Is(err, errNotPlain) {
		t.Errorf("append: %v", err)
	}
}
