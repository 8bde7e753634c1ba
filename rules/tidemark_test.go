package rules

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"lampblack/rules/colour"
)

// What the tests share: the invented Tidemark desk with everything in its
// target, pictures made of curves instead of pixels, and random desks.

// noon is when every export of these tests is written.
var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

// tidemark is a desk with everything at its reference, measured a day ago and
// read just now, and one change after another made to it.
func tidemark(changes ...func(*Profile)) *Profile {
	p := &Profile{
		Desk: "Tidemark, Skarvik",
		Displays: []Display{{
			Name:       "north bench",
			Edits:      true,
			White:      Stated[Luminance](95),
			WhitePoint: Stated(daylight(6000)),
			Contrast:   Stated(900.0),
			Measured:   Stated(noon.AddDate(0, 0, -1)),
			Screen:     Stated(ScreenFinish{"measured", 0.0045}),
			Hood:       Stated(true),
			Held:       Stated(true),
		}},
		Target: Target{
			White: Range{90, 120}, WhitePoint: Range{5600, 6500}, Surround: Range{0.15, 0.30},
			Room: 64, RecalibrateDays: 30,
			ReferenceWhite: 95, ReferencePoint: 6000, ReferenceRoom: 48, ReferenceSurround: 0.20,
		},
		Surround: Surround{RelativeY: Stated(0.20), Backdrop: Stated(NeutralBackdrop), Share: Stated(0.6)},
		Room:     Room{ReadingLife: 4 * time.Hour, Lamps: Stated[Kelvin](4000), MeterUncertainty: 0.15},
		Readings: []Reading{{At: noon, Light: 48, Place: AtScreen}},
		Papers: []Paper{
			{Name: "harbour rag", White: Stated(colour.FromLightness(96.5)), DMax: Stated(1.65)},
			{Name: "slip gloss", White: Stated(colour.FromLightness(95)), DMax: Stated(2.4)},
		},
		Viewings: []Viewing{
			{"hall wall", Stated[Lux](200), Stated[Kelvin](2900), Stated(WhiteMat), Stated(NoGlazing)},
			{"gallery bay", Stated[Lux](500), Stated[Kelvin](5000), Stated(GreyMat), Stated(GlassGlazing)},
		},
		Quiet: Quiet{Noticeable: 0.15, Clear: 0.33, Colourful: 0.93, Contrast: 0.90, StepsLost: 0.25, Probability: 0.6, Gap: 20 * time.Minute},
	}
	for _, change := range changes {
		change(p)
	}
	return p
}

// Changes to the Tidemark desk.
func white(v Luminance) func(*Profile) {
	return func(p *Profile) { p.Displays[0].White = Stated(v) }
}

func whitePointOf(t Kelvin) func(*Profile) {
	return func(p *Profile) { p.Displays[0].WhitePoint = Stated(daylight(t)) }
}

func notHeld(p *Profile) { p.Displays[0].Held = Stated(false) }

func measured(days int) func(*Profile) {
	return func(p *Profile) { p.Displays[0].Measured = Stated(noon.AddDate(0, 0, -days)) }
}

func room(readings ...Reading) func(*Profile) {
	return func(p *Profile) { p.Readings = readings }
}

func lux(v Lux) func(*Profile) { return room(Reading{At: noon, Light: v, Place: AtScreen}) }

func readAgo(v Lux, age time.Duration) func(*Profile) {
	return room(Reading{At: noon.Add(-age), Light: v, Place: AtScreen})
}

func around(v float64) func(*Profile) {
	return func(p *Profile) { p.Surround.RelativeY = Stated(v) }
}

// graded is a picture without colours whose pixels' L* are spread like a bell
// around mean, in n tones.
func graded(mean, deviation float64, n int) Picture {
	pic := Picture{Width: 6000, Height: 4000, Depth: 16, Profile: "sRGB"}
	var total float64
	for i := range n {
		l := 100 * (float64(i) + 0.5) / float64(n)
		z := (l - mean) / deviation
		t := Tone{colour.FromLightness(l), math.Exp(-z * z / 2)}
		pic.Tones = append(pic.Tones, t)
		total += t.Share
	}
	for i := range pic.Tones {
		pic.Tones[i].Share /= total
		pic.MeanY += pic.Tones[i].Share * pic.Tones[i].Y
	}
	return pic
}

// coloured adds n colours to a picture, chroma 20 all around the hue circle.
func coloured(pic Picture, n int) Picture {
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		l := 20 + 60*float64(i)/float64(n)
		pic.Colours = append(pic.Colours, Colour{colour.Lab{L: l, A: 20 * cos, B: 20 * sin}, 1 / float64(n)})
	}
	return pic
}

// quay is an ordinary picture: tones from black to white, most of them below
// the middle, and muted colours.
func quay() Picture { return coloured(graded(42, 22, 60), 12) }

// exportOf is a print export of a picture.
func exportOf(pic Picture) Export {
	return Export{
		File:    "/prints/quay.tif",
		Folder:  Folder{Path: "/prints", Purpose: ForPrint, Paper: "harbour rag", Viewing: "hall wall"},
		Picture: pic,
	}
}

// evaluated is the report on the quay at the Tidemark desk with these changes.
func evaluated(changes ...func(*Profile)) *Report {
	return Evaluate(tidemark(changes...), exportOf(quay()), noon)
}

// between is a random number from low to high, even in its logarithm.
func between(r *rand.Rand, low, high float64) float64 {
	return low * math.Pow(high/low, r.Float64())
}

// randomDesk is a profile that a careless person might have.
func randomDesk(r *rand.Rand) *Profile {
	finish := Stated(ScreenFinish{"matt", between(r, 0.001, 0.01)})
	p := tidemark(
		white(Luminance(between(r, 40, 400))),
		whitePointOf(Kelvin(between(r, 4500, 9000))),
		measured(r.IntN(200)),
		readAgo(Lux(between(r, 0.5, 2000)), time.Duration(r.Int64N(int64(20*time.Hour)))),
		around(between(r, 0.003, 1)),
	)
	d := &p.Displays[0]
	d.Contrast, d.Screen = Stated(between(r, 100, 3000)), finish
	d.Held, d.Hood = Stated(r.IntN(2) == 0), Stated(r.IntN(2) == 0)
	p.Surround.Share = Stated(between(r, 0.2, 0.9))
	p.Room.Lamps = Stated(Kelvin(between(r, 2200, 7000)))
	return p
}

// randomPicture is a picture that is anything from a night scene to fog.
func randomPicture(r *rand.Rand) Picture {
	return coloured(graded(10+80*r.Float64(), 5+30*r.Float64(), 40), 6)
}

// seeded is randomness that is the same in every run.
func seeded(n uint64) *rand.Rand { return rand.New(rand.NewPCG(n, 1874)) }

// near fails the test when got is further than tolerance from want.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.4f, want %.4f ± %g", what, got, want, tolerance)
	}
}

// wholeShift is the whole picture's shift between a desk and its reference.
func wholeShift(now, reference desk, pic *Picture) float64 {
	a, r := now.at(pic.MeanY), reference.at(pic.MeanY)
	return summarise(&a, &r, pic.Tones).wholeShift()
}
