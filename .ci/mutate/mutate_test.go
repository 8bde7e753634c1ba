package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

// A module of its own with one package, of which the tests see one thing, miss
// another, and hang on a third.
const (
	code = `package p

func Larger(a, b int) bool { return a > b }

func Count(n int) (sum int) {
	for i := 0; i < n; i++ {
		sum++
	}
	return sum
}

func Unseen(a int) int { return a + a }

type S string

func Joined(s S) S { return s + "!" }
`
	tests = `package p

import "testing"

func TestP(t *testing.T) {
	if Larger(1, 1) || !Larger(2, 1) || Larger(1, 2) || Count(3) != 3 || Count(0) != 0 || Joined("a") != "a!" {
		t.Error("wrong")
	}
}
`
)

func TestMutate(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "go.mod", "module p\n\ngo 1.26\n")
	write(t, "p.go", code)
	write(t, "p_test.go", tests)
	write(t, "list", "")
	var out, complaints bytes.Buffer
	args := []string{"-n", "1000", "-equivalent", "list", "-min", "100", "."}
	if got := run(t.Context(), args, &out, &complaints); got != 1 {
		t.Errorf("exit code %d, %s", got, complaints.String())
	}
	said := out.String()
	for _, want := range []string{
		"\np.go:12 survived\n  - func Unseen(a int) int { return a + a }\n  + func Unseen(a int) int { return a - a }\n",
		"killed        p.go:3  func Larger(a, b int) bool { return a >= b }",
		"doesn't build p.go:16  func Joined(s S) S { return s - \"!\" }",
		"timed out     p.go:6  for i := 0; i < n; i-- {",
		" 1 timed out, 2 survived, 1 did not build: ",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("no %q in:\n%s", want, said)
		}
	}
	if want := "were killed, want at least 100 %"; !strings.Contains(complaints.String(), want) {
		t.Errorf("%q, want %q", complaints.String(), want)
	}
	if now, err := os.ReadFile("p.go"); err != nil || string(now) != code {
		t.Errorf("the file itself was changed: %v", err)
	}
}

// Where the tests fail by themselves every mutant would look killed.
func TestTestsThatFailAnyway(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "go.mod", "module p\n\ngo 1.26\n")
	write(t, "p.go", code)
	write(t, "p_test.go", strings.Replace(tests, "Count(0) != 0", "Count(0) == 0", 1))
	write(t, "list", "")
	var out, complaints bytes.Buffer
	if got := run(t.Context(), []string{"-equivalent", "list", "."}, &out, &complaints); got != 2 {
		t.Errorf("exit code %d", got)
	}
	if want := "the tests of p fail without any mutation"; !strings.Contains(complaints.String(), want) {
		t.Errorf("%q, want %q", complaints.String(), want)
	}
}
