package scenes

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"runtime"
	"slices"
	"sync"
)

// A scene is an invented view of Skarvik, painted in linear light with the
// primaries of sRGB. Its light is what a spot meter would find, relative to a
// white card in the scene's main light; ev is the exposure that the
// photographer chose, in stops: at 0 that card is the white of the picture.
type scene struct {
	name  string
	paint func(c *canvas, u, v float64) rgb
	ev    float64
	grain float64 // standard deviation of the noise at mid grey, of mid grey
}

var scenes = []scene{
	{"quay at dusk", quayAtDusk, -0.3, 0.05},
	{"portrait by the window", portrait, 0, 0.02},
	{"boatshed", boatshed, 0.6, 0.04},
	{"harbour noon", harbourNoon, 0, 0.02},
	{"fog", fog, 0, 0.025},
}

// Names lists the scenes that can be painted.
func Names() []string {
	var names []string
	for _, s := range scenes {
		names = append(names, s.name)
	}
	return names
}

// Paint paints a scene of w by h pixels in 16 bits of the given encoding. The
// seed decides its textures and its grain, and nothing else does: the same
// arguments give the same picture.
func Paint(name string, w, h int, seed uint64, k Kind) (*image.NRGBA64, error) {
	i := slices.IndexFunc(scenes, func(s scene) bool { return s.name == name })
	switch {
	case i < 0:
		return nil, fmt.Errorf("there is no scene %q, want one of %q", name, Names())
	case w < 1 || h < 1:
		return nil, fmt.Errorf("a scene of %d by %d pixels can't be painted, both must be at least 1", w, h)
	case k < Web || k > Master:
		return nil, fmt.Errorf("there is no encoding %v, want %v, %v or %v", k, Web, Wide, Master)
	}
	img := image.NewNRGBA64(image.Rect(0, 0, w, h))
	inParallel(h, func(y int) { scenes[i].row(img, y, seed, k) })
	return img, nil
}

// inParallel calls do for 0 to n-1, on as many goroutines as there are cores.
func inParallel(n int, do func(int)) {
	workers := runtime.GOMAXPROCS(0)
	var wg sync.WaitGroup
	for first := range workers {
		wg.Go(func() {
			for i := first; i < n; i += workers {
				do(i)
			}
		})
	}
	wg.Wait()
}

func (s scene) row(img *image.NRGBA64, y int, seed uint64, k Kind) {
	b := img.Bounds()
	c := &canvas{seed: seed, px: 1 / float64(b.Dy())}
	v := (float64(y) + 0.5) / float64(b.Dy())
	gain := math.Exp2(s.ev)
	for x := range b.Dx() {
		u := aspect * (float64(x) + 0.5) / float64(b.Dx())
		light := s.paint(c, u, v).scale(gain)
		light = expose(addGrain(light, x, y, seed, s.grain))
		code := k.code(webToPCS.apply(light))
		img.SetNRGBA64(x, y, color.NRGBA64{to16(code[0]), to16(code[1]), to16(code[2]), 65535})
	}
}

var webToPCS = encodings[Web].toPCS

func to16(v float64) uint16 { return uint16(v*65535 + 0.5) }

// expose bends what is brighter than the knee towards white, as film and raw
// converters do; below the knee a picture stays proportional to its scene.
func expose(light rgb) rgb {
	const knee = 0.7
	for i, v := range light {
		if v > knee {
			over := (v - knee) / (1 - knee)
			light[i] = knee + (1-knee)*over/(1+over)*1.12
		}
		light[i] = min(max(light[i], 0), 1)
	}
	return light
}

// addGrain adds photon noise, which grows with the root of the light, and a
// floor of read noise; most of it is common to the channels.
func addGrain(light rgb, x, y int, seed uint64, amount float64) rgb {
	const grey, floor = 0.18, 0.0004
	common := bell(x, y, seed^0xA5A5)
	for i, v := range light {
		sigma := amount * math.Sqrt(grey*max(v, 0))
		own := bell(x, y, seed+uint64(i)+1)
		light[i] = v + (sigma+floor)*(0.8*common+0.6*own)
	}
	return light
}
