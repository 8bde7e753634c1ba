//go:build unix && !darwin

package autostart

import (
	"errors"
	"os"
	"path/filepath"
)

func entryPath() (string, error) {
	config, err := os.UserConfigDir()
	if err != nil {
		return "", errors.New("can't tell where the desktop's autostart folder is: set HOME")
	}
	return filepath.Join(config, "autostart", "lampblack.desktop"), nil
}

func switchOn(exe string, args []string) error {
	path, err := entryPath()
	if err != nil {
		return err
	}
	return writeEntry(path, desktopEntry(exe, args))
}

func switchOff() error {
	path, err := entryPath()
	if err != nil {
		return err
	}
	return removeEntry(path)
}

func read() (Status, error) {
	path, err := entryPath()
	if err != nil {
		return Status{}, err
	}
	text, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return Status{Where: path}, nil
	}
	on, runs := readEntry(string(text))
	return Status{On: on, Where: path, Runs: runs}, err
}
