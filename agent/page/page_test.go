package page

import (
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.3f, want %.3f ± %g", what, got, want, tolerance)
	}
}

// TestSelfContained: nothing on the page is fetched or run, and its policy
// forbids it besides.
func TestSelfContained(t *testing.T) {
	p := pageOf(tidemark(t), "/prints/quay.tif")
	p.Pictures = &Pictures{Width: 3, Height: 2, Screen: []byte{1}, Print: []byte{2}}
	doc, whole := parsed(t, p)
	for _, e := range doc {
		switch e.name {
		case "script", "link", "iframe", "object", "embed", "form", "a", "base", "image", "use":
			t.Errorf("the page has a <%s>", e.name)
		}
		for name, value := range e.attributes {
			if strings.HasPrefix(name, "on") || name == "style" || name == "href" {
				t.Errorf("<%s> has %s=%q", e.name, name, value)
			}
			if name == "src" && !strings.HasPrefix(value, "data:image/jpeg;base64,") {
				t.Errorf("<%s> is from %q", e.name, value)
			}
		}
	}
	if strings.Contains(whole, "http:") || strings.Contains(whole, "https:") || strings.Contains(whole, "url(") {
		t.Error("the page names an address")
	}
	policy := ""
	for _, e := range doc {
		if e.attributes["http-equiv"] == "Content-Security-Policy" {
			policy = e.attributes["content"]
		}
	}
	if !strings.HasPrefix(policy, "default-src 'none'; style-src 'unsafe-inline'; img-src data:;") {
		t.Errorf("the policy is %q", policy)
	}
	if strings.Contains(whole, "ZgotmplZ") {
		t.Error("the template has refused a value")
	}
}

// TestEverySection: each has its heading and its drawing, with a title and a
// description.
func TestEverySection(t *testing.T) {
	doc, _ := parsed(t, pageOf(tidemark(t, white(180)), "/prints/quay.tif"))
	words := doc.words()
	for _, want := range []string{
		"Tidemark, Skarvik", "The screen is too bright; the rest is as it should be.", "quay.tif: likely dark", "2 March 2026, 12:00",
		"What to do", "The last export, twice", "The desk and its targets", "What the print does to the tones",
		"Why", "How sure that is", "Room light and exports, the last 30 days", "How prints came out", "It is gone.",
		"180 ±6 cd/m²", "too bright", "target 90–120",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the page doesn't say %q", want)
		}
	}
	ids := map[string]bool{}
	for _, e := range doc {
		if e.id != "" && ids[e.id] {
			t.Errorf("two elements are %q", e.id)
		}
		ids[e.id] = true
	}
	for _, name := range []string{"wedge", "scales", "scales-narrow", "curve", "steps", "causes", "doubt", "light", "light-narrow", "prints"} {
		if !ids[name] || !ids[name+"-title"] || !ids[name+"-desc"] {
			t.Errorf("drawing %q is not there, or has no title and description", name)
		}
	}
}

// TestHostileText: whatever a file, a desk, a paper or a reason is called, it is
// text, and can be seen.
func TestHostileText(t *testing.T) {
	const evil = `"><script>alert(1)</script><img src=x onerror=alert(2)>{{.}}&lt;' ` + "\u202egpj.\x1b[31m\u200b\xff"
	p := tidemark(t, func(p *rules.Profile) {
		p.Desk, p.Papers[0].Name, p.Viewings[0].Name = evil, evil, evil
		p.Folders[0].Paper, p.Folders[0].Viewing = evil, evil
	})
	shown := pageOf(p, "/prints/"+strings.ReplaceAll(evil, "/", "⁄")+".tif")
	shown.Report.Notes = append(shown.Report.Notes, evil)
	shown.Older, shown.NoPictures = evil, evil
	for _, pictures := range []*Pictures{nil, {Width: 1, Height: 1}} {
		shown.Pictures = pictures
		doc, whole := parsed(t, shown)
		for _, e := range doc {
			if e.name == "script" || e.attributes["onerror"] != "" || e.name == "img" && !strings.HasPrefix(e.attributes["src"], "data:") {
				t.Errorf("the text became <%s %v>", e.name, e.attributes)
			}
		}
		for _, c := range []string{"\u202e", "\x1b", "\u200b", "\xff"} {
			if strings.Contains(whole, c) {
				t.Errorf("the page holds %q", c)
			}
		}
		if !strings.Contains(doc.words(), `<script>alert(1)</script><img src=x onerror=alert(2)>{{.}}&lt;' \u202egpj.\x1b[31m\u200b\xff`) {
			t.Error("the text can't be read on the page")
		}
	}
}

// TestEmpty: a desk of which nothing is known, and nothing exported, has a page.
func TestEmpty(t *testing.T) {
	p := tidemark(t, func(p *rules.Profile) { p.Readings, p.Desk = nil, "" })
	c := rules.Resolve(p, now)
	for name, shown := range map[string]Page{
		"nothing at all": {At: now},
		"no export": {
			At: now, Conditions: c.List, Quiet: p.Quiet, Summary: rules.Summarise(&c, p.Quiet, nil), NoPictures: "No export yet.",
		},
	} {
		doc, whole := parsed(t, shown)
		words := doc.words()
		if !strings.Contains(words, "Your desk") || !strings.Contains(words, "no reading in these days") || !strings.Contains(words, "No print has been reported yet") {
			t.Errorf("%s: the page says %q", name, words)
		}
		if strings.Contains(words, "Why\n") {
			t.Errorf("%s: the page explains an export that there was not", name)
		}
		if bad := regexp.MustCompile(`NaN|Inf|%!`).FindString(whole); bad != "" {
			t.Errorf("%s: the page holds %q", name, bad)
		}
	}
}

// TestOnlyBlack: a picture without tones has no shift, no shadows and no colours.
func TestOnlyBlack(t *testing.T) {
	p := tidemark(t)
	shown := pageOf(p, "/prints/black.tif")
	black := rules.Picture{Width: 10, Height: 10, Tones: []rules.Tone{{Y: 0, Share: 1}}}
	shown.Report = rules.Evaluate(p, rules.Export{File: "black.tif", Folder: p.Folders[0], Picture: black}, now)
	doc, whole := parsed(t, shown)
	if bad := regexp.MustCompile(`NaN|Inf|%!`).FindString(whole); bad != "" {
		t.Errorf("the page holds %q", bad)
	}
	if len(doc.in("doubt", "median")) != 0 || !strings.Contains(doc.words(), "it has none") {
		t.Error("a middle was drawn of a shift that there is not")
	}
}

// TestSizeIsBounded: a sensor's readings and a busy month's exports don't make the
// page large.
func TestSizeIsBounded(t *testing.T) {
	p := pageOf(tidemark(t), "/prints/quay.tif")
	p.Light, p.Exports = nil, nil
	begin := now.AddDate(0, 0, -Days)
	for i := range Days * 24 * 60 {
		at := begin.Add(time.Duration(i) * time.Minute)
		p.Light = append(p.Light, rules.Reading{At: at, Light: rules.Lux(20 + i%300), Place: rules.AtScreen})
		if i%7 == 0 {
			p.Exports = append(p.Exports, Export{At: at, Verdict: verdicts[i%len(verdicts)], Notice: i%2 == 0})
		}
	}
	_, whole := parsed(t, p)
	if len(whole) > 250_000 {
		t.Errorf("the page has %d bytes", len(whole))
	}
}

// BenchmarkWrite: a page without its pictures.
func BenchmarkWrite(b *testing.B) {
	p := pageOf(tidemark(b), "/prints/quay.tif")
	for b.Loop() {
		if err := Write(discard{}, p); err != nil {
			b.Fatal(err)
		}
	}
}

type discard struct{}

func (discard) Write(p []byte) (int, error) { return len(p), nil }
