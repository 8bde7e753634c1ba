package agent

import (
	"bufio"
	"fmt"
	"os"
	"strings"

	"golang.org/x/sys/unix"
)

// letGoOfProgram gives back the pages of the program itself that were read in. Most
// of them only its start needed, and the kernel brings in sixteen where one is
// needed; the few that idling needs come back by themselves, out of the file's
// cache. Pages that differ from the file are left alone.
func letGoOfProgram() {
	maps, err := os.Open("/proc/self/smaps")
	if err != nil {
		return
	}
	defer maps.Close()
	for _, part := range programParts(bufio.NewScanner(maps)) {
		_, _, _ = unix.Syscall(unix.SYS_MADVISE, part.start, part.end-part.start, unix.MADV_DONTNEED)
	}
}

// memoryPart is a range of addresses.
type memoryPart struct{ start, end uintptr }

// programParts finds, in the lines of an smaps file, what is mapped of the program's
// own file, can't be written and never was.
func programParts(lines *bufio.Scanner) (parts []memoryPart) {
	exe, err := os.Readlink("/proc/self/exe")
	if err != nil {
		return nil
	}
	var part memoryPart // being read; zero: of no interest
	for lines.Scan() {
		fields := strings.Fields(lines.Text())
		if len(fields) < 2 {
			continue
		}
		var start, end uintptr
		if n, _ := fmt.Sscanf(fields[0], "%x-%x", &start, &end); n == 2 {
			part = memoryPart{}
			if strings.HasSuffix(lines.Text(), " "+exe) && !strings.Contains(fields[1], "w") {
				part = memoryPart{start, end}
			}
		}
		if fields[0] == "Anonymous:" && fields[1] == "0" && part.end > 0 {
			parts = append(parts, part)
		}
	}
	return parts
}
