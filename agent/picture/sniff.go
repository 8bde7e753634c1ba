package picture

import "bytes"

// sniffLength is how much of a file's head its format is told from, bytes.
const sniffLength = 512

// magics are the beginnings of files; "?" stands for any byte. The first that
// fits wins, so the special come before the general.
var magics = []struct{ head, format string }{
	{"\xff\xd8\xff", "JPEG"},
	{"\x89PNG\r\n\x1a\n", "PNG"},
	{"RIFF????WEBP", "WebP"},
	{"II*\x00????CR", "camera raw (CR2)"},
	{"II*\x00", "TIFF"},
	{"MM\x00*", "TIFF"},
	{"II+\x00", "BigTIFF"},
	{"MM\x00+", "BigTIFF"},
	{"IIRO", "camera raw (ORF)"},
	{"IIRS", "camera raw (ORF)"},
	{"MMOR", "camera raw (ORF)"},
	{"IIU\x00", "camera raw (RW2)"},
	{"FUJIFILMCCD-RAW", "camera raw (RAF)"},
	{"FOVb", "camera raw (X3F)"},
	{"\x00MRM", "camera raw (MRW)"},
	{"????ftypavif", "AVIF"},
	{"????ftypavis", "AVIF"},
	{"????ftypcrx ", "camera raw (CR3)"},
	{"????ftyphei", "HEIC"},
	{"????ftyphev", "HEIC"},
	{"????ftypmif1", "HEIC"},
	{"????ftypmsf1", "HEIC"},
	{"????ftyp", "video"},
	{"8BPS\x00\x02", "PSB"},
	{"8BPS", "PSD"},
	{"%PDF-", "PDF"},
	{"%!PS-Adobe-??? EPSF", "EPS"},
	{"\xc5\xd0\xd3\xc6", "EPS"},
	{"%!PS", "PostScript"},
	{"GIF8", "GIF"},
	{"BM", "BMP"},
	{"\xff\x0a", "JPEG XL"},
	{"\x00\x00\x00\x0cJXL \r\n\x87\n", "JPEG XL"},
	{"\x00\x00\x00\x0cjP  \r\n\x87\n", "JPEG 2000"},
	{"\xff\x4f\xff\x51", "JPEG 2000"},
	{"II\xbc", "JPEG XR"},
	{"v/1\x01", "OpenEXR"},
	{"#?RADIANCE", "Radiance HDR"},
	{"#?RGBE", "Radiance HDR"},
	{"P1\n", "PNM"}, {"P2\n", "PNM"}, {"P3\n", "PNM"}, {"P4\n", "PNM"}, {"P5\n", "PNM"}, {"P6\n", "PNM"},
	{"PF\n", "PFM"}, {"Pf\n", "PFM"},
	{"gimp xcf", "XCF"},
	{"PK\x03\x04", "ZIP"},
	{"\x1aE\xdf\xa3", "video"},
}

// sniff names the format of a file that begins with head, or "" for none known.
func sniff(head []byte) string {
	for _, m := range magics {
		if begins(head, m.head) {
			return m.format
		}
	}
	text := bytes.TrimLeft(head, "\xef\xbb\xbf \t\r\n")
	if begins(text, "<svg") || (begins(text, "<?xml") || begins(text, "<!")) && bytes.Contains(text, []byte("<svg")) {
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
