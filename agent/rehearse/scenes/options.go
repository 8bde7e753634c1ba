package scenes

import (
	"encoding/binary"
	"errors"
	"fmt"
	"image"
)

// Options say how a picture is written. The zero value is an untagged file
// without a resolution, at quality 90 or 8 bits a channel, uncompressed.
type Options struct {
	Profile []byte  // ICC profile to embed; nil: an untagged file
	PPI     float64 // pixels an inch; 0: the file doesn't say

	Quality int // JPEG: 1..100; 0 means 90
	Chunks  int // JPEG: segments to split the profile into; 0: as few as possible

	Depth        int              // PNG and TIFF: bits a channel, 8 or 16; 0 means 8
	Deflate      bool             // TIFF: compressed, with the horizontal predictor
	Quick        bool             // TIFF: compressed quickly rather than well
	RowsPerStrip int              // TIFF: 0 means 64
	Order        binary.ByteOrder // TIFF: nil means little-endian

}

func (o Options) depth() (int, error) {
	switch o.Depth {
	case 0, 8:
		return 8, nil
	case 16:
		return 16, nil
	}
	return 0, fmt.Errorf("depth is %d bits a channel, want 8 or 16", o.Depth)
}

func (o Options) check(b image.Rectangle) error {
	switch {
	case b.Empty():
		return errors.New("the picture has no pixels")
	case o.PPI < 0 || o.PPI > 65535:
		return fmt.Errorf("resolution is %g ppi, want 0 to 65535", o.PPI)
	}
	return nil
}
