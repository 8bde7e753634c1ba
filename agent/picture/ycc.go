package picture

import "image"

// ycc is a conversion from luma and chroma to RGB, with 16 binary places:
//
//	R = luma·(Y' − black) + redCr·(Cr − 128), and so on
type ycc struct {
	luma, black                     int32
	redCr, greenCb, greenCr, blueCb int32
}

// fullRange is JPEG's (ITU-T T.871, 7), studioRange is WebP's: ITU-R BT.601,
// with black at 16 and white at 235 (RFC 6386, 9.2).
var (
	fullRange   = ycc{luma: 1 << 16, redCr: 91881, greenCb: 22554, greenCr: 46802, blueCb: 116130}
	studioRange = ycc{luma: 76309, black: 16, redCr: 104597, greenCb: 25675, greenCr: 53279, blueCb: 132201}
)

// rgb converts one pixel and rounds, as the formats' references do: Go's own
// conversion floors, which makes deep shadows deeper than they are.
func (c ycc) rgb(y, cb, cr int32) (r, g, b uint8) {
	base := c.luma*(y-c.black) + 1<<15
	u, v := cb-128, cr-128
	return clamp8(base + c.redCr*v), clamp8(base - c.greenCb*u - c.greenCr*v), clamp8(base + c.blueCb*u)
}

// clamp8 is the whole part of a number with 16 binary places, held to 0..255.
func clamp8(v int32) uint8 {
	if uint32(v) < 256<<16 {
		return uint8(v >> 16)
	}
	return uint8(^(v >> 31)) // 0 below, 255 above
}

// tallyYCbCr counts a picture of luma and chroma. Chroma is not smoothed between
// its samples.
func tallyYCbCr(t *tally, img *image.YCbCr, c ycc) error {
	shift, ok := map[image.YCbCrSubsampleRatio]int{
		image.YCbCrSubsampleRatio444: 0, image.YCbCrSubsampleRatio440: 0,
		image.YCbCrSubsampleRatio422: 1, image.YCbCrSubsampleRatio420: 1,
		image.YCbCrSubsampleRatio411: 2, image.YCbCrSubsampleRatio410: 2,
	}[img.SubsampleRatio]
	if !ok {
		return unsupported("this kind of colour sampling is not read: export it again with another")
	}
	w, step := img.Rect.Dx(), stepOf(img.Rect)
	inHalves(t, img.Rect.Dy(), func(t *tally, from, to int) {
		row := make([]uint8, 0, 3*w)
		for y := from; y < to; y++ {
			luma, chroma := img.Y[y*img.YStride:][:w], img.COffset(0, y)
			cb, cr := img.Cb[chroma:], img.Cr[chroma:]
			row = row[:0]
			for x := firstOf(y, step); x < w; x += step {
				r, g, b := c.rgb(int32(luma[x]), int32(cb[x>>shift]), int32(cr[x>>shift]))
				row = append(row, r, g, b)
			}
			addRGB(t, y, row, 3)
		}
	})
	return nil
}
