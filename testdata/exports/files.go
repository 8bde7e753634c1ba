// Package exports holds the files that the tests read as a studio's exports, as
// they were drawn by agent/rehearse/scenes, and makes the large ones of the
// benchmarks.
package exports

import (
	"embed"

	"lampblack/agent/rehearse/scenes"
)

//go:generate go run ./gen

// Files holds the five exports of the demo studio, by name. Each is what
// [scenes.Export] gives for that name.
//
//go:embed *.jpg *.png *.tif
var Files embed.FS

// Names lists the files of [Files].
func Names() []string { return scenes.Exports() }
