package rules

import (
	"math"
	"strings"
	"testing"

	"lampblack/rules/light"
)

// evSetting is an exposure of so many EV at ISO 100.
func evSetting(ev float64) light.Exposure {
	return light.Exposure{Aperture: 1, Seconds: math.Exp2(-ev), ISO: 100}
}

func mustMeter(t *testing.T, s Shot, of Subject, reflectance float64) Metered {
	t.Helper()
	m, err := Meter(s, of, reflectance)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The EV-to-lux table of a maker of exposure meters, ISO 100, in half stops, as
// quoted in question 5401738 of Stack Overflow ("How to convert between lux and
// exposure value"). It rounds the half stops to √2 = 1.4.
func TestPublishedTableOfLux(t *testing.T) {
	for ev, lux := range map[float64]float64{
		-1: 1.25, -0.5: 1.75, 0: 2.5, 0.5: 3.5, 1: 5, 1.5: 7, 2: 10, 2.5: 14, 3: 20, 3.5: 28, 4: 40,
	} {
		m := mustMeter(t, Shot{Exposure: evSetting(ev)}, OfReceptor, 0)
		near(t, "EV", float64(m.EV100), ev, 1e-12)
		near(t, "lux", float64(m.Value)/lux, 1, 0.011)
	}
}

// Table 3 of Wikipedia's "Exposure value" (K = 12.5, C = 250): luminance and
// illuminance at whole EV.
func TestPublishedTableOfLuminance(t *testing.T) {
	for _, r := range []struct{ ev, cdm2, lux float64 }{
		{0, 0.125, 2.5}, {3, 1, 20}, {5, 4, 80}, {6, 8, 160}, {7, 16, 320}, {8, 32, 640}, {9, 64, 1280}, {10, 128, 2560}, {12, 512, 10240}, {15, 4096, 81920},
	} {
		shot := Shot{Exposure: evSetting(r.ev)}
		near(t, "luminance", float64(mustMeter(t, shot, OfScreen, 0).Value)/r.cdm2, 1, 1e-12)
		near(t, "illuminance", float64(mustMeter(t, shot, OfReceptor, 0).Value)/r.lux, 1, 1e-12)
		// A sheet of reflectance π·K/C is where both equations agree.
		near(t, "both", float64(mustMeter(t, shot, OfPaper, math.Pi*12.5/250).Value)/r.lux, 1, 1e-12)
	}
}

// Worked examples; computed, but the sunny one, which is older than meters: an
// 18 % card in full sun is 55 900 lx by K = 12.5, in the 50 000 to 100 000 of
// handbooks.
func TestSheetsAndScreens(t *testing.T) {
	for _, c := range []struct {
		n, seconds, iso float64
		of              Subject
		reflectance     float64
		value           float64
		unit            string
	}{
		{4, 1.0 / 30, 400, OfPaper, 0, 53.55, "lx"},         // π·15/0.88
		{4, 1.0 / 30, 400, OfPaper, 0.9, 52.36, "lx"},       // π·15/0.90
		{4, 1.0 / 30, 400, OfGreyCard, 0, 261.8, "lx"},      // π·15/0.18
		{4, 1.0 / 30, 400, OfScreen, 0, 15, "cd/m²"},        // 12.5·16·30/400
		{4, 1.0 / 125, 200, OfScreen, 0, 125, "cd/m²"},      // 12.5·16·125/200
		{4, 1.0 / 30, 400, OfReceptor, 0, 300, "lx"},        // 250·1.2
		{4, 1.0 / 30, 400, OfDome, 0, 396, "lx"},            // 330·1.2
		{16, 1.0 / 100, 100, OfGreyCard, 0, 55850.5, "lx"},  // sunny
		{1.4, 1.0 / 60, 800, OfPaper, 0.9, 6.41408, "lx"},   // testdata/metering/exposure.json
		{2.8, 1.0 / 60, 1600, OfGreyCard, 0, 64.1409, "lx"}, // the same
	} {
		s := Shot{Exposure: light.Exposure{Aperture: c.n, Seconds: c.seconds, ISO: c.iso}}
		m := mustMeter(t, s, c.of, c.reflectance)
		near(t, string(c.of), float64(m.Value)/c.value, 1, 1e-4)
		if m.Unit != c.unit || m.K.Known() == m.C.Known() || m.Level.Known() {
			t.Errorf("%s: %+v", c.of, m)
		}
		near(t, "low", float64(m.Low*m.High), float64(m.Value*m.Value), 1e-6*float64(m.Value*m.Value))
		near(t, "high", math.Log(float64(m.High/m.Value)), float64(m.Sigma), 1e-12)
	}
}

// The same sheet in the same light, however the camera was corrected: what was
// asked for in addition comes out again, be it by the exposure alone or by how
// bright the sheet came out.
func TestCorrectedExposures(t *testing.T) {
	plain := Shot{Exposure: evSetting(5), Tones: []Tone{{meteredY, 1}}}
	want := float64(mustMeter(t, plain, OfPaper, 0).Value)
	for _, more := range []float64{-1, -0.5, 0.5, 1, 1.2} {
		s := plain
		s.Compensation, s.Seconds = Stops(more), plain.Seconds*math.Exp2(more)
		s.Tones = []Tone{{meteredY * math.Exp2(more*curveContrast), 1}}
		near(t, "by its level", float64(mustMeter(t, s, OfPaper, 0).Value), want, 1e-9*want)
		byLevel := mustMeter(t, s, OfPaper, 0).Sigma
		s.Compensation = 0 // a photograph exposed by hand
		near(t, "by hand", float64(mustMeter(t, s, OfPaper, 0).Value), want, 1e-9*want)
		s.Compensation, s.Tones = Stops(more), nil
		near(t, "by its exposure alone", float64(mustMeter(t, s, OfPaper, 0).Value), want, 1e-9*want)
		if byLevel <= mustMeter(t, plain, OfPaper, 0).Sigma {
			t.Errorf("%+g stops: ± %v, no more than for a sheet that came out grey", more, byLevel)
		}
	}
}

func TestShotsThatTellNothing(t *testing.T) {
	for want, c := range map[string]struct {
		tones       []Tone
		of          Subject
		reflectance float64
	}{
		"more than one plain surface": {[]Tone{{0.03, 0.5}, {0.3, 0.5}}, OfPaper, 0},
		"too dark":                    {[]Tone{{0.001, 1}}, OfPaper, 0},
		"too bright":                  {[]Tone{{0.95, 1}}, OfScreen, 0},
		"no tones":                    {[]Tone{}, OfPaper, 0},
		"not to a screen":             {nil, OfScreen, 0.5},
		"between 0.01 and 1":          {nil, OfPaper, 88},
	} {
		_, err := Meter(Shot{Exposure: evSetting(5), Tones: c.tones}, c.of, c.reflectance)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
}

func TestMeterWords(t *testing.T) {
	s := Shot{Exposure: light.Exposure{Aperture: 4, Seconds: 1.0 / 30, ISO: 400}}
	m := mustMeter(t, s, OfPaper, 0)
	if got, want := m.Headline(), "About 54 lx on the paper (40–71, ± 28 %)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	all := strings.Join(m.Explanation(), "\n")
	for _, want := range []string{"1/30 s, f/4 and ISO 400, which is EV 6.9", "K = 12.5", "ISO 2720", "π·L/R", "0.88", "± 0.4 stop, two times in three", "the meter is believed"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
	s.Compensation, s.Tones = 1, []Tone{{0.2, 0.5}, {0.4, 0.5}}
	all = strings.Join(mustMeter(t, s, OfScreen, 0).Explanation(), "\n")
	for _, want := range []string{"without the correction of +1.0", "30 % of the picture's white", "ISO 12232", "isn't even (± 0.5 stop)", "colorimeter"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
	if strings.Contains(all, "flickering") {
		t.Errorf("1/30 s is long enough:\n%s", all)
	}
	s.Seconds, s.Compensation = 1.0/125, 0
	if all = strings.Join(mustMeter(t, s, OfScreen, 0).Explanation(), "\n"); !strings.Contains(all, "flickering") {
		t.Errorf("1/125 s is short:\n%s", all)
	}
	all = strings.Join(mustMeter(t, s, OfReceptor, 0).Explanation(), "\n")
	if !strings.Contains(all, "C = 250 lx·s") || strings.Contains(all, "K =") {
		t.Errorf("of a receptor:\n%s", all)
	}
}
