package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// outcome is what became of a mutant.
type outcome string

const (
	killed   outcome = "killed"
	survived outcome = "SURVIVED"
	timedOut outcome = "timed out"     // as good as killed
	invalid  outcome = "doesn't build" // counts for nothing
)

// promises are the packages whose tests hold another one to what it promises, by
// the beginning of that one's path: a mutant that its own tests let live meets
// those. The cheaper come first.
var promises = []struct {
	prefix string
	tests  []string
}{
	{"lampblack/rules/", []string{"lampblack/rules"}},
	{"lampblack/rules", []string{"lampblack/agent/journal", "lampblack/cmd/lampblack", "lampblack/agent"}},
	{"lampblack/config", []string{"lampblack/cmd/lampblack", "lampblack/agent"}},
}

// judges are the packages whose tests a mutant of pkg must survive, in order.
func judges(pkg string) []string {
	list := []string{pkg}
	for _, p := range promises {
		if strings.HasPrefix(pkg, p.prefix) {
			list = append(list, p.tests...)
		}
	}
	return list
}

// player tries mutants, without changing a file of the tree.
type player struct {
	scratch string
	env     []string

	mu     sync.Mutex
	limits map[string]time.Duration // by package
}

// newPlayer gives the tests a home of their own, for a mutant may well write where
// the code would not.
func newPlayer(scratch string) (*player, error) {
	out, err := exec.Command("go", "env", "GOCACHE", "GOMODCACHE", "GOPATH", "GOENV").Output()
	dirs := strings.Fields(string(out))
	if err != nil || len(dirs) != 4 {
		return nil, fmt.Errorf("go env: %q, %v", out, err)
	}
	env := []string{"GOCACHE=" + dirs[0], "GOMODCACHE=" + dirs[1], "GOPATH=" + dirs[2], "GOENV=" + dirs[3]}
	for name, folder := range map[string]string{"HOME": "home", "TMPDIR": "tmp"} {
		folder = filepath.Join(scratch, folder)
		if err := os.MkdirAll(folder, 0o700); err != nil {
			return nil, err
		}
		env = append(env, name+"="+folder)
	}
	for _, v := range os.Environ() {
		name, _, _ := strings.Cut(v, "=")
		if !strings.HasPrefix(name, "XDG_") && name != "HOME" && name != "TMPDIR" && name != "DBUS_SESSION_BUS_ADDRESS" {
			env = append(env, v)
		}
	}
	return &player{scratch: scratch, env: env, limits: map[string]time.Duration{}}, nil
}

// test runs a package's tests; an overlay may be "".
func (p *player) test(ctx context.Context, pkg, overlay string, limit time.Duration) (string, error) {
	args := []string{"test", "-count=1", "-vet=off", "-failfast", "-timeout", limit.String()}
	if overlay != "" {
		args = append(args, "-overlay", overlay)
	}
	cmd := exec.CommandContext(ctx, "go", append(args, pkg)...)
	cmd.Env = p.env
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// limit is how long a package's tests may take: several times as long as without a
// mutation, where they must pass.
func (p *player) limit(ctx context.Context, pkg string) (time.Duration, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if d, ok := p.limits[pkg]; ok {
		return d, nil
	}
	begun := time.Now()
	if out, err := p.test(ctx, pkg, "", 10*time.Minute); err != nil {
		return 0, fmt.Errorf("the tests of %s fail without any mutation: %s", pkg, out)
	}
	const times, least = 2, 10 * time.Second
	p.limits[pkg] = (times*time.Since(begun) + least).Round(time.Second)
	return p.limits[pkg], nil
}

// play tries one mutant.
func (p *player) play(ctx context.Context, m point) (outcome, error) {
	dir, err := os.MkdirTemp(p.scratch, "mutant-")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(dir)
	overlay, err := writeOverlay(dir, m)
	if err != nil {
		return "", err
	}
	for _, pkg := range judges(m.pkg) {
		limit, err := p.limit(ctx, pkg)
		if err != nil {
			return "", err
		}
		out, err := p.test(ctx, pkg, overlay, limit)
		switch {
		case ctx.Err() != nil:
			return "", ctx.Err()
		case err == nil:
			continue
		case strings.Contains(out, "[build failed]"), strings.Contains(out, "[setup failed]"):
			return invalid, nil
		case strings.Contains(out, "panic: test timed out after"):
			return timedOut, nil
		}
		return killed, nil
	}
	return survived, nil
}

// writeOverlay writes the mutated file, and the list that has the go command read
// it in place of the original.
func writeOverlay(dir string, m point) (string, error) {
	original, err := filepath.Abs(m.file)
	if err != nil {
		return "", err
	}
	source, err := os.ReadFile(original)
	if err != nil {
		return "", err
	}
	mutant, overlay := filepath.Join(dir, "mutant.go"), filepath.Join(dir, "overlay.json")
	list, err := json.Marshal(map[string]map[string]string{"Replace": {original: mutant}})
	if err != nil {
		return "", err
	}
	if err := os.WriteFile(mutant, m.mutated(source), 0o600); err != nil {
		return "", err
	}
	return overlay, os.WriteFile(overlay, list, 0o600)
}
