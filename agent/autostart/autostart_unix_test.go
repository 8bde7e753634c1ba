//go:build unix && !darwin

package autostart

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestOnAndOff(t *testing.T) {
	config := filepath.Join(t.TempDir(), "config")
	t.Setenv("XDG_CONFIG_HOME", config)
	entry := filepath.Join(config, "autostart", "lampblack.desktop")
	want := func(on bool, runs string) {
		t.Helper()
		s, err := Read()
		if err != nil || s.On != on || s.Runs != runs || s.Where != entry {
			t.Errorf("%+v, %v; want on %v, runs %q by %s", s, err, on, runs, entry)
		}
	}
	want(false, "")
	if err := Off(); err != nil {
		t.Errorf("nothing to switch off: %v", err)
	}
	if err := On("/opt/lampblack", "--profile=/home/anna/a desk.toml"); err != nil {
		t.Fatal(err)
	}
	want(true, `"/opt/lampblack" "--profile=/home/anna/a desk.toml"`)
	if err := On("/opt/newer/lampblack"); err != nil {
		t.Fatal(err)
	}
	want(true, `"/opt/newer/lampblack"`)
	text, err := os.ReadFile(entry)
	if err != nil || strings.Count(string(text), "Exec=") != 1 {
		t.Errorf("the entry is %q, %v", text, err)
	}
	if err := os.WriteFile(entry, append(text, "Hidden=true\n"...), 0o600); err != nil {
		t.Fatal(err)
	}
	want(false, `"/opt/newer/lampblack"`)
	if err := Off(); err != nil {
		t.Fatal(err)
	}
	want(false, "")
	if err := On(filepath.Join(os.TempDir(), "lampblack")); err == nil {
		t.Error("a program in a temporary folder is started at login")
	}
	want(false, "")
}
