//go:build linux || darwin

package journal

import (
	"os"
	"os/exec"
	"os/signal"
	"strings"
	"syscall"
	"testing"

	"golang.org/x/sys/unix"
)

// limited marks the process in which the size of files may be limited: the test
// tool itself writes files while the tests run.
const limited = "LAMPBLACK_TEST_LIMITED"

func inChild(t *testing.T) {
	t.Helper()
	child := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$", "-test.v")
	child.Env = append(os.Environ(), limited+"=1")
	out, err := child.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "--- PASS: "+t.Name()) {
		t.Fatalf("%v\n%s", err, out)
	}
}

// A drive that fills up in the middle of a line, played by a limit on the size
// of files: the part that was written is never glued to the next entry.
func TestDriveThatFillsUp(t *testing.T) {
	if os.Getenv(limited) == "" {
		inChild(t)
		return
	}
	signal.Ignore(syscall.SIGXFSZ)
	var was unix.Rlimit
	must(t, unix.Getrlimit(unix.RLIMIT_FSIZE, &was))
	defer unix.Setrlimit(unix.RLIMIT_FSIZE, &was)

	width := len(line(t, entry(1)))
	for room := range width + 1 {
		dir := t.TempDir()
		j := open(t, dir)
		must(t, j.Append(entry(1)))
		full := was
		full.Cur = uint64(width + room)
		must(t, unix.Setrlimit(unix.RLIMIT_FSIZE, &full))
		second := j.Append(entry(2))
		third := j.Append(entry(3)) // no room, not even to end the line
		must(t, unix.Setrlimit(unix.RLIMIT_FSIZE, &was))
		must(t, j.Append(entry(4)))
		if third == nil || !strings.Contains(third.Error(), "skarvik-3.tif") || !strings.Contains(third.Error(), whatToDo) {
			t.Fatalf("error %v, want a sentence that names the export and says what to do", third)
		}
		switch {
		case room == width && second == nil:
			wantSizes(t, dir, 0, 2, 3, 5)
		case second == nil:
			t.Fatalf("room for %d of %d bytes, and no error", room, width)
		case room == 0:
			wantSizes(t, dir, 0, 2, 5)
		case room == width-1: // only its newline was missing
			wantSizes(t, dir, 0, 2, 3, 5)
		default:
			wantSizes(t, dir, 1, 2, 5)
		}
	}
}
