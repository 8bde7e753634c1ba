// Package exports makes the pictures that Lampblack's tests and its rehearsal
// read: photograph-like scenes of an invented harbour town, and the writers that
// store them as JPEG, PNG and TIFF with profiles of our own. Everything is drawn
// by this package from a seed; nothing here comes from a camera or from anyone
// else.
package exports

import (
	"bytes"
	"embed"
	"encoding/binary"
	"fmt"
	"image"
	"io"
)

//go:generate go run ./gen

// Files holds the five exports of the demo studio, by name. Each is what [Make]
// returns for that name.
//
//go:embed *.jpg *.png *.tif
var Files embed.FS

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

// Names lists the files of [Files].
func Names() []string {
	var names []string
	for _, e := range catalogue() {
		names = append(names, e.file)
	}
	return names
}

// Make draws and encodes one of the files anew.
func Make(name string) ([]byte, error) {
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
	return nil, fmt.Errorf("there is no export %q, want one of %q", name, Names())
}

func (e export) draw() (*image.NRGBA64, error) {
	const seed = 1
	return Scene(e.scene, e.width, e.height, seed, e.kind)
}

func (e export) write(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	err := e.encode(&b, img, e.options)
	return b.Bytes(), err
}
