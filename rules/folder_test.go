package rules

import (
	"path/filepath"
	"testing"
)

// There is one answer to whose export a file is, whoever asks.
func TestOwnerOf(t *testing.T) {
	at := func(parts ...string) string { return filepath.Join(append([]string{root()}, parts...)...) }
	folders := []Folder{
		{Path: at("srv"), Match: []string{"*.TIF"}, Subfolders: true},
		{Path: at("srv", "web"), Match: []string{"*.jpg"}},
		{Path: at("srv", "web"), Match: []string{"*.jpg", "*.png"}},
		{Path: root(), Match: []string{"*.bmp"}, Subfolders: true},
	}
	for _, c := range []struct {
		file          string
		owner, holder int
	}{
		{at("srv", "fog.tif"), 0, 0},
		{at("srv", "days", "Fog.Tif"), 0, 0},
		{at("srv", "web", "fog.JPG"), 1, 1},
		{at("srv", "web", "fog.png"), 2, 1},
		{at("srv", "web", "fog.tif"), 0, 1}, // the outer one takes what the inner doesn't
		{at("srv", "web", "deeper", "fog.jpg"), -1, 0},
		{at("srv", "fog.psd"), -1, 0},
		{at("srv", ".fog.tif"), -1, 0},
		{at("srv", "fog.tif.part"), -1, 0},
		{at("srv", ".cache", "fog.tif"), -1, -1},
		{at("srvant", "fog.tif"), -1, 3},
		{at("fog.bmp"), 3, 3},
		{at("other", "fog.bmp"), 3, 3},
	} {
		if got := OwnerOf(folders, c.file); got != c.owner {
			t.Errorf("%s is an export of folder %d, want %d", c.file, got, c.owner)
		}
		if got := HolderOf(folders, c.file); got != c.holder {
			t.Errorf("%s lies in folder %d, want %d", c.file, got, c.holder)
		}
	}
}

// root is the root of paths, on this system.
func root() string {
	volume := filepath.VolumeName(`C:\`)
	return volume + string(filepath.Separator)
}

func TestNotAnExport(t *testing.T) {
	tiffs := Folder{Path: "/srv/to-print", Match: []string{"*.tif", "*.jpg"}}
	for file, want := range map[string]string{
		"/srv/to-print/fog.tif":  "",
		"/srv/to-print/fog.psd":  "It is not taken for an export of its folder: the name matches none of *.tif, *.jpg.",
		"/srv/to-print/.fog.tif": "It is not taken for an export of its folder: by its name it is hidden or not finished.",
	} {
		if got := tiffs.notAnExport(file).Text; got != want {
			t.Errorf("%s: %q, want %q", file, got, want)
		}
	}
	if got := (Folder{}).notAnExport("fog.psd"); got.Text != "" {
		t.Errorf("a file in no folder: %q", got)
	}
}

func TestNamesExport(t *testing.T) {
	tiffs := []string{"*.tif", "*.TIFF", "proof-??.jpg"}
	tests := []struct {
		name     string
		patterns []string
		want     bool
	}{
		{"portrait.tif", tiffs, true},
		{"PORTRAIT.TIF", tiffs, true},
		{"Hafen Ä.Tiff", tiffs, true},
		{"proof-01.JPG", tiffs, true},
		{"proof-1.jpg", tiffs, false},
		{"notes.txt", tiffs, false},
		{".portrait.tif", tiffs, false},
		{"~portrait.tif", tiffs, false},
		{"portrait.tif~", nil, false},
		{"portrait.tif.TMP", nil, false},
		{"portrait.part", nil, false},
		{"portrait.partial", nil, false},
		{"portrait.temp", nil, false},
		{"portrait.download", nil, false},
		{"anything", nil, true},
		{"", nil, false},
		{"a.tif", []string{"[", "*.tif"}, true},
		{"a.tif", []string{"["}, false},
	}
	for _, tt := range tests {
		if got := NamesExport(tt.patterns, tt.name); got != tt.want {
			t.Errorf("%q with %q: wanted = %v, want %v", tt.name, tt.patterns, got, tt.want)
		}
	}
}
