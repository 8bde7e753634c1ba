package picture

import (
	"bufio"
	"errors"
	"image"
	"image/color"
	"image/png"
	"io"
)

// openPNG reads a PNG's facts; the standard library reads its pixels.
func openPNG(src *source) (container, error) {
	f, err := readChunks(src)
	if err != nil {
		return container{}, err
	}
	return container{f, func(t *tally) error { return decodePNG(src, f.channels, t) }}, nil
}

func decodePNG(src *source, channels int, t *tally) error {
	img, err := png.Decode(bufio.NewReaderSize(io.NewSectionReader(src, 0, src.size), 64<<10))
	var exotic png.UnsupportedError
	if errors.As(err, &exotic) {
		return unsupported("this kind of PNG (%s) is not read: export as a usual one", string(exotic))
	}
	if err != nil {
		return err
	}
	switch img := img.(type) {
	case *image.Gray:
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 1, channels)
	case *image.RGBA:
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 4, channels)
	case *image.NRGBA:
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 4, channels)
	case *image.Gray16:
		tallyWideRows(t, img.Pix, img.Stride, img.Rect, 1, channels)
	case *image.RGBA64:
		tallyWideRows(t, img.Pix, img.Stride, img.Rect, 4, channels)
	case *image.NRGBA64:
		tallyWideRows(t, img.Pix, img.Stride, img.Rect, 4, channels)
	case *image.Paletted:
		tallyPaletted(t, img)
	default:
		return unsupported("this kind of PNG is not read: export as a usual one")
	}
	return nil
}

// tallyWideRows counts a picture of 16-bit samples, step to a pixel, high byte
// first.
func tallyWideRows(t *tally, pix []uint8, stride int, rect image.Rectangle, step, channels int) {
	row := make([]uint16, rect.Dx()*step)
	for y := range rect.Dy() {
		line := pix[y*stride:][:2*len(row)]
		for i := range row {
			row[i] = uint16(line[2*i])<<8 | uint16(line[2*i+1])
		}
		if channels == 1 {
			addGrey(t, y, row, step)
		} else {
			addRGB(t, y, row, step)
		}
	}
}

func tallyPaletted(t *tally, img *image.Paletted) {
	var palette [256][3]uint8
	for i, c := range img.Palette {
		switch c := c.(type) {
		case color.RGBA:
			palette[i] = [3]uint8{c.R, c.G, c.B}
		case color.NRGBA: // with transparency, which is not multiplied in
			palette[i] = [3]uint8{c.R, c.G, c.B}
		}
	}
	w := img.Rect.Dx()
	row := make([]uint8, 0, 3*w)
	for y := range img.Rect.Dy() {
		row = row[:0]
		for _, i := range img.Pix[y*img.Stride:][:w] {
			row = append(row, palette[i][:]...)
		}
		addRGB(t, y, row, 3)
	}
}
