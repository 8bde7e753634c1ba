package agent

import "os/exec"

// Windows has no program of its own for .toml, so the one for plain text serves.
func openWithDesktop(path string) error { return startOpener("notepad.exe", path) }

func openWithBrowser(path string) error {
	return startOpener("rundll32.exe", "url.dll,FileProtocolHandler", path)
}

func detach(*exec.Cmd) {}
