package picture

import (
	"fmt"
	"hash"
	"hash/crc32"
	"io"
)

// Which bytes of a file its content hash covers: all of them up to hashedWhole,
// beyond that the first hashedPiece of every hashedStride, and the end. What such
// a sample can miss in an uncompressed file of that size, a change in fewer than
// sixteen neighbouring rows, moves no verdict; in a packed file every change
// shifts all that follows.
const (
	hashedWhole  = 64 << 20
	hashedStride = 64 << 10
	hashedPiece  = 4 << 10
)

// hashLength is how many digits a content hash has.
const hashLength = 8

// contentHash tells one content of a file from another of the same path and size.
// CRC-32C is enough for that (two contents share one with a probability of 2⁻³²),
// nobody gains by forging it, and processors have an instruction for it: it takes
// ten milliseconds at most, most of it for copying the file out of the cache.
func contentHash(f io.ReaderAt, size int64) (string, error) {
	sum := crc32.New(crc32.MakeTable(crc32.Castagnoli))
	part := make([]byte, hashedStride)
	if size > hashedWhole {
		part = part[:hashedPiece]
	}
	for at := int64(0); at < size; at += hashedStride {
		if err := hashPart(sum, f, part, at); err != nil {
			return "", err
		}
	}
	if size > hashedWhole {
		if err := hashPart(sum, f, part, size-hashedPiece); err != nil {
			return "", err
		}
	}
	return fmt.Sprintf("%0*x", hashLength, sum.Sum32()), nil
}

// hashPart adds what is at an offset, up to the end of the file.
func hashPart(sum hash.Hash, f io.ReaderAt, part []byte, at int64) error {
	n, err := f.ReadAt(part, at)
	if err != nil && err != io.EOF {
		return err
	}
	_, err = sum.Write(part[:n])
	return err
}
