//go:build ignore

// Command maketiff writes the TIFF of the benchmark: so many megapixels, 16 bits,
// in a wide-gamut encoding, with grain in every pixel.
package main

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"strconv"

	"lampblack/testdata/exports"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(args []string) (err error) {
	if len(args) != 3 {
		return errors.New("usage: tiffmake file.tif megapixels none|deflate")
	}
	megapixels, err := strconv.ParseFloat(args[1], 64)
	if err != nil {
		return err
	}
	f, err := os.Create(args[0])
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	w := bufio.NewWriterSize(f, 1<<20)
	if err := exports.BigTIFF16(w, megapixels, 3, args[2] == "deflate"); err != nil {
		return err
	}
	return w.Flush()
}
