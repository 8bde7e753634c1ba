//go:build desktop

package agent

import (
	"bytes"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"lampblack/rules"
	"lampblack/rules/colour"
)

// seen is what a browser makes of a page.
type seen struct {
	document string // as it stands after loading
	console  []string
	requests []string // initiators of requests that the page caused
}

var (
	consoleLine = regexp.MustCompile(`(?m)^.*CONSOLE.*$`)
	// What the browser asks for by itself has no origin; what a page asks for has the
	// page's, which for a file is "null".
	initiator = regexp.MustCompile(`"initiator":"([^"]*)"`)
)

// browse opens a file in Chromium, which finds no network.
func browse(t *testing.T, path string, arguments ...string) seen {
	t.Helper()
	dir := t.TempDir()
	log := filepath.Join(dir, "net.json")
	cmd := exec.CommandContext(t.Context(), "chromium", append([]string{
		"--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run",
		"--disable-background-networking", "--disable-component-update", "--disable-sync",
		"--host-resolver-rules=MAP * ~NOTFOUND", "--user-data-dir=" + filepath.Join(dir, "profile"),
		"--enable-logging=stderr", "--log-net-log=" + log}, append(arguments, "file://"+path)...)...)
	var out, said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &said
	if err := cmd.Run(); err != nil {
		t.Fatalf("chromium: %v\n%s", err, said.String())
	}
	s := seen{document: out.String(), console: consoleLine.FindAllString(said.String(), -1)}
	net, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range initiator.FindAllStringSubmatch(string(net), -1) {
		if m[1] != "not an origin" {
			s.requests = append(s.requests, m[1])
		}
	}
	return s
}

// TestBrowseSees: what the tests below must not find is found where it is.
func TestBrowseSees(t *testing.T) {
	path := filepath.Join(t.TempDir(), "page.html")
	page := `<p>Skarvik<img src="http://tidemark.invalid/x.png"><script>console.error("ahoy")</script>`
	if err := os.WriteFile(path, []byte(page), 0o600); err != nil {
		t.Fatal(err)
	}
	s := browse(t, path, "--dump-dom")
	if len(s.console) != 1 || !strings.Contains(s.console[0], "ahoy") || len(s.requests) == 0 || !strings.Contains(s.document, "Skarvik") {
		t.Errorf("%+v", s)
	}
}

// TestPageInABrowser: nothing is asked of the network and nothing complained
// about, and a file's name full of markup is text.
func TestPageInABrowser(t *testing.T) {
	m := newMonth(t)
	m.export("fog.tif", `<img src=x onerror="document.title=1"><b>&amp; fog`, m.now)
	s := browse(t, m.write(), "--dump-dom")
	if len(s.console)+len(s.requests) > 0 {
		t.Errorf("the console says %q, requests came from %q", s.console, s.requests)
	}
	says(t, s.document, `&lt;img src=x onerror="document.title=1"&gt;&lt;b&gt;&amp;amp; fog.tif`, "<title>Tidemark, Skarvik – Lampblack</title>")
	if n := strings.Count(s.document, "<img"); n != 2 {
		t.Errorf("the page has %d pictures", n)
	}
}

// The size of the screenshot, which holds the whole page.
const screenWidth, screenHeight = 1240, 3890

// TestPageOnAScreen looks at the page: it is dark, its greys are neutral, and the
// two pictures lie on equal grey.
func TestPageOnAScreen(t *testing.T) {
	m := newMonth(t)
	shot := filepath.Join(t.TempDir(), "desk-page.png")
	s := browse(t, m.write(), "--window-size=1240,3890", "--screenshot="+shot)
	if len(s.console)+len(s.requests) > 0 {
		t.Errorf("the console says %q, requests came from %q", s.console, s.requests)
	}
	img := decodedPNG(t, shot)
	if b := img.Bounds(); b.Dx() != screenWidth || b.Dy() != screenHeight {
		t.Fatalf("the screenshot is %v", b)
	}
	mean, mat := 0.0, 0
	for y := range screenHeight {
		for x := range screenWidth {
			r, g, b, _ := img.At(x, y).RGBA()
			mean += colour.SRGB.Decode(float64(g)/65535) / (screenWidth * screenHeight)
			want := uint32(colour.SRGB.Encode(rules.PageGrey)*255 + 0.5)
			if r == g && g == b && g>>8 == want {
				mat++
			}
		}
	}
	if mean > 0.08 {
		t.Errorf("the page's mean luminance is %.3f of white: too bright for a dark room", mean)
	}
	if mat < 50_000 {
		t.Errorf("%d pixels are of the pictures' grey", mat)
	}
	keepScreen(t, shot)
}

// TestPageOnPaper: the page takes three sheets, with no gap for what doesn't fit.
func TestPageOnPaper(t *testing.T) {
	m := newMonth(t)
	pdf := filepath.Join(t.TempDir(), "desk-page.pdf")
	browse(t, m.write(), "--print-to-pdf="+pdf, "--no-pdf-header-footer")
	printed, err := os.ReadFile(pdf)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(regexp.MustCompile(`/Type ?/Page\b`).FindAll(printed, -1)); n != 3 {
		t.Errorf("the page takes %d sheets", n)
	}
}

// TestPageOnATelephone: on a screen of 420 pixels nothing is beyond its edge, and
// the drawings that fill the page are those for a narrow one. A browser's window
// can't be that narrow, so the page is looked at in a frame.
func TestPageOnATelephone(t *testing.T) {
	m := newMonth(t)
	frame := filepath.Join(t.TempDir(), "frame.html")
	err := os.WriteFile(frame, []byte(`<iframe id="page" width="420" height="800" src="file://`+m.write()+`"></iframe><p id="seen"></p><script>
onload = () => {
	const d = page.contentDocument, width = name => Math.round(d.getElementById(name).getBoundingClientRect().width);
	seen.textContent = ["scales", "light"].map(name => width(name) + " " + width(name + "-narrow")).join(" ") + " " + d.documentElement.scrollWidth;
}</script>`), 0o600)
	if err != nil {
		t.Fatal(err)
	}
	s := browse(t, frame, "--allow-file-access-from-files", "--dump-dom")
	found := regexp.MustCompile(`<p id="seen">0 (\d+) 0 (\d+) (\d+)</p>`).FindStringSubmatch(s.document)
	if found == nil {
		t.Fatalf("the frame says %s, the console %q", s.document, s.console)
	}
	for _, width := range found[1:] {
		if n, err := strconv.Atoi(width); err != nil || n < 350 || n > 420 {
			t.Errorf("the narrow scales, the narrow light and the page are %v pixels wide", found[1:])
		}
	}
}

func decodedPNG(t *testing.T, path string) image.Image {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// keepScreen keeps a screenshot, in few colours, where LAMPBLACK_SCREENS says.
func keepScreen(t *testing.T, shot string) {
	t.Helper()
	dir := os.Getenv("LAMPBLACK_SCREENS")
	if dir == "" {
		return
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(dir, filepath.Base(shot))
	out, err := exec.CommandContext(t.Context(), "convert", shot, "+dither", "-colors", "220", "-strip", "PNG8:"+to).CombinedOutput()
	if err != nil {
		t.Fatalf("convert: %v\n%s", err, out)
	}
}
