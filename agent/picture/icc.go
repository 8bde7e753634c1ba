package picture

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf16"

	"lampblack/rules/colour"
)

// The ICC reader here knows grey, matrix/TRC and table profiles of versions 2
// and 4 (ICC.1:2001-04 and ICC.1:2022), and a profile's name.
//
// It is our own because the one library at hand (kovidgoyal/imaging) needs more
// guarding than it saves: a curve's count is allocated before it is checked (8 GB
// from 12 bytes), an inverse is always prepared and takes the square of an uneven
// curve's length, tags of a wrong type panic, and a short sampled curve near
// sRGB's is replaced by sRGB's (up to 0.56 ΔE). A gate in front of it would have
// to know each element's inner counts, which is most of a reader.

// profile is a read ICC profile.
type profile struct {
	encoding
	channels int
}

// tags are the elements of a profile by signature.
type tags map[string][]byte

const (
	iccHeader = 128
	mostTags  = 100
)

// parseProfile reads an ICC profile. With an error, a name is still good.
func parseProfile(data []byte) (profile, error) {
	t, err := readTags(data)
	if err != nil {
		return profile{}, err
	}
	p := profile{encoding: encoding{name: t.name()}}
	class, space, pcs := string(data[12:16]), string(data[16:20]), string(data[20:24])
	switch class {
	case "mntr", "scnr", "prtr", "spac":
	default:
		return p, fmt.Errorf("its class %q is none for pictures", printable(class))
	}
	switch {
	case channelsOf[space] == 0:
		return p, fmt.Errorf("it is for %q, which is none of grey, RGB and CMYK", printable(space))
	case t["A2B0"] != nil || t["A2B1"] != nil:
		p.lab, err = t.toLab(channelsOf[space], pcs)
	case space == "GRAY" && t["kTRC"] != nil:
		p.curves[0], err = t.greyCurve(pcs)
	case space == "RGB " && pcs == "XYZ " && t["rXYZ"] != nil:
		p.curves, p.toXYZ, err = t.shaper()
	default:
		err = fmt.Errorf("it says too little about %q", printable(space))
	}
	if space == "GRAY" && p.lab != nil {
		p.curves[0], p.lab = lightnessOf(p.lab), nil
	}
	p.channels = channelsOf[space]
	return p, err
}

var channelsOf = map[string]int{"GRAY": 1, "RGB ": 3, "CMYK": 4}

// lightnessOf is the curve of a grey table profile: its luminance alone, for a
// tint of the grey is no matter of tone.
func lightnessOf(lab func(values) colour.Lab) curve {
	toY := func(v float64) float64 { return colour.FromLightness(lab(values{v}).L) }
	white := toY(1)
	return func(v float64) float64 { return held(toY(v) / white) }
}

// readTags is the gate: every element lies within the profile, and there are
// not absurdly many.
func readTags(data []byte) (tags, error) {
	if len(data) < iccHeader+4 {
		return nil, errors.New("it is cut short")
	}
	// Some writers pad; nobody may promise more than there is.
	if size := binary.BigEndian.Uint32(data); size < iccHeader+4 || uint64(size) > uint64(len(data)) {
		return nil, fmt.Errorf("it promises %d bytes and has %d", size, len(data))
	}
	if string(data[36:40]) != "acsp" {
		return nil, errors.New("it has no ICC signature")
	}
	count := binary.BigEndian.Uint32(data[iccHeader:])
	table := data[iccHeader+4:]
	if count > mostTags || int(count)*12 > len(table) {
		return nil, fmt.Errorf("it promises %d elements", count)
	}
	t := make(tags, count)
	for ; count > 0; count-- {
		sig := string(table[:4])
		at := uint64(binary.BigEndian.Uint32(table[4:]))
		end := at + uint64(binary.BigEndian.Uint32(table[8:]))
		if end > uint64(len(data)) || end < at+8 {
			return nil, fmt.Errorf("its element %q lies outside of it", printable(sig))
		}
		t[sig] = data[at:end]
		table = table[12:]
	}
	return t, nil
}

// greyCurve is the curve from a grey value to Y. A profile with L*a*b* as its
// PCS gives L* instead.
func (t tags) greyCurve(pcs string) (curve, error) {
	c, err := parseCurve(t["kTRC"])
	if err != nil {
		return nil, err
	}
	toY := c
	switch pcs {
	case "XYZ ":
	case "Lab ":
		toY = func(v float64) float64 { return colour.FromLightness(100 * c(v)) }
	default:
		return nil, fmt.Errorf("its connection space %q is unknown", printable(pcs))
	}
	white := toY(1)
	if white < 0.01 {
		return nil, errors.New("its white is black")
	}
	return func(v float64) float64 { return toY(v) / white }, nil
}

// shaper is the three curves and the matrix, scaled so that the device's white
// has Y = 1: the profiles' own white misses it by rounding.
func (t tags) shaper() (curves [3]curve, m colour.Matrix, err error) {
	white := 0.0
	for i, c := range []string{"r", "g", "b"} {
		if curves[i], err = parseCurve(t[c+"TRC"]); err != nil {
			return curves, m, err
		}
		primary, err := parseXYZ(t[c+"XYZ"])
		if err != nil {
			return curves, m, err
		}
		m[0][i], m[1][i], m[2][i] = primary.X, primary.Y, primary.Z
		white += primary.Y * curves[i](1)
	}
	if white < 0.01 {
		return curves, m, errors.New("its white is black")
	}
	for i := range m {
		for j := range m[i] {
			m[i][j] /= white
		}
	}
	return curves, m, nil
}

func parseXYZ(tag []byte) (colour.XYZ, error) {
	if len(tag) < 20 || string(tag[:4]) != "XYZ " {
		return colour.XYZ{}, errors.New("a primary is missing")
	}
	return colour.XYZ{X: s15Fixed16(tag[8:]), Y: s15Fixed16(tag[12:]), Z: s15Fixed16(tag[16:])}, nil
}

// s15Fixed16 is ICC's signed number with 16 binary places.
func s15Fixed16(b []byte) float64 {
	return float64(int32(binary.BigEndian.Uint32(b))) / 65536
}

// parseCurve reads a curve that leads to or from light: its result is held
// within 0..1.
func parseCurve(tag []byte) (curve, error) {
	raw, err := parseRawCurve(tag)
	if err != nil {
		return nil, err
	}
	return func(v float64) float64 { return held(raw(v)) }, nil
}

// held is v within 0..1, and 0 for NaN.
func held(v float64) float64 {
	if v > 0 {
		return min(v, 1)
	}
	return 0
}

// parseRawCurve reads a curveType or parametricCurveType (ICC.1:2022, 10.6,
// 10.18). The result of a parametric one can be anything.
func parseRawCurve(tag []byte) (curve, error) {
	if len(tag) < 12 {
		return nil, errors.New("a tone curve is missing")
	}
	var raw curve
	switch string(tag[:4]) {
	case "curv":
		raw = sampledCurve(tag[12:], binary.BigEndian.Uint32(tag[8:]))
	case "para":
		raw = parametricCurve(tag[12:], binary.BigEndian.Uint16(tag[8:]))
	}
	if raw == nil {
		return nil, errors.New("a tone curve is damaged")
	}
	return raw, nil
}

// sampledCurve: no entry is the identity, one is a gamma with 8 binary places,
// more are samples at equal steps. Nil when entries are missing.
func sampledCurve(entries []byte, count uint32) curve {
	if uint64(len(entries)) < 2*uint64(count) {
		return nil
	}
	at := func(i int) float64 { return float64(binary.BigEndian.Uint16(entries[2*i:])) }
	switch count {
	case 0:
		return func(v float64) float64 { return v }
	case 1:
		gamma := at(0) / 256
		return func(v float64) float64 { return math.Pow(v, gamma) }
	}
	last := int(count) - 1
	return func(v float64) float64 {
		x := held(v) * float64(last)
		i := min(int(x), last-1)
		part := x - float64(i)
		return (at(i)*(1-part) + at(i+1)*part) / 65535
	}
}

// parametersOf is how many numbers each kind of parametric curve has.
var parametersOf = map[uint16]int{0: 1, 1: 3, 2: 4, 3: 5, 4: 7}

// parametricCurve is one of the five functions of ICC.1:2022, table 68, written
// as the last of them: each of the others has some parameters fixed. Nil when
// the kind is unknown or parameters are missing.
func parametricCurve(params []byte, kind uint16) curve {
	count, known := parametersOf[kind]
	if !known || len(params) < 4*count {
		return nil
	}
	var p [7]float64
	for i := range count {
		p[i] = s15Fixed16(params[4*i:])
	}
	g, a, b, c, d, e, f := p[0], p[1], p[2], p[3], p[4], p[5], p[6]
	switch kind {
	case 0: // Y = X^g
		a, d = 1, 0
	case 1: // Y = (aX+b)^g from X = −b/a on, before it 0
		c, d = 0, -b/a
	case 2: // Y = (aX+b)^g + c from X = −b/a on, before it c
		c, d, e, f = 0, -b/a, c, c
	}
	return func(x float64) float64 {
		if x >= d {
			return math.Pow(max(a*x+b, 0), g) + e
		}
		return c*x + f
	}
}

// name is the profile's description, or what it is without one.
func (t tags) name() string {
	text := ""
	switch tag := t["desc"]; {
	case len(tag) < 12:
	case string(tag[:4]) == "desc": // version 2: a counted ASCII string
		end := min(12+uint64(binary.BigEndian.Uint32(tag[8:])), uint64(len(tag)))
		text, _, _ = strings.Cut(string(tag[12:end]), "\x00")
	case string(tag[:4]) == "mluc":
		text = multiLocalized(tag)
	}
	if text = printable(text); text == "" {
		return "a profile without a name"
	}
	return text
}

// multiLocalized is the English text of a multiLocalizedUnicodeType (10.15), or
// else its first.
func multiLocalized(tag []byte) string {
	const records, record = 16, 12
	if len(tag) < records {
		return ""
	}
	first := ""
	count := binary.BigEndian.Uint32(tag[8:])
	for r := tag[records:]; count > 0 && len(r) >= record; r = r[record:] {
		at := uint64(binary.BigEndian.Uint32(r[8:]))
		end := at + uint64(binary.BigEndian.Uint32(r[4:]))
		if end <= uint64(len(tag)) {
			text := utf16Text(tag[at:end])
			if bytes.HasPrefix(r, []byte("en")) {
				return text
			}
			if first == "" {
				first = text
			}
		}
		count--
	}
	return first
}

func utf16Text(b []byte) string {
	b = b[:min(len(b), 2*mostRunes)]
	units := make([]uint16, 0, len(b)/2)
	for ; len(b) >= 2; b = b[2:] {
		units = append(units, binary.BigEndian.Uint16(b))
	}
	return string(utf16.Decode(units))
}

// mostRunes is as much of a text as is carried on.
const mostRunes = 200

// printable is s without what could upset a menu or a terminal: control and
// direction characters, invalid UTF-8, excess length.
func printable(s string) string {
	kept := make([]rune, 0, mostRunes)
	for _, r := range s {
		if len(kept) == mostRunes {
			break
		}
		if r != unicode.ReplacementChar && unicode.IsPrint(r) {
			kept = append(kept, r)
		}
	}
	return strings.TrimSpace(string(kept))
}
