package agent

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
)

// Dirs are the places that the desktop's conventions give to the program.
type Dirs struct {
	Config string // holds profile.toml and readings.toml
	State  string // holds the journal
}

// DefaultDirs finds them: XDG base directories on Linux and the BSDs,
// %AppData% and %LocalAppData% on Windows, the Library on macOS.
func DefaultDirs() (Dirs, error) {
	config, err := os.UserConfigDir()
	if err != nil {
		return Dirs{}, errors.New("can't tell where the profile belongs: set HOME, or use --profile and --state")
	}
	state, err := userStateDir(config)
	if err != nil {
		return Dirs{}, err
	}
	return Dirs{
		Config: filepath.Join(config, "lampblack"),
		State:  filepath.Join(state, "lampblack"),
	}, nil
}

// userStateDir is what os lacks beside UserConfigDir and UserCacheDir.
func userStateDir(config string) (string, error) {
	switch runtime.GOOS {
	case "windows":
		return os.UserCacheDir() // %LocalAppData%
	case "darwin", "ios":
		return config, nil // ~/Library/Application Support
	}
	if dir := os.Getenv("XDG_STATE_HOME"); filepath.IsAbs(dir) {
		return dir, nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", errors.New("can't tell where the journal belongs: set HOME, or use --state")
	}
	return filepath.Join(home, ".local", "state"), nil
}
