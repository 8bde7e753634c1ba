package agent

import (
	"path/filepath"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// TestFirstFolderTakes: of two folders of the profile that claim a file, the
// first has it, whichever tells of it first.
func TestFirstFolderTakes(t *testing.T) {
	l := testLoop(t, `
[[folder]]
path = "out"
purpose = "screen"
match = ["*-web.*"]

[[folder]]
path = "out"
purpose = "print"
`)
	out := l.exports.watched[0].Path
	for name, want := range map[string]rules.Purpose{"quay.tif": rules.ForPrint, "quay-WEB.tif": rules.ForScreen} {
		f := watch.File{Folder: 1, Path: filepath.Join(out, name)}
		if got := l.exports.watched[l.exports.owner(f)].Purpose; got != want {
			t.Errorf("%s is for the %s, want %s", name, got, want)
		}
	}
}

// TestLightFolderWithin: photographs of a sheet are no exports, wherever they are
// dropped.
func TestLightFolderWithin(t *testing.T) {
	l := testLoop(t, "[room]\nlight_folder = \"out/light\"\n\n[[folder]]\npath = \"out\"\npurpose = \"print\"\n")
	for name, want := range map[string]bool{"light/sheet.jpg": false, "light/2026/quay.jpg": true, "quay.jpg": true} {
		f := watch.File{Path: filepath.Join(l.exports.watched[0].Path, name), Size: 1, ModTime: morning}
		l.enqueue(f)
		if taken := l.exports.stages[journal.Identify(f.Path, f.Size, f.ModTime)] != 0; taken != want {
			t.Errorf("%s is taken: %v, want %v", name, taken, want)
		}
	}
}

// TestInnermostFolderTakes: a folder of the profile within another has its own
// files, and those below it unless it says otherwise.
func TestInnermostFolderTakes(t *testing.T) {
	l := testLoop(t, `
[[folder]]
path = "out"
purpose = "print"

[[folder]]
path = "out/web"
purpose = "screen"
match = ["*.jpg"]

[[folder]]
path = "out/flat"
purpose = "screen"
subfolders = false
`)
	for name, want := range map[string]int{
		"quay.tif": 0, "web/quay.jpg": 1, "web/2026/quay.jpg": 1, "web/quay.tif": 0,
		"flat/quay.tif": 2, "flat/deep/quay.tif": 0, "website/quay.jpg": 0,
	} {
		f := watch.File{Folder: 0, Path: filepath.Join(l.exports.watched[0].Path, name), Size: 1, ModTime: morning}
		if got := l.exports.owner(f); got != want {
			t.Errorf("%s belongs to folder %d, want %d", name, got, want)
		}
		l.enqueue(f)
		if queued := l.exports.stages[journal.Identify(f.Path, 1, morning)] != 0; queued != (want == 0) {
			t.Errorf("%s told of by folder 0 is taken: %v", name, queued)
		}
	}
}

// TestKnownOfTheTimeBefore: what lay in a folder before it was watched is passed
// over; what was moved into it since is not, though it may be older.
func TestKnownOfTheTimeBefore(t *testing.T) {
	l := testLoop(t, "[[folder]]\npath = \"/out\"\npurpose = \"print\"\n")
	known := l.exports.known(l.exports.watched, morning)
	old := morning.Add(-24 * time.Hour)
	for name, c := range map[string]struct {
		f    watch.File
		want bool
	}{
		"lay there":            {watch.File{ModTime: old, Changed: old, CatchUp: true}, true},
		"nobody can tell":      {watch.File{ModTime: old, CatchUp: true}, true},
		"moved in":             {watch.File{ModTime: old, Changed: morning, CatchUp: true}, false},
		"moved in, of old":     {watch.File{ModTime: old.Add(-30 * 24 * time.Hour), Changed: morning, CatchUp: true}, true},
		"made since":           {watch.File{ModTime: morning, Changed: morning, CatchUp: true}, false},
		"seen coming, and old": {watch.File{ModTime: old, Changed: old, Written: true}, false},
	} {
		c.f.Path, c.f.Size = filepath.Join("/out", name), 1
		if got := known(c.f); got != c.want {
			t.Errorf("%s: known %v", name, got)
		}
	}
}

// TestKnown: what the watch is told to leave alone.
func TestKnown(t *testing.T) {
	l := testLoop(t, "")
	folders := []rules.Folder{{Path: "/prints"}, {Path: "/web"}}
	l.exports.state.first["/prints"] = morning.Add(-90 * 24 * time.Hour)
	known := l.exports.known(folders, morning)
	ago := func(d time.Duration) time.Time { return morning.Add(-d) }
	for what, c := range map[string]struct {
		file watch.File
		want bool
	}{
		"new":                       {watch.File{ModTime: ago(time.Second)}, false},
		"made while off":            {watch.File{ModTime: ago(time.Hour), CatchUp: true}, false},
		"moved in, and old":         {watch.File{ModTime: ago(10000 * time.Hour)}, false},
		"just young enough":         {watch.File{ModTime: ago(30 * 24 * time.Hour), CatchUp: true}, false},
		"too old to be caught up":   {watch.File{ModTime: ago(30*24*time.Hour + 1), CatchUp: true}, true},
		"there before the watching": {watch.File{Folder: 1, ModTime: ago(2*time.Second + 1), CatchUp: true}, true},
		"stamped a tick late":       {watch.File{Folder: 1, ModTime: ago(10 * time.Millisecond), CatchUp: true}, false},
		"made just after":           {watch.File{Folder: 1, ModTime: ago(-1), CatchUp: true}, false},
	} {
		if got := known(c.file); got != c.want {
			t.Errorf("a file that is %s: known %v, want %v", what, got, c.want)
		}
	}
	keepAll(l, entryOf("kept"))
	if !known(watch.File{Path: "kept", Size: 1, ModTime: morning}) || known(watch.File{Path: "kept", Size: 2, ModTime: morning}) {
		t.Error("the journal is not asked")
	}
}

func TestFolderTroubles(t *testing.T) {
	v := &voice{}
	late := morning.Add(time.Hour)
	tell := func(folder int, code string, over bool) {
		for _, x := range ofFolder(watch.Trouble{Folder: folder, Code: code, Text: code, Over: over}) {
			v.hear(x, morning)
		}
	}
	tell(0, watch.Missing, false)
	tell(1, watch.Missing, false)
	tell(1, watch.Growing, false)
	tell(0, watch.Overflow, false) // the watch makes up for it
	if got := v.troubles.shown(late); len(got) != 3 {
		t.Errorf("shown %q, want 3", got)
	}
	tell(0, watch.Missing, true)
	tell(1, watch.Growing, true)
	tell(0, watch.Overflow, true)
	if got := v.troubles.shown(late); len(got) != 1 {
		t.Errorf("shown %q, want the second folder's", got)
	}
}
