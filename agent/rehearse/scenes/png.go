package scenes

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
)

const metresPerInch = 0.0254

// EncodePNG writes an opaque RGB PNG of 8 or 16 bits with its resolution (pHYs)
// and profile (iCCP).
func EncodePNG(w io.Writer, img image.Image, o Options) error {
	if err := o.check(img.Bounds()); err != nil {
		return err
	}
	depth, err := o.depth()
	if err != nil {
		return err
	}
	if depth == 8 {
		img = opaque{rounded{img}}
	} else {
		img = opaque{deep{img}}
	}
	extra, err := pngChunks(o)
	if err != nil {
		return err
	}
	// The signature and the IHDR chunk, 8 + 25 bytes, come before all else.
	var buf bytes.Buffer
	if err := png.Encode(&buf, img); err != nil {
		return err
	}
	file := buf.Bytes()
	for _, part := range [][]byte{file[:33], extra, file[33:]} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

func pngChunks(o Options) ([]byte, error) {
	var chunks []byte
	if o.Profile != nil {
		packed := bytes.NewBufferString("profile\x00\x00") // name, compression method
		z := zlib.NewWriter(packed)
		if _, err := z.Write(o.Profile); err != nil {
			return nil, err
		}
		if err := z.Close(); err != nil {
			return nil, err
		}
		chunks = appendChunk(chunks, "iCCP", packed.Bytes())
	}
	if o.PPI > 0 {
		perMetre := uint32(math.Round(o.PPI / metresPerInch))
		b := binary.BigEndian.AppendUint32(nil, perMetre)
		b = binary.BigEndian.AppendUint32(b, perMetre)
		chunks = appendChunk(chunks, "pHYs", append(b, 1))
	}
	return chunks, nil
}

func appendChunk(b []byte, name string, data []byte) []byte {
	b = binary.BigEndian.AppendUint32(b, uint32(len(data)))
	body := len(b)
	b = append(append(b, name...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[body:]))
}

// opaque tells the encoder that there is no transparency to write.
type opaque struct{ image.Image }

func (opaque) Opaque() bool { return true }

// deep shows a picture in 16 bits.
type deep struct{ image.Image }

func (d deep) ColorModel() color.Model { return color.NRGBA64Model }

func (d deep) At(x, y int) color.Color { return color.NRGBA64Model.Convert(d.Image.At(x, y)) }
