package rules

import (
	"errors"
	"fmt"
	"math"

	"lampblack/rules/light"
)

// Subject is what an exposure was metered from.
type Subject string

// The subjects. From the first two comes the light that falls on them, from the
// screen its own luminance; the last two are those of a hand-held meter that
// looks at the light and not at what it falls on.
const (
	OfPaper    Subject = "paper"
	OfGreyCard Subject = "grey card"
	OfScreen   Subject = "screen"
	OfReceptor Subject = "flat receptor"
	OfDome     Subject = "dome"
)

// sheetOf is what a sheet reflects, with one relative standard deviation (common
// practice, no source): plain white paper from recycled to coated, and grey cards as
// they are sold.
func sheetOf(of Subject) (reflectance estimate, isSheet bool) {
	switch of {
	case OfPaper:
		return estimate{0.88, 0.05}, true
	case OfGreyCard:
		return estimate{0.18, 0.06}, true
	}
	return estimate{}, false
}

// The uncertainties of metering, one standard deviation in stops (common
// practice, no source, unless said otherwise).
const (
	// A camera's meter and its ISO speed are good to a third or half of a stop
	// (from memory), K among makers and within ISO 2720 to a tenth or two, and
	// 1/60 s is 1/64 s.
	sigmaCamera   = 0.4
	sigmaReceptor = 0.25 // a hand-held meter, and what C may be (ISO 2720: 240 to 400 lx·s)
	sigmaDome     = 0.35 // the same, and that a dome sees light from all around

	sigmaToldSheet = 0.02 // of a reflectance that was measured, relative
)

// How bright a metered surface comes out in a camera's own picture. ISO 12232
// fixes the sensitivity of a camera by the exposure that gives an 18 % tone, sRGB
// code 118. So a sheet that came out at Y was exposed by log2(Y/0.18)/contrast
// stops more than the meter's rule has it. Cameras' curves are steeper than
// straight around there, and differ: the contrast is common practice, no source.
const (
	meteredY           = 0.18
	curveContrast      = 1.25
	sigmaCurveContrast = 0.25
	darkestSheet       = 0.03 // beyond these, curves differ too much
	brightestSheet     = 0.62

	evenSheet  = 0.25 // standard deviation of log2 Y up to which a sheet counts as evenly lit ...
	mixedFrame = 0.75 // ... and from which it is hardly one sheet
)

// Shot is an exposure that was found right, by a camera in automatic or by a
// meter, or the exposure of a photograph.
type Shot struct {
	light.Exposure        // as the camera was set
	Compensation   Stops  // that was asked for in it; plus is brighter
	Tones          []Tone // of the photograph as the camera wrote it; nil: only its exposure is known
}

// Metered is what a shot says about the light: an illuminance in lx, or a
// screen's luminance in cd/m². Its JSON is the interface of `meter --json`.
type Metered struct {
	Of           Subject `json:"of"`
	Value        Figure  `json:"value"`
	Unit         string  `json:"unit"`
	Low          Figure  `json:"low"`         // Value less one standard deviation ...
	High         Figure  `json:"high"`        // ... and with one more
	Sigma        Figure  `json:"uncertainty"` // relative standard uncertainty
	Aperture     Figure  `json:"aperture"`
	Seconds      Figure  `json:"seconds"`
	ISO          Figure  `json:"iso"`
	Compensation Figure  `json:"compensation_stops"`
	EV100        Figure  `json:"ev100"`       // of the exposure that the meter found right
	K            Figure  `json:"k"`           // cd/m²·s; null for a receptor
	C            Figure  `json:"c"`           // lx·s; null for a sheet or a screen
	Reflectance  Figure  `json:"reflectance"` // null when no sheet was metered
	Luminance    Figure  `json:"luminance"`   // of what filled the frame, cd/m²; null for a receptor
	Level        Figure  `json:"level"`       // mean relative luminance of the photograph; null when that told nothing
	Evenness     Figure  `json:"evenness_stops"`
}

// Meter works out the light from a shot of the subject. reflectance, 0..1, is of
// the sheet, 0 what such sheets usually have. The error says in one sentence why
// the shot tells nothing.
//
//	L = K·N²/(t·S)    E = C·N²/(t·S)    (ISO 2720)
//	E = π·L/R         for a matt sheet
func Meter(s Shot, of Subject, reflectance float64) (Metered, error) {
	m := Metered{
		Of: of, Unit: "lx",
		Aperture: Figure(s.Aperture), Seconds: Figure(s.Seconds), ISO: Figure(s.ISO),
		Compensation: Figure(s.Compensation), EV100: Figure(s.metered().EV100()),
		K: Unknown, C: Unknown, Reflectance: Unknown, Luminance: Unknown, Level: Unknown, Evenness: Unknown,
	}
	sheet, isSheet := sheetOf(of)
	switch {
	case reflectance != 0 && !isSheet:
		return Metered{}, fmt.Errorf("a reflectance belongs to paper or a grey card, not to a %s", of)
	case reflectance != 0 && !(reflectance > 0.01 && reflectance <= 1):
		return Metered{}, fmt.Errorf("a sheet reflects between 0.01 and 1 of the light, not %g", reflectance)
	case reflectance != 0:
		sheet = estimate{reflectance, sigmaToldSheet}
	}
	switch of {
	case OfReceptor:
		return m.incident(s, light.CFlat, sigmaReceptor), nil
	case OfDome:
		return m.incident(s, light.CDome330, sigmaDome), nil
	}
	l, err := m.reflected(s)
	if err != nil {
		return Metered{}, err
	}
	if isSheet {
		m.Reflectance = Figure(sheet.value)
		return m.found(float64(light.MatchingLux(Luminance(l.value), sheet.value)), math.Hypot(l.sigma, sheet.sigma)), nil
	}
	m.Unit = "cd/m²"
	return m.found(l.value, l.sigma), nil
}

// metered is the exposure that the meter found right before anybody asked for more.
func (s Shot) metered() light.Exposure {
	x := s.Exposure
	x.Seconds /= math.Exp2(float64(s.Compensation))
	return x
}

// incident is what a receptor of constant c saw.
func (m Metered) incident(s Shot, c, stops float64) Metered {
	m.C = Figure(c)
	return m.found(float64(s.metered().Illuminance(c)), stops*math.Ln2)
}

// reflected is the luminance of what filled the frame. Where the photograph can
// be looked at, how bright that came out says how right the exposure was.
func (m *Metered) reflected(s Shot) (estimate, error) {
	m.K = light.K125
	l := estimate{float64(s.metered().Luminance(light.K125)), sigmaCamera * math.Ln2}
	if s.Tones != nil {
		level, err := levelOf(s.Tones)
		if err != nil {
			return estimate{}, err
		}
		m.Level, m.Evenness = Figure(level.Y), Figure(level.stops)
		over := math.Log2(level.Y/meteredY) / curveContrast
		l.value = float64(s.Luminance(light.K125)) * math.Exp2(over)
		doubt := math.Hypot(over*sigmaCurveContrast/curveContrast, level.stops/2)
		l.sigma = math.Hypot(sigmaCamera, doubt) * math.Ln2
	}
	m.Luminance = Figure(l.value)
	return l, nil
}

// found is m with its result.
func (m Metered) found(value, sigma float64) Metered {
	m.Value, m.Sigma = Figure(value), Figure(sigma)
	m.Low, m.High = Figure(value*math.Exp(-sigma)), Figure(value*math.Exp(sigma))
	return m
}

// level is how bright a sheet came out, and how evenly.
type level struct {
	Y     float64 // mean relative luminance
	stops float64 // standard deviation of log2 Y
}

// levelOf is the level of a photograph of one plain surface, or why it can't be one.
func levelOf(tones []Tone) (level, error) {
	const black = 1e-4 // keeps the logarithm finite
	var share, sum, logs, squares float64
	for _, t := range tones {
		v := math.Log2(math.Max(t.Y, black))
		share += t.Share
		sum += t.Share * t.Y
		logs += t.Share * v
		squares += t.Share * v * v
	}
	if !(share > 0) {
		return level{}, errors.New("the photograph has no tones: take another")
	}
	mean := logs / share
	l := level{sum / share, math.Sqrt(math.Max(0, squares/share-mean*mean))}
	switch {
	case l.stops > mixedFrame:
		return level{}, errors.New("the photograph shows more than one plain surface: let the sheet, or the screen's white, fill the frame")
	case l.Y < darkestSheet:
		return level{}, errors.New("the photograph came out too dark to tell the light: take it again in automatic, without correction")
	case l.Y > brightestSheet:
		return level{}, errors.New("the photograph came out too bright to tell the light: take it again in automatic, without correction, so that the sheet comes out grey")
	}
	return l, nil
}

// Reading is m as a reading of the room light; it must be in lx.
func (m Metered) Reading() Reading {
	return Reading{Light: Lux(m.Value), Sigma: float64(m.Sigma)}
}
