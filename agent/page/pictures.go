package page

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"image"
	"image/jpeg"
	"sync"

	"lampblack/rules"
)

// Pictures are the last export as it looked where it was judged, and as its print
// will look: JPEG files in sRGB.
type Pictures struct {
	Width, Height int
	Screen, Print []byte
}

// Raster is a picture to be shown: row by row, each pixel R, G, B in ROMM RGB with
// 16 bits, the high byte first.
type Raster struct {
	Width, Height int
	Pix           []byte
}

// Draw draws a picture, pixel by pixel, as it looked and as its print will look.
func Draw(r Raster, s rules.Sight) (*Pictures, error) {
	p := &Pictures{Width: r.Width, Height: r.Height}
	var hands sync.WaitGroup
	var errs [2]error
	hands.Go(func() { p.Screen, errs[0] = packed(drawn(r, s.Screen)) })
	hands.Go(func() { p.Print, errs[1] = packed(drawn(r, s.Print)) })
	hands.Wait()
	if err := errors.Join(errs[:]...); err != nil {
		return nil, fmt.Errorf("the picture can't be packed: %w", err)
	}
	return p, nil
}

// drawn is the picture in sRGB.
func drawn(r Raster, l rules.Likeness) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, r.Width, r.Height))
	t := newLattice(l)
	for i := range r.Width * r.Height {
		in, out := r.Pix[6*i:][:6], img.Pix[4*i:][:4]
		channel := func(c int) uint16 { return uint16(in[2*c])<<8 | uint16(in[2*c+1]) }
		for c, code := range t.at(channel(0), channel(1), channel(2)) {
			out[c] = uint8(255*code + 0.5)
		}
		out[3] = 255
	}
	return img
}

// most is the size of one packed picture, bytes: two of them, written as text,
// stay well below 2 MB.
const most = 700_000

// packed is a JPEG file, at the best of some qualities that is not too large. A
// picture of pure noise is as large as it is at the last.
func packed(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	for _, quality := range []int{92, 85, 75, 60} {
		b.Reset()
		if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
			return nil, err
		}
		if b.Len() <= most {
			break
		}
	}
	return b.Bytes(), nil
}

// URL is a file as an address that holds it whole.
func (*Pictures) URL(file []byte) template.URL {
	return template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(file))
}
