package page

import (
	"bytes"
	"encoding/xml"
	"io"
	"strconv"
	"strings"
	"testing"
	"time"

	"lampblack/config"
	"lampblack/rules"
	"lampblack/rules/colour"
)

var now = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

// tidemark is the desk of the days, with one change after another made to it.
func tidemark(t testing.TB, changes ...func(*rules.Profile)) *rules.Profile {
	t.Helper()
	p, _, err := config.Load("../../testdata/days/profile.toml")
	if err != nil {
		t.Fatal(err)
	}
	p.Readings = []rules.Reading{{At: now.Add(-time.Hour), Light: 44, Place: rules.AtScreen}}
	for _, change := range changes {
		change(p)
	}
	return p
}

func white(v rules.Luminance) func(*rules.Profile) {
	return func(p *rules.Profile) { p.Displays[0].White = rules.Stated(v) }
}

func lux(v rules.Lux) func(*rules.Profile) {
	return func(p *rules.Profile) { p.Readings[0].Light = v }
}

func around(y float64) func(*rules.Profile) {
	return func(p *rules.Profile) { p.Surround.RelativeY = rules.Stated(y) }
}

// ramp is a picture of all tones, with some muted colours.
func ramp() rules.Picture {
	pic := rules.Picture{Width: 6000, Height: 4000, Depth: 16, Profile: "sRGB", MeanY: 0.2}
	for l := 1.0; l < 100; l += 2 {
		pic.Tones = append(pic.Tones, rules.Tone{Y: colour.FromLightness(l), Share: 1. / 50})
	}
	for _, a := range []float64{-20, 20} {
		pic.Colours = append(pic.Colours, rules.Colour{Lab: colour.Lab{L: 50, A: a, B: a / 2}, Share: 0.5})
	}
	return pic
}

// pageOf is the page of a desk just after an export of that name.
func pageOf(p *rules.Profile, file string) Page {
	c := rules.Resolve(p, now)
	r := rules.Evaluate(p, rules.Export{File: file, Folder: p.Folders[0], Picture: ramp()}, now)
	return Page{
		Desk: p.Desk, At: now, Summary: rules.Summarise(&c, p.Quiet, r), Conditions: c.List,
		Quiet: p.Quiet, ReadingLife: p.Room.ReadingLife,
		Report: r, Tones: rules.SightOf(p, r, now).Tones,
		NoPictures: "It is gone.",
		Light:      p.RoomLight(now.AddDate(0, 0, -Days), now),
		Exports:    []Export{{At: now, Verdict: r.Verdict}},
		Learnt:     p.Learnt,
	}
}

// element is an element of the page.
type element struct {
	name, class, id string
	attributes      map[string]string
	text            string // directly in it
	within          *element
}

// number is an attribute that is one.
func (e *element) number(t testing.TB, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(e.attributes[name], 64)
	if err != nil {
		t.Fatalf("<%s class=%q> has %s=%q", e.name, e.class, name, e.attributes[name])
	}
	return v
}

// inside tells whether an element of that id holds this one.
func (e *element) inside(id string) bool {
	for ; e != nil; e = e.within {
		if e.id == id {
			return true
		}
	}
	return false
}

// document is a page taken apart.
type document []*element

// parsed takes a page apart, as strictly as XML wants it but for elements that
// HTML doesn't close.
func parsed(t testing.TB, p Page) (document, string) {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, p); err != nil {
		t.Fatal(err)
	}
	whole := b.String()
	d := xml.NewDecoder(&b)
	d.Strict, d.AutoClose, d.Entity = false, []string{"meta", "img"}, xml.HTMLEntity
	var doc document
	var open *element
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("the page can't be parsed: %v", err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := &element{name: token.Name.Local, attributes: map[string]string{}, within: open}
			for _, a := range token.Attr {
				if _, twice := e.attributes[a.Name.Local]; twice {
					t.Fatalf("<%s> has %s twice", e.name, a.Name.Local)
				}
				e.attributes[a.Name.Local] = a.Value
			}
			e.class, e.id = e.attributes["class"], e.attributes["id"]
			doc, open = append(doc, e), e
		case xml.EndElement:
			open = open.within
		case xml.CharData:
			if open != nil {
				open.text += string(token)
			}
		}
	}
	if open != nil {
		t.Fatalf("<%s> is never closed", open.name)
	}
	return doc, whole
}

// in are the elements of a drawing with a class.
func (d document) in(id, class string) document {
	var found document
	for _, e := range d {
		if e.inside(id) && strings.Contains(" "+e.class+" ", " "+class+" ") {
			found = append(found, e)
		}
	}
	return found
}

// words are all texts of the page, a line each.
func (d document) words() string {
	var b strings.Builder
	for _, e := range d {
		if e.name != "style" {
			b.WriteString(e.text + "\n")
		}
	}
	return b.String()
}
