package log

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"lampblack/rules"
)

// Whatever a crash leaves behind the entries, and wherever it cuts them, every
// whole entry survives and what is read makes sense.
func FuzzRead(f *testing.F) {
	const sample = "[[reading]]\nat = 2026-03-01T09:10:00Z\nlx = 41.0\nplace = \"screen\"\n" +
		"[[calibrated]]\nat = 2026-03-01T09:11:00Z\ndisplay = \"north bench\"\n" +
		"[[surround]]\nat = 2026-03-01T09:12:00Z\nnamed = \"mid grey\"\n" +
		"[[white]]\nat = 2026-03-01T09:13:00Z\ncd_m2 = 118.0\ndisplay = \"north bench\"\n" +
		"[[reading]]\nat = 2026-03-01T09:14:00Z\nlx = 48.0\nk = 3000.0\nnote = \"blind half down\"\nplace = \"desk\"\n"
	whole, broken := parse(sample)
	if len(broken) > 0 {
		f.Fatal(broken)
	}
	for _, tail := range []string{"", "[", "[[reading]]\nlx = 4", sample[:100], "\x00\x00\x00", "lx = 5\n", "# done", "\"\"\"\n", "[[reading]]\nat = [\n",
		"[[reading]]\nat = 2026-03-01T09:14:00.5Z\nlx = 048.0\nplace = \"desk\"\n", "[[reading]]\nat = 2000-01-01T0:00:00Z\nlx = 0\nplace = \"desk\"", "[[reading]]\nat = 2026-03-01T9:14:00Z\nlx = 48\nlx = 4\nplace = \"desk\"\n"} {
		f.Add(tail)
	}
	f.Fuzz(func(t *testing.T, tail string) {
		l, _ := parse(sample + "\n" + tail)
		for _, r := range Of[*Reading](l) {
			if math.IsNaN(float64(r.Light)) || r.Light < 0 || r.Light > rules.MostLux || r.Place == "" || r.At.IsZero() ||
				!(r.Kelvin == 0 || r.Kelvin >= rules.CoolestLamp && r.Kelvin <= rules.BluestSky) || !(r.Sigma >= 0 && r.Sigma <= 1) || strings.Contains(r.Note, "\n") {
				t.Errorf("impossible reading %+v", r)
			}
		}
		if len(l) < len(whole) || !reflect.DeepEqual(l[:len(whole)], whole) {
			t.Fatalf("got %v, want at first %v", said(l), said(whole))
		}
		for _, text := range []string{tail, sample + "\n" + tail} {
			fast, left := parse(text)
			if slow, leftSlow := parseByLines(text); !slices.EqualFunc(fast, slow, func(a, b Fact) bool { return reflect.DeepEqual(a, b) }) || !slices.Equal(left, leftSlow) {
				t.Errorf("got %v without %v; line by line it is %v without %v", said(fast), left, said(slow), leftSlow)
			}
		}
	})
}

// parseByLines is parseLog by the TOML library alone.
func parseByLines(content string) (l Log, broken []int) {
	for number, lines := range cutAtHeaders(strings.TrimPrefix(content, "\ufeff")) {
		for _, e := range entries(lines) {
			if !e.whole || !l.add(&e, new(fields)) {
				broken = append(broken, number-1+e.line)
			}
		}
	}
	return l, broken
}
