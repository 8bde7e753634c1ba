package agent

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"lampblack/config"
)

// openProfile opens the profile in the user's editor. Where there is none, a
// commented one is written first, in which nothing is set.
func (l *loop) openProfile() {
	err := writeStarter(l.o.ProfilePath)
	if err == nil {
		err = l.o.Open(l.o.ProfilePath)
	}
	if err != nil {
		l.troubles.begin(openTrouble, "", fmt.Sprintf("Could not open %s: %v", l.o.ProfilePath, err), l.o.Now())
		return
	}
	l.troubles.end(openTrouble, "")
}

// writeStarter writes the example profile with every line commented out, never
// over a file that is there.
func writeStarter(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, os.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	_, err = f.WriteString(commentedOut(config.Example))
	return errors.Join(err, f.Close())
}

// commentedOut is a TOML text in which nothing is set any more.
func commentedOut(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if t := strings.TrimSpace(line); t != "" && !strings.HasPrefix(t, "#") {
			lines[i] = "# " + line
		}
	}
	return strings.Join(lines, "\n")
}
