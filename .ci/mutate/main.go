// Command mutate changes the code in one small place at a time and sees whether a
// test notices: a mutant that lives shows what no test looks at. No file of the
// tree is changed; the go command reads the mutated file through an overlay.
//
//	bash .ci/mutants -n 40 -seed 7 -min 85 ./rules
//
// It plays so many mutants of the packages, drawn by the seed from the list of all
// of them: the same for the same code. A mutant that doesn't build is
// replaced by the next. The exit code is 1 when fewer than the wanted share were
// killed, and 2 when something else is wrong.
package main

import (
	"context"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// options are the command's.
type options struct {
	packages    []string
	n           int
	seed        uint64
	least       float64 // of the share killed, percent
	atOnce      int
	equivalents string
	list        bool
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var o options
	flags := flag.NewFlagSet("mutants", flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.IntVar(&o.n, "n", 30, "how many mutants to play")
	flags.Uint64Var(&o.seed, "seed", 1, "what they are drawn by")
	flags.Float64Var(&o.least, "min", 0, "the share that must be killed, percent")
	flags.IntVar(&o.atOnce, "at-once", 2, "how many to play at a time")
	flags.StringVar(&o.equivalents, "equivalent", ".ci/mutants.equivalent", "list of mutants that change nothing")
	flags.BoolVar(&o.list, "list", false, "only list all mutants of the packages")
	if flags.Parse(args) != nil {
		return 2
	}
	o.packages = flags.Args()
	if len(o.packages) == 0 {
		o.packages = []string{"./rules", "./config", "./agent/journal", "./agent/watch"}
	}
	share, err := mutate(ctx, o, stdout)
	switch {
	case err != nil:
		fmt.Fprintln(stderr, "mutants:", err)
		return 2
	case share < o.least:
		fmt.Fprintf(stderr, "mutants: %.0f %% were killed, want at least %.0f %%\n", share, o.least)
		return 1
	}
	return 0
}

// mutate does it all, and gives the share that was killed, percent.
func mutate(ctx context.Context, o options, out io.Writer) (float64, error) {
	points, err := allPoints(o)
	if err != nil {
		return 0, err
	}
	if o.list {
		for _, p := range points {
			fmt.Fprintf(out, "%v\n  - %s\n  + %s\n", p, p.old, p.new)
		}
		return 100, nil
	}
	fmt.Fprintf(out, "%d of %d mutants of %s, by seed %d\n", min(o.n, len(points)), len(points), strings.Join(o.packages, " "), o.seed)
	scratch, err := os.MkdirTemp("", "mutants-")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(scratch)
	p, err := newPlayer(scratch)
	if err != nil {
		return 0, err
	}
	begun := time.Now()
	t := tally{points: drawn(points, o.seed), want: o.n, out: out}
	err = t.play(ctx, p, o.atOnce)
	share := t.report()
	fmt.Fprintf(out, "it took %v\n", time.Since(begun).Round(time.Second))
	return share, err
}

// drawn is the points in the order of a seed. A point's place in it comes from its
// own text, so that a change of the code moves the points that it makes and hardly
// another.
func drawn(points []point, seed uint64) []point {
	type key struct{ file, old, new string }
	seen := map[key]int{}
	rank := make(map[point]string, len(points))
	for _, p := range points {
		k := key{p.file, p.old, p.new}
		sum := sha256.Sum256(fmt.Appendf(nil, "%d %q %d", seed, k, seen[k]))
		rank[p] = string(sum[:])
		seen[k]++
	}
	list := slices.Clone(points)
	slices.SortFunc(list, func(a, b point) int { return strings.Compare(rank[a], rank[b]) })
	return list
}

// allPoints lists the points of the packages' files, as they are built on this
// system, but for the equivalent ones.
func allPoints(o options) ([]point, error) {
	format := `{{range .GoFiles}}{{$.ImportPath}}	{{$.Dir}}/{{.}}{{"\n"}}{{end}}`
	cmd := exec.Command("go", append([]string{"list", "-f", format}, o.packages...)...)
	cmd.Stderr = os.Stderr
	listed, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w", err)
	}
	root, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	var points []point
	files := map[string]bool{}
	for line := range strings.Lines(string(listed)) {
		pkg, path, _ := strings.Cut(strings.TrimSpace(line), "\t")
		if path == "" {
			continue
		}
		source, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		if path, err = filepath.Rel(root, path); err != nil {
			return nil, err
		}
		name := filepath.ToSlash(path)
		files[name] = true
		more, err := pointsOf(pkg, name, source)
		if err != nil {
			return nil, err
		}
		points = append(points, more...)
	}
	list, err := readEquivalents(o.equivalents)
	if err != nil {
		return nil, err
	}
	if points, err = without(points, files, list); err == nil && len(points) == 0 {
		err = errors.New("there is nothing to mutate")
	}
	return points, err
}

// tally is what became of the mutants so far.
type tally struct {
	points []point
	want   int
	out    io.Writer

	mu       sync.Mutex
	next     int
	outcomes map[int]outcome // by place in points
}

// play tries mutants, some at once, until as many as are wanted have been built.
func (t *tally) play(ctx context.Context, p *player, atOnce int) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	t.outcomes = map[int]outcome{}
	var hands sync.WaitGroup
	for range atOnce {
		hands.Go(func() {
			for i, ok := t.take(); ok && ctx.Err() == nil; i, ok = t.take() {
				o, err := p.play(ctx, t.points[i])
				if err != nil {
					stop(err)
					return
				}
				t.note(i, o)
			}
		})
	}
	hands.Wait()
	return context.Cause(ctx)
}

// take gives the next mutant, if one is needed.
func (t *tally) take() (int, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.next == len(t.points) || len(t.counted()) >= t.want {
		return 0, false
	}
	t.next++
	return t.next - 1, true
}

func (t *tally) note(i int, o outcome) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.outcomes[i] = o
	fmt.Fprintf(t.out, "%-13s %v  %s\n", o, t.points[i], t.points[i].new)
}

// counted are the mutants that count, as many as are wanted: the first in the order
// in which they were drawn, so that it is the same ones however fast each was.
func (t *tally) counted() []int {
	var list []int
	for i := range t.next {
		if o := t.outcomes[i]; o != "" && o != invalid && len(list) < t.want {
			list = append(list, i)
		}
	}
	return list
}

// report tells the sums and who survived, and gives the share that was killed.
func (t *tally) report() float64 {
	sums := map[outcome]int{}
	for _, o := range t.outcomes {
		if o == invalid {
			sums[o]++
		}
	}
	counted := t.counted()
	for _, i := range counted {
		sums[t.outcomes[i]]++
		if p := t.points[i]; t.outcomes[i] == survived {
			fmt.Fprintf(t.out, "\n%v survived\n  - %s\n  + %s\n", p, p.old, p.new)
		}
	}
	share := 100 * float64(sums[killed]+sums[timedOut]) / float64(max(1, len(counted)))
	fmt.Fprintf(t.out, "\n%d killed, %d timed out, %d survived, %d did not build: %.0f %% of %d killed\n",
		sums[killed], sums[timedOut], sums[survived], sums[invalid], share, len(counted))
	return share
}
