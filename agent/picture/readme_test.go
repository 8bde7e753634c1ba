package picture

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// TestReadmeMemory holds the table of this room's README against what the gate in
// front of each decoder counts on, both ways.
func TestReadmeMemory(t *testing.T) {
	const width, height = 4000, 3200 // whole blocks of any kind
	size := facts{width: width, height: height}
	jpeg := func(progressive, adobe bool, factors ...byte) float64 {
		s := segments{progressive: progressive, adobe: adobe, facts: size}
		s.channels = len(factors)
		for i, f := range factors {
			s.components = append(s.components, component{byte(i), int(f >> 4), int(f & 15)})
		}
		return s.memory()
	}
	png := func(bits byte) float64 { return (&pngFile{facts: size, colour: pngRGB, bits: bits}).memory() }
	lossy := webpFile{facts: size}
	lossyAlpha, lossless := lossy, lossy
	lossyAlpha.alpha, lossless.lossless = true, true
	actual := map[string]float64{
		"JPEG, grey":                      jpeg(false, false, 0x11),
		"JPEG, 4:2:0":                     jpeg(false, false, 0x22, 0x11, 0x11),
		"JPEG, 4:2:2":                     jpeg(false, false, 0x21, 0x11, 0x11),
		"JPEG, 4:4:4":                     jpeg(false, false, 0x11, 0x11, 0x11),
		"JPEG, progressive 4:2:0":         jpeg(true, false, 0x22, 0x11, 0x11),
		"JPEG, progressive 4:4:4":         jpeg(true, false, 0x11, 0x11, 0x11),
		"JPEG, stored as RGB":             jpeg(false, true, 0x11, 0x11, 0x11),
		"JPEG, CMYK":                      jpeg(false, false, 0x11, 0x11, 0x11, 0x11),
		"JPEG, progressive CMYK":          jpeg(true, false, 0x11, 0x11, 0x11, 0x11),
		"WebP, lossy":                     lossy.memory(),
		"WebP, lossless":                  lossless.memory(),
		"WebP, lossy with transparency":   lossyAlpha.memory(),
		"PNG, interlaced, RGB of 8 bits":  png(8),
		"PNG, interlaced, RGB of 16 bits": png(16),
	}
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, _ := strings.Cut(string(text), "| picture | bytes a pixel |\n")
	table, _, _ = strings.Cut(table, "\n\n")
	rows := regexp.MustCompile(`(?m)^\| (.*) \| ([0-9.]+) \|$`).FindAllStringSubmatch(table, -1)
	for _, row := range rows {
		told, err := strconv.ParseFloat(row[2], 64)
		if takes, known := actual[row[1]]; err != nil || !known || math.Abs(told-takes/width/height) > 1e-9 {
			t.Errorf("README says %s bytes a pixel of %s; the gate counts on %v", row[2], row[1], takes/width/height)
		}
		delete(actual, row[1])
	}
	for name := range actual {
		t.Errorf("README doesn't tell the memory of %s", name)
	}
	if limit := strconv.Itoa((defaultMemoryLimit - apart) >> 20); !strings.Contains(string(text), limit+" MiB is refused") {
		t.Errorf("README doesn't say that beyond %s MiB a file is refused", limit)
	}
}
