package journal

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"sync"
	"testing"
)

// childDir makes the test binary append to a journal until it is killed.
const childDir = "LAMPBLACK_TEST_JOURNAL"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childDir); dir != "" {
		appendForEver(dir)
	}
	os.Exit(m.Run())
}

// appendForEver says the number of each entry once it is acknowledged.
func appendForEver(dir string) {
	j, err := Open(dir)
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	first, _ := strconv.Atoi(os.Getenv(childDir + "_FIRST"))
	for n := first; ; n++ {
		if err := j.Append(entry(n)); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		fmt.Println(n)
	}
}

// Killed at arbitrary moments, 20 times: what was acknowledged is there, once.
func TestKilledWhileAppending(t *testing.T) {
	dir := t.TempDir()
	acknowledged := map[int64]bool{}
	next := 0
	for range 20 {
		for _, n := range runAndKill(t, dir, next, 1+rand.IntN(60)) {
			acknowledged[entry(n).Size] = true
			next = n + 1
		}
		next++ // the one that was being written may be there, too
	}
	all, _ := readAll(t, dir)
	count := map[int64]int{}
	for _, e := range all {
		if count[e.Size]++; count[e.Size] > 1 {
			t.Errorf("entry %d is there twice", e.Size)
		}
	}
	for size := range acknowledged {
		if count[size] != 1 {
			t.Errorf("entry %d was acknowledged and is gone", size)
		}
	}
	if extra := len(all) - len(acknowledged); extra < 0 || extra > 20 {
		t.Errorf("%d entries, %d acknowledged", len(all), len(acknowledged))
	}
}

// runAndKill starts a child that appends from number first on, kills it once it
// has acknowledged n entries, and returns all it acknowledged until it died.
func runAndKill(t *testing.T, dir string, first, n int) (acknowledged []int) {
	t.Helper()
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), childDir+"="+dir, fmt.Sprintf("%s_FIRST=%d", childDir, first))
	out, err := child.StdoutPipe()
	must(t, err)
	must(t, child.Start())
	for lines := bufio.NewScanner(out); lines.Scan(); {
		number, err := strconv.Atoi(lines.Text())
		must(t, err)
		if acknowledged = append(acknowledged, number); len(acknowledged) == n {
			must(t, child.Process.Kill())
		}
	}
	if err := child.Wait(); err == nil || len(acknowledged) < n {
		t.Fatalf("the child ended by itself: %v", err)
	}
	return acknowledged
}

func TestReadWhileAppending(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	const n = 300
	var writer sync.WaitGroup
	writer.Go(func() {
		for i := range n {
			if err := j.Append(entry(i)); err != nil {
				t.Error(err)
			}
		}
	})
	for seen := 0; seen < n && !t.Failed(); {
		all, skipped := readAll(t, dir)
		if len(all) < seen || skipped > 1 {
			t.Fatalf("%d entries after %d, %d lines skipped", len(all), seen, skipped)
		}
		for i, e := range all {
			if e.Size != entry(i).Size {
				t.Fatalf("entry %d has size %d", i, e.Size)
			}
		}
		seen = len(all)
	}
	writer.Wait()
}
