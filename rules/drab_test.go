package rules

import (
	"testing"

	"lampblack/rules/colour"
)

// colourful is a picture of one strong red and its neighbours, halfway light.
func colourful() Picture {
	pic := quay()
	pic.Colours = []Colour{{colour.Lab{L: 50, A: 45, B: 25}, 0.6}, {colour.Lab{L: 60, A: 20, B: 40}, 0.4}}
	return pic
}

// TestDrabCause: drabness is laid to what washes the colours out, not to what
// moves the lightness by a hair.
func TestDrabCause(t *testing.T) {
	for _, c := range []struct {
		name    string
		changes []func(*Profile)
		want    string
	}{
		{"at the targets", nil, ""},
		{"nearly at the targets", []func(*Profile){white(96)}, ""},
		{"a dark room and a hair of white", []func(*Profile){white(96), lux(5)}, RoomLight},
		{"a bright room, which makes strong colours stronger", []func(*Profile){lux(320)}, ""},
		{"a white surround, which takes contrast", []func(*Profile){around(0.95)}, SurroundGrey},
		{"a black surround, which takes neither, and a somewhat bright screen", []func(*Profile){white(140), around(0.003)}, ScreenLuminance},
		{"a black surround and a bright screen", []func(*Profile){white(200), around(0.003)}, ScreenLuminance},
	} {
		p, pic := tidemark(c.changes...), colourful()
		conditions := Resolve(p, noon)
		if got := drabCause(&conditions, &pic, p.Quiet); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// TestDrabCauseOfAnyLoss: a profile that allows for no loss at all still has a cause.
func TestDrabCauseOfAnyLoss(t *testing.T) {
	p, pic := tidemark(white(200), around(0.003)), colourful()
	p.Quiet.Colourful, p.Quiet.StepsLost = 1, 0
	conditions := Resolve(p, noon)
	if got := drabCause(&conditions, &pic, p.Quiet); got == "" {
		t.Error("no cause")
	}
}

// TestGreysHaveNoColour: a picture of greys can't lose colourfulness, whatever the
// mixed light gives them in the model.
func TestGreysHaveNoColour(t *testing.T) {
	pic := quay()
	pic.Colours = []Colour{{colour.Lab{L: 60, A: 1, B: -4}, 0.7}, {colour.Lab{L: 30, A: 3, B: 3}, 0.3}}
	r := Evaluate(tidemark(lux(320)), exportOf(pic), noon)
	if got := r.Prediction.Targets.Colourfulness; got.Known() {
		t.Errorf("colourfulness ratio %v of a picture of greys", got)
	}
	if s := r.Prediction.Targets.Spread; s.Drab > 0.5 {
		t.Errorf("drab with probability %v", s.Drab)
	}
}
