//go:build unix && !darwin && !ios

package agent

import (
	"path/filepath"
	"testing"
)

func TestDefaultDirs(t *testing.T) {
	home := t.TempDir()
	absolute := filepath.Join(home, "elsewhere")
	for _, c := range []struct {
		home, config, state string
		want                Dirs
		fails               bool
	}{
		{home: home, want: Dirs{filepath.Join(home, ".config/lampblack"), filepath.Join(home, ".local/state/lampblack")}},
		{home: home, config: absolute, state: absolute, want: Dirs{filepath.Join(absolute, "lampblack"), filepath.Join(absolute, "lampblack")}},
		{home: home, state: "relative", want: Dirs{filepath.Join(home, ".config/lampblack"), filepath.Join(home, ".local/state/lampblack")}},
		{config: absolute, state: absolute, want: Dirs{filepath.Join(absolute, "lampblack"), filepath.Join(absolute, "lampblack")}},
		{config: absolute, fails: true},
		{fails: true},
	} {
		t.Setenv("HOME", c.home)
		t.Setenv("XDG_CONFIG_HOME", c.config)
		t.Setenv("XDG_STATE_HOME", c.state)
		if got, err := DefaultDirs(); got != c.want || (err != nil) != c.fails {
			t.Errorf("%+v gives %+v, %v", c, got, err)
		}
	}
}
