package autostart

import (
	"errors"

	"golang.org/x/sys/windows"
	"golang.org/x/sys/windows/registry"
)

// runKey holds what starts with the user's session, a value a program; approvedKey,
// under the same name, whether the user has switched that off in the system's own list.
const (
	runKey      = `Software\Microsoft\Windows\CurrentVersion\Run`
	approvedKey = `Software\Microsoft\Windows\CurrentVersion\Explorer\StartupApproved\Run`
	runValue    = "Lampblack"
)

func switchOn(exe string, args []string) error {
	k, _, err := registry.CreateKey(registry.CURRENT_USER, runKey, registry.SET_VALUE)
	if err != nil {
		return err
	}
	defer k.Close()
	if err := k.SetStringValue(runValue, windows.ComposeCommandLine(append([]string{exe}, args...))); err != nil {
		return err
	}
	return remove(approvedKey) // nothing is said there of what was never switched off
}

func switchOff() error { return errors.Join(remove(runKey), remove(approvedKey)) }

// remove removes our value from a key, if it is there.
func remove(key string) error {
	k, err := registry.OpenKey(registry.CURRENT_USER, key, registry.SET_VALUE)
	if err == nil {
		defer k.Close()
		err = k.DeleteValue(runValue)
	}
	if errors.Is(err, registry.ErrNotExist) {
		return nil
	}
	return err
}

func read() (Status, error) {
	s := Status{Where: `HKEY_CURRENT_USER\` + runKey + `, ` + runValue}
	k, err := registry.OpenKey(registry.CURRENT_USER, runKey, registry.QUERY_VALUE)
	if err == nil {
		defer k.Close()
		s.Runs, _, err = k.GetStringValue(runValue)
	}
	if errors.Is(err, registry.ErrNotExist) {
		return s, nil
	}
	if err != nil {
		return s, err
	}
	s.On, err = approved()
	return s, err
}

// approved tells that the user hasn't switched the start off: by a value whose first
// byte is odd.
func approved() (bool, error) {
	k, err := registry.OpenKey(registry.CURRENT_USER, approvedKey, registry.QUERY_VALUE)
	if errors.Is(err, registry.ErrNotExist) {
		return true, nil
	}
	if err != nil {
		return false, err
	}
	defer k.Close()
	state, _, err := k.GetBinaryValue(runValue)
	if errors.Is(err, registry.ErrNotExist) {
		return true, nil
	}
	return err == nil && (len(state) == 0 || state[0]%2 == 0), err
}
