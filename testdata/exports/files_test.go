package exports

import (
	"bytes"
	"testing"

	"lampblack/agent/rehearse/scenes"
)

// The scenes are continuous in their arithmetic, so that a machine which rounds
// the last bit of a float otherwise still quantises to the same codes.
func TestFiles(t *testing.T) {
	total := 0
	for _, name := range Names() {
		made, err := scenes.Export(name)
		if err != nil {
			t.Fatal(err)
		}
		file, err := Files.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(made, file) {
			t.Errorf("%s is not what agent/rehearse/scenes draws: run go generate ./testdata/exports", name)
		}
		total += len(file)
	}
	if total > 2_500_000 {
		t.Errorf("the files take %d bytes together, want at most 2.5 MB", total)
	}
}
