package picture

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"lampblack/rules"
)

// actSystem plays the parts that only this system has.
func actSystem(part string) int {
	switch part {
	case "niceness":
		// The parent lowers the priority just after the start: wait for it.
		for range 5000 {
			// The system call gives 20 − niceness.
			if p, err := unix.Getpriority(unix.PRIO_PROCESS, 0); err == nil && 20-p == niceness {
				_ = writeAnswer(os.Stdout, rules.Picture{}, broken("polite: yes"))
				return 0
			}
			time.Sleep(time.Millisecond)
		}
	case "parent":
		w := Worker{Command: []string{os.Args[0], "act", "hang"}}
		_, err := w.Measure(context.Background(), os.Args[0])
		fmt.Fprintln(os.Stderr, err)
	}
	return 1
}

func TestWorkerIsPolite(t *testing.T) {
	_, err := troupe(t, "niceness").Measure(t.Context(), stored(t, []byte("x")))
	if err == nil || err.Error() != "polite: yes" {
		t.Errorf("%v", err)
	}
}

// A pipe in the place of a file must not be waited for.
func TestPipeIsRefused(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := unix.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := troupe(t, "worker").Measure(t.Context(), pipe)
	if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "device or pipe") {
		t.Errorf("%v", err)
	}
}

// The child dies with its parent, even when that is killed.
func TestWorkerDiesWithItsParent(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	parent := exec.Command(self, "act", "parent")
	if err := parent.Start(); err != nil {
		t.Fatal(err)
	}
	child := ""
	eventually(t, "the worker starts", func() bool {
		child = childOf(parent.Process.Pid)
		line, _ := os.ReadFile("/proc/" + child + "/cmdline")
		return strings.HasSuffix(string(line), "hang\x00")
	})
	if err := parent.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = parent.Wait() // its error is that it was killed
	eventually(t, "the worker dies", func() bool {
		status, err := os.ReadFile("/proc/" + child + "/status")
		return err != nil || strings.Contains(string(status), "State:\tZ")
	})
}

// childOf is the id of a process's child, or "" while it has none.
func childOf(pid int) string {
	lists, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/children", pid))
	for _, list := range lists {
		ids, _ := os.ReadFile(list)
		if id := strings.Fields(string(ids)); len(id) > 0 {
			return id[0]
		}
	}
	return ""
}

// eventually waits for what another process does.
func eventually(t *testing.T, what string, done func() bool) {
	t.Helper()
	for deadline := time.Now().Add(20 * time.Second); !done(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("not in 20 s: %s", what)
		}
	}
}
