package agent

import (
	"bufio"
	"os"
	"strings"
	"testing"
)

func TestProgramParts(t *testing.T) {
	exe, err := os.Readlink("/proc/self/exe")
	mustNot(t, err)
	smaps := strings.ReplaceAll(`00400000-008ce000 r-xp 00000000 fe:00 17 EXE
Size:               4920 kB
Anonymous:             0 kB
VmFlags: rd ex mr mw me
008ce000-00f7d000 r--p 004ce000 fe:00 17 EXE
Anonymous:            60 kB
00f7d000-00fec000 rw-p 00b7d000 fe:00 17 EXE
Anonymous:             0 kB
00fec000-0102c000 rw-p 00000000 00:00 0
Anonymous:             0 kB
7f0000000000-7f0000001000 r--p 00000000 fe:00 18 /usr/lib/other.so
Anonymous:             0 kB
7f0000002000-7f0000003000 r--p 00000000 fe:00 17 EXE
Anonymous:             0 kB
`, "EXE", exe)
	got := programParts(bufio.NewScanner(strings.NewReader(smaps)))
	want := []memoryPart{{0x400000, 0x8ce000}, {0x7f0000002000, 0x7f0000003000}}
	if len(got) != len(want) || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("got %x, want %x", got, want)
	}
}

// The program goes on as if nothing had been.
func TestLetGoOfProgram(t *testing.T) {
	for range 3 {
		letGoOfProgram()
		TestProgramParts(t)
	}
}
