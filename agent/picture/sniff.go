package picture

import "bytes"

// sniffLength is how much of a file's head its format is told from, bytes.
const sniffLength = 512

// magics are the beginnings of files; "?" stands for any byte. The first that
// fits wins, so the special come before the general.
var magics = []struct{ head, format string }{
	{"\xff\xd8\xff", "JPEG"},
	{"\x89PNG\r\n\x1a\n", "PNG"},
	{"II*\x00????CR", "camera raw (CR2)"},
	{"II*\x00", "TIFF"},
	{"MM\x00*", "TIFF"},
	{"II+\x00", "BigTIFF"},
	{"MM\x00+", "BigTIFF"},
	{"IIRO", "camera raw (ORF)"},
	{"IIU\x00", "camera raw (RW2)"},
	{"FUJIFILMCCD-RAW", "camera raw (RAF)"},
	{"RIFF????WEBP", "WebP"},
	{"????ftypavif", "AVIF"},
	{"????ftypcrx ", "camera raw (CR3)"},
	{"????ftyphei", "HEIF"},
	{"????ftyphev", "HEIF"},
	{"????ftypmif1", "HEIF"},
	{"????ftypmsf1", "HEIF"},
	{"????ftyp", "video"},
	{"8BPS", "Photoshop (PSD)"},
	{"%PDF-", "PDF"},
	{"%!PS", "PostScript"},
	{"GIF8", "GIF"},
	{"BM", "BMP"},
	{"\xff\x0a", "JPEG XL"},
	{"\x00\x00\x00\x0cJXL \r\n\x87\n", "JPEG XL"},
	{"\x00\x00\x00\x0cjP  \r\n\x87\n", "JPEG 2000"},
	{"\xff\x4f\xff\x51", "JPEG 2000"},
	{"v/1\x01", "OpenEXR"},
	{"gimp xcf", "XCF"},
	{"PK\x03\x04", "ZIP"},
}

// sniff names the format of a file that begins with head, or "" for none known.
func sniff(head []byte) string {
	for _, m := range magics {
		if begins(head, m.head) {
			return m.format
		}
	}
	if text := bytes.TrimLeft(head, "\xef\xbb\xbf \t\r\n"); begins(text, "<svg") ||
		begins(text, "<?xml") && bytes.Contains(text, []byte("<svg")) {
		return "SVG"
	}
	return ""
}

func begins(head []byte, pattern string) bool {
	if len(head) < len(pattern) {
		return false
	}
	for i := range len(pattern) {
		if pattern[i] != '?' && pattern[i] != head[i] {
			return false
		}
	}
	return true
}
