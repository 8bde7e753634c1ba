//go:build ignore

// Command archive packs the files of a folder into one archive, a .tar.gz or a
// .zip by the name's end, so that the same files give the same bytes: in order of
// their names, owned by nobody, all of one time.
//
//	archive OUT FOLDER UNIXTIME
package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// adder puts a file into an archive.
type adder func(name string, mode os.FileMode, content []byte) error

func run(args []string) error {
	if len(args) != 3 {
		return errors.New("usage: archive OUT FOLDER UNIXTIME")
	}
	seconds, err := strconv.ParseInt(args[2], 10, 64)
	if err != nil {
		return err
	}
	out, err := os.Create(args[0])
	if err != nil {
		return err
	}
	pack := packTar
	if strings.HasSuffix(args[0], ".zip") {
		pack = packZip
	}
	err = pack(out, time.Unix(seconds, 0).UTC(), func(add adder) error { return addAll(args[1], add) })
	return errors.Join(err, out.Close())
}

func addAll(folder string, add adder) error {
	files, err := os.ReadDir(folder) // sorted by name
	if err != nil {
		return err
	}
	for _, f := range files {
		info, err := f.Info()
		if err != nil {
			return err
		}
		content, err := os.ReadFile(filepath.Join(folder, f.Name()))
		if err != nil {
			return err
		}
		mode := os.FileMode(0o644)
		if info.Mode()&0o100 != 0 {
			mode = 0o755
		}
		if err := add(path.Join(filepath.Base(folder), f.Name()), mode, content); err != nil {
			return err
		}
	}
	return nil
}

func packTar(w io.Writer, at time.Time, all func(adder) error) error {
	packed, err := gzip.NewWriterLevel(w, gzip.BestCompression)
	if err != nil {
		return err
	}
	t := tar.NewWriter(packed)
	err = all(func(name string, mode os.FileMode, content []byte) error {
		h := &tar.Header{Name: name, Mode: int64(mode), Size: int64(len(content)), ModTime: at, Format: tar.FormatUSTAR}
		if err := t.WriteHeader(h); err != nil {
			return err
		}
		_, err := t.Write(content)
		return err
	})
	return errors.Join(err, t.Close(), packed.Close())
}

func packZip(w io.Writer, at time.Time, all func(adder) error) error {
	z := zip.NewWriter(w)
	err := all(func(name string, mode os.FileMode, content []byte) error {
		h := &zip.FileHeader{Name: name, Method: zip.Deflate, Modified: at}
		h.SetMode(mode)
		f, err := z.CreateHeader(h)
		if err != nil {
			return err
		}
		_, err = f.Write(content)
		return err
	})
	return errors.Join(err, z.Close())
}
