//go:build unix

package agent

import (
	"os/exec"
	"runtime"
	"syscall"
)

func openWithDesktop(path string) error {
	if runtime.GOOS == "darwin" {
		return startOpener("/usr/bin/open", "-t", path)
	}
	return startOpener("xdg-open", path)
}

func openWithBrowser(path string) error {
	if runtime.GOOS == "darwin" {
		return startOpener("/usr/bin/open", path)
	}
	return startOpener("xdg-open", path)
}

// detach keeps the opener alive when the agent's own group is signalled.
func detach(cmd *exec.Cmd) { cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} }
