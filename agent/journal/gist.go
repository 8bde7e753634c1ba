package journal

import (
	"math"
	"unique"

	"lampblack/rules"
)

// gist is a [rules.Gist] in the 40 bytes that are remembered of it.
type gist struct {
	width, height uint32
	lightness     [9]uint16 // hundredths, as the gist has them
	dark          bool
	about         unique.Handle[string] // one of a few
}

// hundredths bounds a lightness that a damaged line may have.
func hundredths(l float64) uint16 { return uint16(math.Round(100 * math.Min(100, math.Max(0, l)))) }

func packed(g *rules.Gist) gist {
	p := gist{width: uint32(g.Width), height: uint32(g.Height), dark: g.Dark, about: unique.Make(g.About)}
	for i, l := range g.Lightness {
		p.lightness[i] = hundredths(l)
	}
	return p
}

func (p gist) unpacked() *rules.Gist {
	g := &rules.Gist{Width: int(p.width), Height: int(p.height), Dark: p.dark, About: p.about.Value()}
	for i, l := range p.lightness {
		g.Lightness[i] = float64(l) / 100
	}
	return g
}
