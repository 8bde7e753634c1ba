package picture

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
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
		for { // until the Worker's patience ends
			// The system call gives 20 − niceness.
			if p, err := unix.Getpriority(unix.PRIO_PROCESS, 0); err == nil && 20-p == niceness {
				_ = writeAnswer(os.Stdout, rules.Picture{}, "", broken("polite: yes"))
				return 0
			}
			time.Sleep(time.Millisecond)
		}
	case "devour":
		limitMemory(128 << 20)
		for hoard := [][]byte{}; ; {
			hoard = append(hoard, bytes.Repeat([]byte{1}, 1<<20))
		}
	case "prisoner":
		return actPrisoner()
	case "parent":
		w := Worker{Command: []string{os.Args[0], "act", "hang"}}
		_, err := w.Measure(context.Background(), os.Args[0])
		fmt.Fprintln(os.Stderr, err)
	}
	return 1
}

// actPrisoner shuts itself in and reports what it still can do.
func actPrisoner() int {
	runtime.LockOSThread() // a test under cgo shuts in this thread alone
	shutIn()
	var can []string
	if v, err := unix.PrctlRetInt(unix.PR_GET_NO_NEW_PRIVS, 0, 0, 0, 0); err != nil || v != 1 {
		can = append(can, "gain privileges")
	}
	if f, err := os.Open(os.Args[0]); err == nil {
		f.Close()
		can = append(can, "open a file")
	}
	if err := os.Mkdir(filepath.Join(os.TempDir(), "lampblack-prisoner"), 0o700); err == nil {
		can = append(can, "make a folder")
	}
	if c, err := net.Dial("udp", "192.0.2.1:9"); err == nil { // an address for documentation
		c.Close()
		can = append(can, "reach out")
	}
	var head [1]byte
	if _, err := os.Stdin.ReadAt(head[:], 0); err != nil {
		can = append(can, fmt.Sprintf("not even read: %v", err))
	}
	_ = writeAnswer(os.Stdout, rules.Picture{}, "", broken("can: %s", strings.Join(can, ", ")))
	return 0
}

// The child can read the file it was given, and nothing else. What this system
// can't forbid is not expected of it, but is asked of the system first.
func TestWorkerIsShutIn(t *testing.T) {
	var can []string
	if landlockRules().Handled_access_fs == 0 {
		can = append(can, "open a file", "make a folder")
	}
	alone := exec.Command("/proc/self/exe", "act", "nothing")
	alone.SysProcAttr = childAttributes()[0]
	if err := alone.Run(); err != nil {
		can = append(can, "reach out")
	}
	_, err := troupe(t, "prisoner").Measure(t.Context(), stored(t, []byte("x")))
	if want := "can: " + strings.Join(can, ", "); err == nil || strings.TrimSpace(err.Error()) != strings.TrimSpace(want) {
		t.Errorf("%v, want %q", err, want)
	}
}

// Where the tightest way to start a child is refused, a looser one is taken.
func TestWorkerStartsInALooserWay(t *testing.T) {
	f, err := os.Open(stored(t, []byte("x")))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	impossible := &syscall.SysProcAttr{Cloneflags: syscall.CLONE_THREAD} // a thread can't be a process
	out, complaint := &capped{most: mostOutput}, &capped{most: mostComplaint}
	w := troupe(t, "garbage")
	err = w.run(t.Context(), f, out, complaint, []*syscall.SysProcAttr{impossible, {Setpgid: true}})
	if err != nil || out.b.String() != "lorem ipsum\n" {
		t.Errorf("%q, %v", out.b.String(), err)
	}
	if err = w.run(t.Context(), f, out, complaint, []*syscall.SysProcAttr{impossible}); err == nil {
		t.Error("the impossible way is taken")
	}
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
	const patience = time.Minute
	for deadline := time.Now().Add(patience); !done(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("not in %v: %s", patience, what)
		}
	}
}
