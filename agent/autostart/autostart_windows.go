package autostart

import (
	"errors"

	"golang.org/x/sys/windows"
	"golang.org/x/sys/windows/registry"
)

// runKey holds what starts with the user's session, a value a program.
const (
	runKey   = `Software\Microsoft\Windows\CurrentVersion\Run`
	runValue = "Lampblack"
)

func switchOn(exe string, args []string) error {
	k, _, err := registry.CreateKey(registry.CURRENT_USER, runKey, registry.SET_VALUE)
	if err != nil {
		return err
	}
	defer k.Close()
	return k.SetStringValue(runValue, windows.ComposeCommandLine(append([]string{exe}, args...)))
}

func switchOff() error {
	k, err := registry.OpenKey(registry.CURRENT_USER, runKey, registry.SET_VALUE)
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
	s.On = err == nil
	return s, err
}
