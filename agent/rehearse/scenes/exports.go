// Package scenes draws the pictures of the rehearsal, which the tests read, too:
// photograph-like views of an invented harbour town, and the writers that store
// them as JPEG, PNG and TIFF with profiles of our own. Everything is drawn by this
// package from a seed; nothing here comes from a camera or from anyone else.
package scenes

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"io"
)

// An export says what one of the files is made of.
type export struct {
	file, scene   string
	width, height int
	kind          Kind
	encode        func(io.Writer, image.Image, Options) error
	options       Options
}

// catalogue lists the files. The 16-bit ones are smaller, as their noise hardly
// compresses; harbour-noon has no profile although its pixels are of the web
// encoding, as happens.
func catalogue() []export {
	return []export{
		{"quay-at-dusk.tif", "quay at dusk", 480, 320, Wide, EncodeTIFF,
			Options{Profile: Profile(Wide), PPI: 300, Depth: 16, Deflate: true}},
		{"portrait.jpg", "portrait by the window", 900, 600, Web, EncodeJPEG,
			Options{Profile: Profile(Web), PPI: 300, Quality: 92, Chunks: 3}},
		{"boatshed.png", "boatshed", 450, 300, Master, EncodePNG,
			Options{Profile: Profile(Master), PPI: 300, Depth: 16}},
		{"harbour-noon.jpg", "harbour noon", 900, 600, Web, EncodeJPEG,
			Options{PPI: 300, Quality: 90}},
		{"fog.tif", "fog", 600, 400, Web, EncodeTIFF,
			Options{Profile: Profile(Web), PPI: 300, Order: binary.BigEndian, RowsPerStrip: 32}},
	}
}

// Exports lists the exports of the demo studio by the names of their files.
func Exports() []string {
	var names []string
	for _, e := range catalogue() {
		names = append(names, e.file)
	}
	return names
}

// Export draws one of the exports and gives its file, the same bytes each time. A
// name that is none of [Exports] is an error.
func Export(name string) ([]byte, error) {
	for _, e := range catalogue() {
		if e.file != name {
			continue
		}
		img, err := e.draw()
		if err != nil {
			return nil, err
		}
		return e.write(img)
	}
	return nil, fmt.Errorf("there is no export %q, want one of %q", name, Exports())
}

func (e export) draw() (*image.NRGBA64, error) {
	const seed = 1
	return Paint(e.scene, e.width, e.height, seed, e.kind)
}

func (e export) write(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	err := e.encode(&b, img, e.options)
	return b.Bytes(), err
}
