package journal

import (
	"fmt"
	"testing"
	"time"

	"lampblack/config"
	"lampblack/rules"
)

// realEntry is an entry as the agent makes it, its report by the real rules.
func realEntry(t testing.TB) Entry {
	t.Helper()
	const profile = `
[[display]]
name = "north bench"
white_cd_m2 = 151.3
measured = 2026-02-14
[[reading]]
at = 2026-03-02T08:10:00Z
lx = 83.7
place = "screen"
[[folder]]
path = "/home/anna/Pictures/to-print"
purpose = "print"
`
	p, _, err := config.Parse("/home/anna/profile.toml", []byte(profile), "/home/anna")
	must(t, err)
	e := entry(1)
	e.Path = "/home/anna/Pictures/to-print/skarvik-quay-0001.tif"
	export := rules.Export{File: e.Path, Folder: p.Folders[0], Picture: somePicture()}
	e.Report = rules.Evaluate(p, export, e.At)
	e.Silence = "the same was said a short while ago"
	return e
}

// somePicture has a tone in every hundredth of its range.
func somePicture() rules.Picture {
	pic := rules.Picture{Width: 8256, Height: 5504, Depth: 16, PPI: 300, Profile: "Tidemark wide", MeanY: 0.2345678901234}
	for i := range 100 {
		pic.Tones = append(pic.Tones, rules.Tone{Y: (float64(i) + 0.5) / 100, Share: 0.01})
	}
	return pic
}

// at is a real entry as the n-th of those that come perDay a day from a day on.
// It shares its report with e.
func at(e Entry, n, perDay int, from time.Time) Entry {
	e.At = from.AddDate(0, 0, n/perDay).Add(time.Duration(n%perDay) * time.Minute)
	e.ModTime = e.At.Add(-time.Second)
	e.Path = fmt.Sprintf("/home/anna/Pictures/to-print/skarvik-quay-%06d.tif", n)
	e.Size = 100_000_000 + int64(n)
	return e
}
