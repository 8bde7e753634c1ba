package picture

import (
	"errors"
	"image"
	"image/jpeg"
	"io"
)

// openJPEG reads a JPEG's facts; the standard library reads its pixels.
func openJPEG(src *source) (container, error) {
	s, err := readSegments(src)
	if err != nil {
		return container{}, err
	}
	return container{s.facts, func(t *tally) error { return decodeJPEG(src, s.channels, t) }}, nil
}

func decodeJPEG(src *source, channels int, t *tally) error {
	src.ended = false
	// The decoder reads 4 KB at a time; a buffer between would blur where it stopped.
	img, err := jpeg.Decode(io.NewSectionReader(src, 0, src.size))
	if err != nil {
		return jpegError(src, err)
	}
	switch img := img.(type) {
	case *image.YCbCr:
		return tallyYCbCr(t, img, channels)
	case *image.Gray:
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 1, channels)
	case *image.RGBA: // an Adobe marker, or the components' names, say "RGB"
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 4, channels)
	}
	return unsupported("this kind of JPEG is not read: export it as RGB")
}

// jpegError sorts the decoder's errors. It reports a file that ends within a
// scan as bad Huffman data, so damage at the very end counts as an early end.
func jpegError(src *source, err error) error {
	var exotic jpeg.UnsupportedError
	var damaged jpeg.FormatError
	switch {
	case errors.As(err, &exotic):
		return unsupported("this kind of JPEG (%s) is not read: export as a usual one", string(exotic))
	case errors.As(err, &damaged) && src.ended:
		return io.ErrUnexpectedEOF
	}
	return err
}

// tallyYCbCr counts a picture of luma and chroma. Its own conversion rounds, as
// the format's reference does (ITU-T T.871, 7): Go's floors, which makes deep
// shadows deeper than they are. Chroma is not smoothed between its samples.
func tallyYCbCr(t *tally, img *image.YCbCr, channels int) error {
	across, ok := map[image.YCbCrSubsampleRatio]int{
		image.YCbCrSubsampleRatio444: 1, image.YCbCrSubsampleRatio440: 1,
		image.YCbCrSubsampleRatio422: 2, image.YCbCrSubsampleRatio420: 2,
		image.YCbCrSubsampleRatio411: 4, image.YCbCrSubsampleRatio410: 4,
	}[img.SubsampleRatio]
	if !ok || channels != 3 {
		return unsupported("this kind of JPEG is not read: export it as RGB")
	}
	w := img.Rect.Dx()
	row := make([]uint8, 3*w)
	for y := range img.Rect.Dy() {
		luma := img.Y[y*img.YStride:][:w]
		c := img.COffset(0, y)
		chroma := (w + across - 1) / across
		convertRow(row, luma, img.Cb[c:][:chroma], img.Cr[c:][:chroma], across)
		addRGB(t, y, row, 3)
	}
	return nil
}

// convertRow makes RGB of a row of luma; each chroma sample serves across pixels.
func convertRow(rgb, luma, cb, cr []uint8, across int) {
	const half = 1 << 15
	cr = cr[:len(cb)]
	for i, b := range cb {
		u, v := int32(b)-128, int32(cr[i])-128
		red := 91881*v + half              // 1.402
		green := -22554*u - 46802*v + half // 0.344136, 0.714136
		blue := 116130*u + half            // 1.772
		n := min(across, len(luma))
		for j, l := range luma[:n] {
			base := int32(l) << 16
			px := rgb[3*j : 3*j+3 : 3*j+3]
			px[0] = clamp8(base + red)
			px[1] = clamp8(base + green)
			px[2] = clamp8(base + blue)
		}
		luma, rgb = luma[n:], rgb[3*n:]
	}
}

// clamp8 is the whole part of a number with 16 binary places, held to 0..255.
func clamp8(v int32) uint8 {
	if uint32(v) < 256<<16 {
		return uint8(v >> 16)
	}
	return uint8(^(v >> 31)) // 0 below, 255 above
}

// tallyRows counts a picture of 8-bit samples, step to a pixel.
func tallyRows(t *tally, pix []uint8, stride int, rect image.Rectangle, step, channels int) error {
	for y := range rect.Dy() {
		row := pix[y*stride:][:rect.Dx()*step]
		switch {
		case channels == 1:
			addGrey(t, y, row, step)
		case step >= 3:
			addRGB(t, y, row, step)
		default:
			return broken("the header promises colour, the picture data has none: export it again")
		}
	}
	return nil
}
