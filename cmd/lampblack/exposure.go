package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lampblack/rules"
)

// The exposure on the command line, as it is written on cameras.

// subject is what was metered; grey-card and graycard will do for grey card.
type subject rules.Subject

var subjects = []rules.Subject{rules.OfPaper, rules.OfGreyCard, rules.OfScreen, rules.OfReceptor, rules.OfDome}

// UnmarshalText reads the subject.
func (s *subject) UnmarshalText(text []byte) error {
	for _, known := range subjects {
		if closedUp(string(text)) == closedUp(string(known)) {
			*s = subject(known)
			return nil
		}
	}
	return fmt.Errorf("%q is none of paper, grey card, screen, flat receptor and dome", text)
}

// closedUp is a name without what people put between its words, in one spelling.
func closedUp(name string) string {
	return strings.NewReplacer(" ", "", "-", "", "_", "", "gray", "grey").Replace(strings.ToLower(name))
}

// seconds is an exposure time: 1/30, 0.5, 0,5, 2 s or 2".
type seconds float64

// UnmarshalText reads the time.
func (s *seconds) UnmarshalText(text []byte) error {
	t := strings.TrimRight(strings.ToLower(strings.TrimSpace(string(text))), `second." `)
	t = strings.Replace(t, ",", ".", 1)
	over, under, isFraction := strings.Cut(t, "/")
	v, err := strconv.ParseFloat(strings.TrimSpace(over), 64)
	if isFraction && err == nil {
		var d float64
		d, err = strconv.ParseFloat(strings.TrimSpace(under), 64)
		v /= d
	}
	const longest, shortest = 86400, 1e-6 // a day, and faster than any shutter
	if err != nil || !(v >= shortest && v <= longest) {
		return fmt.Errorf("%q is not an exposure time like 1/30 or 0.5, in seconds", text)
	}
	*s = seconds(v)
	return nil
}

// fNumber is an aperture: 4, f/4, F4 or 5,6.
type fNumber float64

// UnmarshalText reads the aperture.
func (n *fNumber) UnmarshalText(text []byte) error {
	t := strings.TrimPrefix(strings.ToLower(strings.TrimSpace(string(text))), "f")
	t = strings.Replace(strings.TrimSpace(strings.TrimPrefix(t, "/")), ",", ".", 1)
	v, err := strconv.ParseFloat(t, 64)
	const widest, smallest = 0.3, 512
	if err != nil || math.IsNaN(v) || v < widest || v > smallest {
		return fmt.Errorf("%q is not an aperture like 4 or f/4", text)
	}
	*n = fNumber(v)
	return nil
}
