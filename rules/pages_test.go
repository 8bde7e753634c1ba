package rules

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// pages are whole reports in words, on the quay, as a person reads them. What they say is
// in testdata/pages, a file each.
var pages = []struct {
	name   string
	report func() *Report
}{
	{"a bright room, and a screen turned up for it", func() *Report { return evaluated(white(140), lux(180), notHeld) }},
	{"a bright screen, measured long ago", func() *Report { return evaluated(white(200), measured(45)) }},
	{"a bright room", func() *Report { return evaluated(lux(150)) }},
	{"everything right", func() *Report { return evaluated() }},
	{"a white surround", func() *Report { return evaluated(around(0.95)) }},
	{"a blue screen that nobody measured", func() *Report { return evaluated(unmeasured, room(), whitePointOf(9000)) }},
	{"a bright screen, and prints that always come out lighter", func() *Report { return evaluated(white(135), taught(-0.35, 12)) }},
	{"a proof in hardly any light", func() *Report { return seenAt(PrintCritical, white(120), lux(2)) }},
	{"nothing but black, and a note", func() *Report {
		pic := extremePictures["all black"]
		pic.Notes = []Sentence{{NoteNoProfile, "The file carries no colour profile; it was taken as sRGB."}}
		return Evaluate(tidemark(), exportOf(pic), noon)
	}},
}

// TestLines: the pages say what they said when they were last read. With -update they
// are written anew.
func TestLines(t *testing.T) {
	for _, p := range pages {
		name := strings.NewReplacer(" ", "-", ",", "").Replace(p.name) + ".txt"
		golden(t, filepath.Join("testdata", "pages", name), strings.Join(Lines(p.report()), "\n")+"\n")
	}
}

// golden holds a text against the file with what it has to be.
func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s: it is\n%s\nwant\n%s", file, got, want)
	}
}
