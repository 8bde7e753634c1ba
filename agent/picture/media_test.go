package picture

import (
	"bytes"
	"encoding/binary"
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// furtherFiles are good files of the kinds that only Measure reads: their rows
// are not handed out.
func furtherFiles(t testing.TB) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	for path, file := range goldenFiles(t, "blue-purple-pink.lossy.webp", "blue-purple-pink.lossless.webp",
		"yellow_rose.lossy-with-alpha.webp", "video-001.cmyk.jpeg") {
		files[filepath.Base(path)] = file
	}
	if len(files) != 4 {
		t.Fatalf("only %d of the files are there", len(files))
	}
	return files
}

// riff is a WebP file with the chunks given: kind, body.
func riff(chunks ...string) []byte {
	var body []byte
	for i := 0; i < len(chunks); i += 2 {
		kind, content := chunks[i], chunks[i+1]
		body = append(body, kind...)
		body = binary.LittleEndian.AppendUint32(body, uint32(len(content)))
		body = append(body, content...)
		if len(content)%2 == 1 {
			body = append(body, 0)
		}
	}
	head := binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(4+len(body)))
	return slices.Concat(head, []byte("WEBP"), body)
}

// webpChunk is the body of a chunk of a WebP file that has just one.
func webpChunk(file []byte) (kind, body string) {
	const frame = 20
	length := binary.LittleEndian.Uint32(file[16:])
	return string(file[12:16]), string(file[frame : frame+length])
}

// extended makes an extended WebP: flags, canvas, and further chunks around the
// picture of file.
func extended(file []byte, flags byte, w, h int, further ...string) []byte {
	size := func(v int) string { return string([]byte{byte(v - 1), byte((v - 1) >> 8), byte((v - 1) >> 16)}) }
	kind, body := webpChunk(file)
	chunks := append([]string{"VP8X", string([]byte{flags, 0, 0, 0}) + size(w) + size(h)}, further...)
	return riff(append(chunks, kind, body)...)
}

func TestFurtherFilesCut(t *testing.T) {
	for name, file := range furtherFiles(t) {
		measured(t, file)
		for n := 8; n < len(file)-1; n += 1 + n/10 {
			_, err := Measure(bytes.NewReader(file[:n]), int64(n))
			if !errors.Is(err, ErrUnfinished) && n > 11 {
				t.Errorf("%s cut to %d of %d bytes: %v", name, n, len(file), err)
			}
		}
	}
}

func TestFurtherFilesDamaged(t *testing.T) {
	for name, file := range furtherFiles(t) {
		for i := 0; i < len(file); i += max(len(file)/60, 1) {
			damaged := bytes.Clone(file)
			damaged[i] ^= 0x55
			checkError(t, name, damaged)
		}
	}
}

func TestFurtherFilesOnALostDisk(t *testing.T) {
	for name, file := range furtherFiles(t) {
		for _, after := range []int64{0, 100, int64(len(file)) * 3 / 4} {
			_, err := Measure(dying{bytes.NewReader(file), after}, int64(len(file)))
			if !errors.Is(err, ErrVanished) {
				t.Errorf("%s after %d bytes: %v", name, after, err)
			}
		}
	}
}

// hostileMedia is small files that lie, each with a part of what is said of it.
func hostileMedia() map[string]struct {
	file []byte
	want string
} {
	lossy := "\x30\x01\x00\x9d\x01\x2a\xff\x3f\xff\x3f" // 16383 x 16383
	lossless := "\x2f\xff\xff\xff\x0f" + strings.Repeat("\x00", 8)
	jpeg := func(frame string) []byte {
		return slices.Concat([]byte("\xff\xd8"), segment(0xc0, frame), segment(markerSOS, "\x01\x01\x00\x00\x3f\x00"))
	}
	png := func(header string, chunks ...[]byte) []byte {
		return slices.Concat([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", header), slices.Concat(chunks...), chunk("IEND", ""))
	}
	type lie = struct {
		file []byte
		want string
	}
	rows := func(n int) []byte { return chunk("IDAT", string(deflated(make([]byte, n)))) }
	small := "\x00\x00\x00\x08\x00\x00\x00\x08\x08\x02\x00\x00\x00" // 8 x 8 RGB: 200 bytes
	wrongSum := chunk("IDAT", string(deflated(make([]byte, 200))))
	wrongSum[len(wrongSum)-1]++
	return map[string]lie{
		"webp lossy bomb":       {riff("VP8 ", lossy), "16383 x 16383"},
		"webp lossless bomb":    {riff("VP8L", lossless), "16384 x 16384"},
		"webp canvas":           {riff("VP8X", "\x00\x00\x00\x00\x01\x00\x00\x01\x00\x00", "VP8L", "\x2f\x07\xc0\x01\x00\x00\x00\x00"), "disagree"},
		"webp chunk too long":   {append(riff("VP8 ", "")[:16], "\xff\xff\xff\x7f"...), "longer than the file"},
		"webp nothing":          {riff("EXIF", "abcd"), "no picture data"},
		"webp no start code":    {riff("VP8 ", "0123456789"), "header is damaged"},
		"webp short header":     {riff("VP8L", "/"), "header is damaged"},
		"webp moving":           {riff("VP8X", "\x02\x00\x00\x00\x07\x00\x00\x07\x00\x00"), "moving"},
		"webp zero side":        {riff("VP8 ", "\x30\x01\x00\x9d\x01\x2a\x00\x00\x10\x00"), "0 x 16"},
		"jpeg zero side":        {jpeg("\x08\x00\x10\x00\x00\x01\x01\x11\x00"), "0 x 16"},
		"jpeg lying channels":   {jpeg("\x08\x00\x10\x00\x10\x03\x01\x11\x00"), "header is damaged"},
		"jpeg two channels":     {jpeg("\x08\x00\x10\x00\x10\x02\x01\x11\x00\x02\x11\x00"), "2 channels"},
		"png zero side":         {png("\x00\x00\x00\x00\x00\x00\x00\x01\x08\x02\x00\x00\x00", rows(4)), "0 x 1"},
		"png 2^32 sides":        {png("\xff\xff\xff\xff\xff\xff\xff\xff\x10\x06\x00\x00\x00", rows(4)), "more than the 200"},
		"png no data":           {png(small), "no picture data"},
		"png too little":        {png(small, rows(199)), "ends too early"},
		"png too much":          {png(small, rows(201)), "more picture data"},
		"png wrong sum":         {png(small, wrongSum), "checksum"},
		"png unknown filter":    {png(small, chunk("IDAT", string(deflated(bytes.Repeat([]byte{9}, 200))))), "unknown way (9)"},
		"png depth":             {png("\x00\x00\x00\x08\x00\x00\x00\x08\x07\x02\x00\x00\x00", rows(200)), "7 bits"},
		"png no palette":        {png("\x00\x00\x00\x08\x00\x00\x00\x08\x08\x03\x00\x00\x00", rows(72)), "palette is missing"},
		"png palette too long":  {png(small, chunk("PLTE", strings.Repeat("abc", 257)), rows(200)), "palette is damaged"},
		"png packing":           {png("\x00\x00\x00\x08\x00\x00\x00\x08\x08\x02\x01\x00\x00", rows(200)), "this kind of PNG"},
		"png interlaced, large": {png("\x00\x00\x27\x10\x00\x00\x27\x10\x10\x06\x00\x00\x01", rows(200)), "can't hold them"},
	}
}

func TestHostileMedia(t *testing.T) {
	for name, lie := range hostileMedia() {
		_, err := Measure(bytes.NewReader(lie.file), int64(len(lie.file)))
		if err == nil || !strings.Contains(err.Error(), lie.want) {
			t.Errorf("%s: %v, want %q", name, err, lie.want)
		}
		checkError(t, name, lie.file)
	}
}

func FuzzWebP(f *testing.F) {
	for name, file := range furtherFiles(f) {
		if strings.HasSuffix(name, "webp") {
			f.Add(file)
			f.Add(file[:len(file)/2])
		}
	}
	for _, lie := range hostileMedia() {
		f.Add(lie.file)
	}
	fuzzFile(f, "RIFF")
}

func FuzzCMYK(f *testing.F) {
	f.Add(furtherFiles(f)["video-001.cmyk.jpeg"])
	fuzzFile(f, "\xff\xd8\xff")
}
