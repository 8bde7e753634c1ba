package config

import (
	"time"

	"lampblack/rules"
	"lampblack/rules/colour"
)

// The tables of where exports go.

// paper sets a value of the paper that was begun last.
func paper[V any](put func(*rules.Paper, V)) setter {
	return intoLast(func(p *rules.Profile) []rules.Paper { return p.Papers }, put)
}

var paperTable = table{
	name: "paper", many: true,
	begin: func(p *rules.Profile) { p.Papers = append(p.Papers, assumedPaper()) },
	keys: []key{
		{name: "name", kind: kindText, need: true, example: `"harbour rag"`,
			set: paper(func(p *rules.Paper, name string) { p.Name = name })},
		{name: "white_L", kind: kindNumber, low: 50, high: 100, example: "96.5",
			set: paper(func(p *rules.Paper, l float64) { p.White = rules.Stated(colour.FromLightness(l)) })},
		{name: "dmax", kind: kindNumber, low: 0.5, high: 4, example: "1.65",
			set: paper(func(p *rules.Paper, d float64) { p.DMax = rules.Stated(d) })},
		{name: "icc", kind: kindPath, example: `"harbour-rag.icc"`,
			set: paper(func(p *rules.Paper, path string) { p.ICC = path })},
	},
}

// viewing sets a value of the viewing that was begun last.
func viewing[V any](put func(*rules.Viewing, V)) setter {
	return intoLast(func(p *rules.Profile) []rules.Viewing { return p.Viewings }, put)
}

var viewingTable = table{
	name: "viewing", many: true,
	begin: func(p *rules.Profile) { p.Viewings = append(p.Viewings, assumedViewing()) },
	keys: []key{
		{name: "name", kind: kindText, need: true, example: `"hall wall"`,
			set: viewing(func(v *rules.Viewing, name string) { v.Name = name })},
		{name: "lx", kind: kindNumber, unit: "lx", low: 1, high: rules.MostLux, example: "200.0",
			set: viewing(func(v *rules.Viewing, lx float64) { v.Light = rules.Stated(rules.Lux(lx)) })},
		{name: "k", kind: kindNumber, unit: "K", low: rules.CoolestLamp, high: rules.BluestSky, example: "2900",
			set: viewing(func(v *rules.Viewing, k float64) { v.Lamps = rules.Stated(rules.Kelvin(k)) })},
		{name: "mat", kind: kindChoice, choices: []string{"white", "cream", "grey", "black", "none"}, example: `"white"`,
			set: viewing(func(v *rules.Viewing, mat string) { v.Mat = rules.Stated(rules.Mat(mat)) })},
		{name: "glazing", kind: kindChoice, choices: []string{"none", "glass", "coated"}, example: `"none"`,
			set: viewing(func(v *rules.Viewing, g string) { v.Glazing = rules.Stated(rules.Glazing(g)) })},
	},
}

// folder sets a value of the folder that was begun last.
func folder[V any](put func(*rules.Folder, V)) setter {
	return intoLast(func(p *rules.Profile) []rules.Folder { return p.Folders }, put)
}

var folderTable = table{
	name: "folder", many: true,
	begin: func(p *rules.Profile) { p.Folders = append(p.Folders, assumedFolder()) },
	keys: []key{
		{name: "path", kind: kindPath, need: true, example: `"~/Pictures/to-print"`,
			set: folder(func(f *rules.Folder, path string) { f.Path = path })},
		{name: "purpose", kind: kindChoice, choices: []string{"print", "screen"}, need: true, example: `"print"`,
			set: folder(func(f *rules.Folder, purpose string) { f.Purpose = rules.Purpose(purpose) })},
		{name: "match", kind: kindPatterns, example: `["*.tif", "*.tiff", "*.jpg", "*.jpeg", "*.png"]`,
			set: folder(func(f *rules.Folder, globs []string) { f.Match = globs })},
		{name: "paper", kind: kindText, example: `"harbour rag"`,
			set: folder(func(f *rules.Folder, name string) { f.Paper = name })},
		{name: "viewing", kind: kindText, example: `"hall wall"`,
			set: folder(func(f *rules.Folder, name string) { f.Viewing = name })},
		{name: "proof", kind: kindText, example: `"bench lamp"`,
			set: folder(func(f *rules.Folder, name string) { f.Proof = name })},
		{name: "subfolders", kind: kindFlag, example: "true",
			set: folder(func(f *rules.Folder, yes bool) { f.Subfolders = yes })},
		{name: "poll_seconds", kind: kindNumber, unit: "seconds", low: 1, high: 3600, example: "10",
			set: folder(func(f *rules.Folder, seconds float64) { f.Poll = duration(seconds, time.Second) })},
		{name: "size_cm", kind: kindInterval, unit: "cm", low: 1, high: 1000, example: "[30.0, 40.0]",
			set: folder(func(f *rules.Folder, size rules.Range) { f.Short, f.Long = size.Low, size.High })},
	},
}
