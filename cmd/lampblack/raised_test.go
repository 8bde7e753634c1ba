package main

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"lampblack/agent"
	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/rehearse/scenes"
	"lampblack/rules"
)

// cmdPainted is "painted FILE POWER": a PNG of the rehearsal's portrait with every code
// value, 0 to 1, raised to that power. Below 1 it is a curve that brings the file up and
// keeps black and white.
func cmdPainted(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: painted FILE POWER")
	}
	power, err := strconv.ParseFloat(args[1], 64)
	ts.Check(err)
	img, err := scenes.Paint("portrait by the window", 120, 80, 1, scenes.Web)
	ts.Check(err)
	up := func(v uint16) uint16 { return uint16(math.Round(65535 * math.Pow(float64(v)/65535, power))) }
	out := image.NewNRGBA64(img.Bounds())
	for y := range 80 {
		for x := range 120 {
			c := img.NRGBA64At(x, y)
			out.SetNRGBA64(x, y, color.NRGBA64{R: up(c.R), G: up(c.G), B: up(c.B), A: 65535})
		}
	}
	var b bytes.Buffer
	ts.Check(scenes.EncodePNG(&b, out, scenes.Options{Profile: scenes.Profile(scenes.Web), PPI: 300, Depth: 16}))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b.Bytes(), 0o600))
}

// cmdExported is "exported FILE TIME": the journal gets the entry of that file as it is,
// judged at the demo desk at that time after what the journal has of it.
func cmdExported(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: exported FILE TIME")
	}
	path := ts.MkAbs(args[0])
	at, err := time.Parse(time.RFC3339, args[1])
	ts.Check(err)
	text, err := os.ReadFile(path)
	ts.Check(err)
	pic, err := picture.Measure(bytes.NewReader(text), int64(len(text)))
	ts.Check(err)
	p, _, _, err := agent.LoadProfile(ts.MkAbs("tidemark.toml"), "")
	ts.Check(err)
	j, err := journal.Open(agent.JournalDir(filepath.Join(ts.Getenv("HOME"), ".local", "state", "lampblack")))
	ts.Check(err)
	r := rules.Evaluate(p, rules.Export{File: path, Folder: folderOf(p, path), Picture: pic, Before: j.Before(path)}, at)
	e := journal.Entry{At: at, Path: path, Size: int64(len(text)), ModTime: at, Gist: r.Gist, Report: r}
	ts.Check(errors.Join(j.Append(e), j.Close()))
}
