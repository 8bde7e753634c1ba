package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"lampblack/testdata/exports"
)

func TestMain(m *testing.M) {
	// The scripts wait for other processes more than they work.
	if err := flag.Set("test.parallel", "8"); err != nil {
		panic(err)
	}
	testscript.Main(m, map[string]func(){"lampblack": main})
}

// scripts is where the command line is tested as typed.
const scripts = "../../testdata/script"

// TestScripts runs every script. Besides what testscript has, each finds the
// exports of the demo studio in to-print, a profile that watches it
// (tidemark.toml), an empty to-web, and the commands below.
func TestScripts(t *testing.T) {
	commands := map[string]func(*testscript.TestScript, bool, []string){
		"status":    cmdStatus,
		"json":      cmdJSON,
		"jsonl":     cmdJSONLines,
		"quiet":     cmdQuiet,
		"strange":   cmdStrange,
		"fill":      cmdFill,
		"append":    cmdAppend,
		"many":      cmdMany,
		"journaled": cmdJournaled,
		"photo":     cmdPhoto,
		"cut":       cmdCut,
		"painted":   cmdPainted,
		"exported":  cmdExported,
	}
	for name, cmd := range systemCommands {
		commands[name] = cmd
	}
	testscript.Run(t, testscript.Params{
		Dir:                 scripts,
		Setup:               setUpDesk,
		Cmds:                commands,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}

// hasty keeps a program built with the race detector from waiting a second
// before each exit.
const hasty = "atexit_sleep_ms=0"

func setUpDesk(e *testscript.Env) error {
	e.Setenv("GORACE", hasty)
	e.Setenv("HOME", e.WorkDir)
	e.Setenv("XDG_CONFIG_HOME", "")
	e.Setenv("XDG_STATE_HOME", "")
	if err := os.MkdirAll(e.Getenv("TMPDIR"), 0o700); err != nil {
		return err
	}
	profile, err := os.ReadFile(filepath.Join(scripts, "tidemark.toml"))
	if err != nil {
		return err
	}
	return errors.Join(
		os.WriteFile(filepath.Join(e.WorkDir, "tidemark.toml"), profile, 0o600),
		os.CopyFS(filepath.Join(e.WorkDir, "to-print"), exports.Files),
		os.Mkdir(filepath.Join(e.WorkDir, "to-web"), 0o700),
	)
}

// cmdStatus is "status N program args...": the exit status is exactly N, and
// whatever was wrong, Go's own last words were not said.
func cmdStatus(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N program args...")
	}
	err := ts.Exec(args[1], args[2:]...)
	code := 0
	if exit := (*exec.ExitError)(nil); errors.As(err, &exit) {
		code = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if strconv.Itoa(code) != args[0] {
		ts.Fatalf("exit status %d, want %s", code, args[0])
	}
	for _, word := range []string{"panic:", "goroutine ", "runtime error", "%!"} {
		if strings.Contains(ts.ReadFile("stdout")+ts.ReadFile("stderr"), word) {
			ts.Fatalf("the output has %q in it", word)
		}
	}
}

// cmdJSONLines is "jsonl N": stdout is N lines, each one JSON object.
func cmdJSONLines(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: jsonl N")
	}
	lines := jsonLines(ts)
	if strconv.Itoa(len(lines)) != args[0] {
		ts.Fatalf("%d lines of JSON, want %s", len(lines), args[0])
	}
}

func jsonLines(ts *testscript.TestScript) []map[string]any {
	var objects []map[string]any
	for line := range strings.Lines(ts.ReadFile("stdout")) {
		var o map[string]any
		if err := json.Unmarshal([]byte(line), &o); err != nil {
			ts.Fatalf("stdout is not a JSON object a line: %v in %q", err, line)
		}
		objects = append(objects, o)
	}
	return objects
}

// cmdJSON is "json LINE PATH WANT [TOLERANCE]": in that line of stdout, counted
// from 0, the value at the path is WANT, itself JSON. A path is like
// prediction.targets.curve.0.Y; a "name=value" step picks from a list of
// objects; "len" is the length of a list. "! json" wants another value.
func cmdJSON(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) < 3 || len(args) > 4 {
		ts.Fatalf("usage: json LINE PATH WANT [TOLERANCE]")
	}
	lines := jsonLines(ts)
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	if n >= len(lines) {
		ts.Fatalf("there is no line %d in %d", n, len(lines))
	}
	got, err := at(lines[n], args[1])
	ts.Check(err)
	var want any
	if err := json.Unmarshal([]byte(args[2]), &want); err != nil {
		ts.Fatalf("%s is not JSON: %v", args[2], err)
	}
	tolerance := 0.0
	if len(args) == 4 {
		tolerance, err = strconv.ParseFloat(args[3], 64)
		ts.Check(err)
	}
	if same(got, want, tolerance) == neg {
		ts.Fatalf("%s is %s, want %s (± %g, not: %v)", args[1], asJSON(got), args[2], tolerance, neg)
	}
}

// at is the part of a decoded JSON value that the path leads to.
func at(v any, path string) (any, error) {
	for step := range strings.SplitSeq(path, ".") {
		next, found := any(nil), false
		switch v := v.(type) {
		case map[string]any:
			next, found = v[step]
		case []any:
			next, found = inList(v, step)
		}
		if !found {
			return nil, fmt.Errorf("%s: there is no %q in %s", path, step, asJSON(v))
		}
		v = next
	}
	return v, nil
}

func inList(list []any, step string) (any, bool) {
	if step == "len" {
		return float64(len(list)), true
	}
	if key, value, ok := strings.Cut(step, "="); ok {
		for _, item := range list {
			if o, ok := item.(map[string]any); ok && fmt.Sprint(o[key]) == value {
				return item, true
			}
		}
		return nil, false
	}
	i, err := strconv.Atoi(step)
	if err != nil || i < 0 || i >= len(list) {
		return nil, false
	}
	return list[i], true
}

// same compares decoded JSON values, numbers with a tolerance.
func same(got, want any, tolerance float64) bool {
	g, isNumber := got.(float64)
	w, wantsNumber := want.(float64)
	if isNumber && wantsNumber {
		return math.Abs(g-w) <= tolerance
	}
	return asJSON(got) == asJSON(want)
}

func asJSON(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	return string(text)
}

// cmdQuiet is "quiet": neither stdout nor stderr of the last command has in it
// anything that steers a terminal.
func cmdQuiet(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 0 {
		ts.Fatalf("usage: quiet")
	}
	for _, name := range []string{"stdout", "stderr"} {
		text := ts.ReadFile(name)
		if steering := strings.IndexFunc(text, steers); steering >= 0 {
			ts.Fatalf("%s would steer a terminal: %q", name, text)
		}
		if !bytes.Equal([]byte(text), []byte(strings.ToValidUTF8(text, ""))) {
			ts.Fatalf("%s is not UTF-8: %q", name, text)
		}
	}
}

// steers tells whether a terminal takes r as an order: C0 and C1 controls, the
// marks and overrides of direction, separators that break lines.
func steers(r rune) bool {
	return r < ' ' && r != '\n' || 0x7f <= r && r <= 0x9f || r == 0x61c || 0x200b <= r && r <= 0x200f ||
		0x2028 <= r && r <= 0x202e || 0x2060 <= r && r <= 0x206f || r == 0xfeff
}

// cmdStrange is "strange VARIABLE TEXT": the variable gets the text with the
// escapes of a Go string read.
func cmdStrange(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: strange VARIABLE TEXT")
	}
	text, err := strconv.Unquote(`"` + args[1] + `"`)
	ts.Check(err)
	ts.Setenv(args[0], text)
}

// cmdFill is "fill FILE KILOBYTES TEXT": the file is the text, over and over.
func cmdFill(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: fill FILE KILOBYTES TEXT")
	}
	size, err := strconv.Atoi(args[1])
	ts.Check(err)
	text, err := strconv.Unquote(`"` + args[2] + `"`)
	ts.Check(err)
	content := strings.Repeat(text, size<<10/len(text))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(content), fs.FileMode(0o600)))
}

// cmdCut is "cut FILE BYTES": so many bytes are cut off its end.
func cmdCut(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: cut FILE BYTES")
	}
	less, err := strconv.ParseInt(args[1], 10, 64)
	ts.Check(err)
	info, err := os.Stat(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(os.Truncate(ts.MkAbs(args[0]), info.Size()-less))
}

// cmdMany is "many VARIABLE N": the variable gets a list of N tones.
func cmdMany(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: many VARIABLE N")
	}
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	tones := make([]string, n)
	for i := range tones {
		tones[i] = strconv.FormatFloat(float64(i)/float64(n), 'f', 4, 64)
	}
	ts.Setenv(args[0], strings.Join(tones, ","))
}

// cmdAppend is "append FILE TEXT": the text, in which \n ends a line, goes to the end
// of the file.
func cmdAppend(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: append FILE TEXT")
	}
	f, err := os.OpenFile(ts.MkAbs(args[0]), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	ts.Check(err)
	_, err = f.WriteString(strings.ReplaceAll(args[1], `\n`, "\n"))
	ts.Check(errors.Join(err, f.Close()))
}
