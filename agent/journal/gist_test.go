package journal

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"lampblack/rules"
)

func gistOf(n int) *rules.Gist {
	g := &rules.Gist{Width: 6000, Height: 4000 + n, Dark: n%2 == 0, About: rules.ScreenLuminance}
	for i := range g.Lightness {
		g.Lightness[i] = float64(1000*i+n%100) / 100
	}
	return g
}

// TestBefore: the gist of the latest export to a path that could be read is remembered, in
// full, also by who opens the journal anew; what a line of an older version lacks is not
// invented.
func TestBefore(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	for n, e := range []Entry{entry(1), entry(1), entry(1), entry(2), entry(3)} {
		if n < 2 || n == 3 {
			e.Gist, e.Report = gistOf(n), report()
		} // the third could not be read
		must(t, j.Append(e))
	}
	for range 2 {
		for path, want := range map[string]*rules.Gist{entry(1).Path: gistOf(1), entry(2).Path: gistOf(3), entry(3).Path: nil, "/other.tif": nil} {
			if got := j.Before(path); !reflect.DeepEqual(got, want) {
				t.Errorf("%s: %+v, want %+v", path, got, want)
			}
		}
		must(t, j.Close())
		j = open(t, dir)
	}
}

// TestGistIsShort: it is part of every line.
func TestGistIsShort(t *testing.T) {
	e := entry(1)
	bare := len(line(t, e))
	e.Gist = gistOf(7)
	if got := len(line(t, e)) - bare; got > 180 {
		t.Errorf("a gist takes %d bytes", got)
	}
}

// TestDamagedGists: what a hand has changed breaks nothing.
func TestDamagedGists(t *testing.T) {
	for _, gist := range []string{`{"width":-5,"height":1e9,"lightness":[1e300,-7]}`, `{}`, `null`} {
		dir := t.TempDir()
		whole := strings.TrimSuffix(line(t, entry(1)), "}\n") + `,"gist":` + gist + "}\n"
		if !json.Valid([]byte(whole)) {
			t.Fatal(whole)
		}
		write(t, dir, 2026, whole)
		if got := fmt.Sprint(open(t, dir).Before(entry(1).Path)); strings.Contains(got, "NaN") {
			t.Errorf("%s is read as %s", gist, got)
		}
	}
}
