package main

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// mutantsOf gives the mutations of one line of a function's body, as that line.
func mutantsOf(t *testing.T, head, line string) []string {
	t.Helper()
	source := "package p\n\n" + head + " {\n\t" + line + "\n}\n"
	points, err := pointsOf("p", "p.go", []byte(source))
	if err != nil {
		t.Fatalf("%s: %v", source, err)
	}
	var list []string
	for _, p := range points {
		if p.old != line || p.line != 4 {
			t.Errorf("the point is at line %d, %q, want 4, %q", p.line, p.old, line)
		}
		list = append(list, p.new)
	}
	return list
}

func TestPoints(t *testing.T) {
	for _, c := range []struct {
		name, head, line string
		want             []string
	}{
		{"a comparison's boundary and its contrary", "func f(a, b int)", "g = a < b", []string{"g = a <= b", "g = a >= b"}},
		{"a condition", "func f(a bool)", "if a { return }", []string{"if !(a) { return }"}},
		{"a negated one", "func f(a bool)", "if !a { return }", []string{"if a { return }"}},
		{"two of them", "func f(a, b bool)", "for a && b {}", []string{"for !(a && b) {}", "for a || b {}"}},
		{"arithmetic", "func f(a, b int)", "g = a*b + a", []string{"g = a*b - a", "g = a/b + a"}},
		{"a number", "func f()", "g = 7", []string{"g = 8", "g = 6"}},
		{"nothing at all", "func f()", "g = 0", []string{"g = 1"}},
		{"rights", "func f()", "g = 0o10", []string{"g = 9", "g = 7"}},
		{"a fraction", "func f()", "g = 0.5", []string{"g = (0.5 + 1)", "g = 0.0"}},
		{"a call for what it does", "func f(a int)", "h(a, nil)", []string{"if false { h(a, nil) }"}},
		{"one with a closure", "func f()", "h(func() bool { return a })", []string{"if false { h(func() bool { return a }) }", "h(func() bool { return !(a) })"}},
		{"a step", "func f(a int)", "a++", []string{"a--"}},
		{"a sum", "func f(a, b int)", "a += b", []string{"a -= b"}},
		{"a truth", "func f(a bool) bool", "return a", []string{"return !(a)"}},
		{"an error and a value", "func f() (v T, err error)", "return g, err", []string{"return *new(T), err", "return g, nil"}},
		{"zeros", "func f() (T, error)", "return T{}, nil", nil},
		{"the room of a slice", "func f(n int)", "g = make([]int, n, 2*n)", nil},
		{"the length of a slice", "func f(n int)", "g = make([]int, 2*n)", []string{"g = make([]int, 2/n)", "g = make([]int, 3*n)", "g = make([]int, 1*n)"}},
		{"the length of an array's type", "func f()", "g = [3]int{}", nil},
	} {
		if got := mutantsOf(t, c.head, c.line); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// What a file's text is outside of functions counts, too; what only names, doesn't.
func TestPointsOfDeclarations(t *testing.T) {
	source := "package p\n\nimport \"1+1\"\n\ntype t struct {\n\ta [2]int `a:\"1\"`\n}\n\nconst c = 1 + 1\n"
	points, err := pointsOf("p", "p.go", []byte(source))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range points {
		got = append(got, p.new)
	}
	want := []string{"const c = 1 - 1", "const c = 2 + 1", "const c = 0 + 1", "const c = 1 + 2", "const c = 1 + 0"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestDrawn(t *testing.T) {
	pointsIn := func(list string) []point {
		points, err := pointsOf("p", "p.go", []byte("package p\n\nvar (\n"+list+")\n"))
		if err != nil {
			t.Fatal(err)
		}
		return points
	}
	list := ""
	for i := range 50 {
		list += fmt.Sprintf("\tv%d = a + b\n", i)
	}
	points := pointsIn(list)
	if !slices.Equal(drawn(points, 3), drawn(points, 3)) || slices.Equal(drawn(points, 3), drawn(points, 4)) {
		t.Error("want the same order for the same seed, another for another")
	}
	if slices.Equal(drawn(points, 3), points) || len(drawn(points, 3)) != len(points) {
		t.Error("want all points, in another order")
	}
	// What is new elsewhere takes its own place among the others.
	var before, after []string
	for _, p := range drawn(points, 3) {
		before = append(before, p.new)
	}
	for _, p := range drawn(pointsIn("\tnew = c < d\n"+list), 3) {
		if !strings.HasPrefix(p.new, "new") {
			after = append(after, p.new)
		}
	}
	if !slices.Equal(before, after) {
		t.Errorf("the order has changed from %q to %q", before, after)
	}
}
