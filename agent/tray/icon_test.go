package tray

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"lampblack/rules"
)

var (
	panelSizes = []int{16, 20, 22, 24, 32, 44, 48}
	panels     = map[string]uint8{"white": 0xff, "light": 0xf0, "dark": 0x20, "black": 0x00}
)

// wedges gives all 64 of them.
func wedges() []rules.Wedge {
	var all []rules.Wedge
	for n := range 64 {
		w := rules.Wedge{Rest: n&32 != 0}
		for i := range w.Hollow {
			w.Hollow[i] = n>>i&1 != 0
		}
		all = append(all, w)
	}
	return all
}

// luminance is that of an sRGB grey, relative to white (IEC 61966-2-1).
func luminance(grey uint8) float64 {
	v := float64(grey) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// luminances holds that of each grey: the tests below ask for a million.
var luminances = func() (all [256]float64) {
	for g := range all {
		all[g] = luminance(uint8(g))
	}
	return all
}()

// contrast is the ratio of WCAG 2.2; it asks for 3 where a shape must be read.
func contrast(a, b uint8) float64 {
	la, lb := luminances[a], luminances[b]
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// onPanel is the grey that a pixel of the icon has on a panel.
func onPanel(c color.NRGBA, panel uint8) uint8 {
	if c.A == 0 {
		return panel
	}
	return c.R
}

func TestEdgeReadsOnEveryPanel(t *testing.T) {
	for name, panel := range panels {
		if c := contrast(edge.R, panel); c < 3 {
			t.Errorf("edge on a %s panel: contrast %.2f, want at least 3", name, c)
		}
	}
}

// TestHollowReadsOnEveryPanel asks that a patch that turns hollow changes enough
// pixels by a contrast that can be seen: many when tones are lost from an end
// of the wedge on, as they are in print, and a cap's width for a patch between
// two that stand.
func TestHollowReadsOnEveryPanel(t *testing.T) {
	for _, size := range panelSizes {
		cap := (size-max(1, size/16))/5 - max(1, size/16)
		for name, panel := range panels {
			for i := range 5 {
				var dark, light, alone rules.Wedge
				for k := range 5 {
					dark.Hollow[k], light.Hollow[k] = k < i, k > i
				}
				for _, c := range []struct {
					w    rules.Wedge
					want int
				}{{dark, size / 3}, {light, size / 3}, {alone, cap}} {
					if n := changedBy(c.w, i, size, panel); n < c.want {
						t.Errorf("%d px, %s panel, %v: patch %d turns hollow by %d pixels, want %d",
							size, name, c.w.Hollow, i, n, c.want)
					}
				}
			}
		}
	}
}

// changedBy counts the pixels that change visibly when patch i turns hollow.
func changedBy(w rules.Wedge, i, size int, panel uint8) int {
	before := drawIcon(w, size)
	w.Hollow[i] = true
	after := drawIcon(w, size)
	n := 0
	for y := range size {
		for x := range size {
			if contrast(onPanel(before.NRGBAAt(x, y), panel), onPanel(after.NRGBAAt(x, y), panel)) >= 3 {
				n++
			}
		}
	}
	return n
}

// TestShapeAloneTells: the covered pixels, without any tone, tell all 64 wedges apart.
func TestShapeAloneTells(t *testing.T) {
	for _, size := range panelSizes {
		seen := map[string]rules.Wedge{}
		for _, w := range wedges() {
			m := drawIcon(w, size)
			var shape []byte
			for i := 3; i < len(m.Pix); i += 4 {
				shape = append(shape, m.Pix[i])
			}
			if twin, ok := seen[string(shape)]; ok {
				t.Errorf("%d px: %+v and %+v have the same shape", size, twin, w)
			}
			seen[string(shape)] = w
		}
	}
}

func TestPatchesRiseFromDarkToLight(t *testing.T) {
	for _, size := range panelSizes {
		m := drawIcon(rules.Wedge{}, size)
		var greys []uint8
		for x := range size {
			c := m.NRGBAAt(x, size/2)
			if c.A == 0 || c == edge || len(greys) > 0 && greys[len(greys)-1] == c.R {
				continue
			}
			greys = append(greys, c.R)
		}
		if len(greys) != 5 {
			t.Errorf("%d px: %d tones across the wedge, want 5: %v", size, len(greys), greys)
		}
		for i := 1; i < len(greys); i++ {
			if greys[i] <= greys[i-1] {
				t.Errorf("%d px: tones do not rise: %v", size, greys)
			}
		}
	}
}

func TestPNGHoldsTheIcon(t *testing.T) {
	w := rules.Wedge{Hollow: [5]bool{true, true}}
	m, err := png.Decode(bytes.NewReader(iconPNG(w, 48)))
	if err != nil {
		t.Fatal(err)
	}
	same(t, m, drawIcon(w, 48))
}

func TestICOHoldsTheIcons(t *testing.T) {
	for _, w := range wedges() {
		data := iconICO(w)
		var dir icoDir
		read(t, data, 0, &dir)
		if dir != (icoDir{Type: 1, Count: uint16(len(icoSizes))}) {
			t.Fatalf("directory %+v", dir)
		}
		end := 6 + 16*len(icoSizes)
		for i, size := range icoSizes {
			var e icoEntry
			read(t, data, 6+16*i, &e)
			if int(e.Width) != size || int(e.Height) != size || e.Bits != 32 || int(e.Offset) != end {
				t.Fatalf("entry of %d px: %+v, want it at %d", size, e, end)
			}
			same(t, bitmapIn(t, data[e.Offset:e.Offset+e.Size], size), drawIcon(w, size))
			end += int(e.Size)
		}
		if len(data) != end {
			t.Errorf("%d bytes, want %d", len(data), end)
		}
	}
}

// bitmapIn reads a bitmap of an ICO file back, and checks its mask.
func bitmapIn(t *testing.T, data []byte, size int) image.Image {
	t.Helper()
	var h bitmapHeader
	read(t, data, 0, &h)
	if h.Size != 40 || int(h.Width) != size || int(h.Height) != 2*size || h.Bits != 32 {
		t.Fatalf("bitmap header %+v", h)
	}
	m := image.NewNRGBA(image.Rect(0, 0, size, size))
	mask := data[40+4*size*size:]
	stride := len(mask) / size
	for y := range size {
		row := size - 1 - y
		for x := range size {
			p := data[40+4*(row*size+x):]
			m.SetNRGBA(x, y, color.NRGBA{p[2], p[1], p[0], p[3]})
			if masked := mask[row*stride+x/8]>>(7-x%8)&1 == 1; masked != (p[3] == 0) {
				t.Fatalf("%d px: mask at %d,%d is %v, alpha %d", size, x, y, masked, p[3])
			}
		}
	}
	return m
}

func read(t *testing.T, data []byte, at int, v any) {
	t.Helper()
	if err := binary.Read(bytes.NewReader(data[at:]), binary.LittleEndian, v); err != nil {
		t.Fatal(err)
	}
}

func same(t *testing.T, got image.Image, want *image.NRGBA) {
	t.Helper()
	if got.Bounds() != want.Bounds() {
		t.Fatalf("bounds %v, want %v", got.Bounds(), want.Bounds())
	}
	for y := range want.Rect.Dy() {
		for x := range want.Rect.Dx() {
			if c := color.NRGBAModel.Convert(got.At(x, y)); c != want.NRGBAAt(x, y) {
				t.Fatalf("pixel %d,%d is %v, want %v", x, y, c, want.NRGBAAt(x, y))
			}
		}
	}
}
