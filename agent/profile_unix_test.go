//go:build unix

package agent

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"lampblack/agent/watch"
	"lampblack/rules"
)

// TestLinkedProfile: a profile that is a link is watched where it is kept.
func TestLinkedProfile(t *testing.T) {
	dir, err := filepath.EvalSymlinks(t.TempDir())
	mustNot(t, err)
	link, kept := filepath.Join(dir, "config", "profile.toml"), filepath.Join(dir, "dotfiles", "desk[1].toml")
	for _, path := range []string{link, kept} {
		mustNot(t, os.Mkdir(filepath.Dir(path), 0o700))
	}
	plain := []watch.Folder{{Path: filepath.Dir(link), Match: []string{"profile.toml", logName}}}
	if got := profilePlaces(link); !reflect.DeepEqual(got, plain) {
		t.Errorf("without a file %+v is watched, want %+v", got, plain)
	}
	mustNot(t, os.WriteFile(kept, nil, 0o600))
	mustNot(t, os.Symlink(kept, link))
	want := append(plain, watch.Folder{Path: filepath.Dir(kept), Match: []string{`desk\[1].toml`}})
	if got := profilePlaces(link); !reflect.DeepEqual(got, want) {
		t.Errorf("of a link %+v is watched, want %+v", got, want)
	}
	if !rules.NamesExport(want[1].Match, "desk[1].toml") || rules.NamesExport(want[1].Match, "desk1.toml") {
		t.Error("the escaped name doesn't match itself only")
	}
}
