package autostart

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
)

func agentPath() (string, error) {
	home, err := os.UserHomeDir()
	if err != nil {
		return "", errors.New("can't tell where launch agents belong: set HOME")
	}
	return filepath.Join(home, "Library", "LaunchAgents", agentLabel+".plist"), nil
}

func switchOn(exe string, args []string) error {
	path, err := agentPath()
	if err != nil {
		return err
	}
	return writeEntry(path, launchAgent(exe, args))
}

func switchOff() error {
	path, err := agentPath()
	if err != nil {
		return err
	}
	return removeEntry(path)
}

func read() (Status, error) {
	path, err := agentPath()
	if err != nil {
		return Status{}, err
	}
	text, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return Status{Where: path}, nil
	}
	_, rest, _ := strings.Cut(string(text), "<string>/")
	exe, _, _ := strings.Cut(rest, "</string>")
	return Status{On: exe != "", Where: path, Runs: "/" + exe}, err
}
