package agent

import (
	"os/exec"
	"path/filepath"
)

// openFile opens a file in the user's program for it. The path is absolute, so
// it can't be taken for an option, and no shell sees it.
func openFile(path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	return openWithDesktop(path)
}

// OpenPage opens a page in the user's browser, like openFile.
func OpenPage(path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	return openWithBrowser(path)
}

// startOpener runs an opener without waiting for it. It is never ended from
// here: some openers become the user's editor.
func startOpener(name string, args ...string) error {
	cmd := exec.Command(name, args...)
	detach(cmd)
	if err := cmd.Start(); err != nil {
		return err
	}
	go func() { _ = cmd.Wait() }() // its exit status says nothing that the user doesn't see
	return nil
}
