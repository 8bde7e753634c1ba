package rules

import (
	"slices"
	"testing"
	"time"
)

// TestWhatASettingLeaves: of a shift that is left, the side, and whether it is still the
// one that the verdict was about; of the shadows where it matters more there.
func TestWhatASettingLeaves(t *testing.T) {
	for _, c := range []struct {
		kind           faultKind
		darker         bool
		whole, shadows float64
		want           string
	}{
		{faultOfWhole, true, 0.04, 0, ""},
		{faultOfWhole, true, 0.05, 0, "It would still print less than ⅛ stop darker."},
		{faultOfWhole, true, 0.25, 0.3, "It would still print about ¼ stop darker."},
		{faultOfWhole, true, -0.25, 0, "It would then print about ¼ stop lighter."},
		{faultOfWhole, false, -0.25, 0, "It would still print about ¼ stop lighter."},
		{faultOfWhole, false, 0.25, 0, "It would then print about ¼ stop darker."},
		{faultOfWhole, true, 0.25, 0.35, "The shadows would still print about ⅓ stop darker."},
		{faultOfWhole, true, 0.5, 0.45, "It would still print about ½ stop darker."},
		{faultOfWhole, false, -0.25, -0.35, "The shadows would still print about ⅓ stop lighter."},
		{faultOfWhole, true, 0.1, -0.35, "The shadows would then print about ⅓ stop lighter."},
		{faultOfWhole, false, -0.1, 0.35, "The shadows would then print about ⅓ stop darker."},
		{faultOfWhole, true, 0.25, nan, "It would still print about ¼ stop darker."},
		{faultOfShadows, true, 0.01, 0.06, "The shadows would still print less than ⅛ stop darker."},
		{faultOfShadows, true, 0.01, 0.04, ""},
	} {
		f := &fault{kind: c.kind, darker: c.darker, quiet: Quiet{Noticeable: 0.15, Clear: 0.33}}
		if got := f.shiftLeftText(c.whole, c.shadows); got != c.want {
			t.Errorf("whole %+.2f, shadows %+.2f of a print that was darker: %v: %q, want %q", c.whole, c.shadows, c.darker, got, c.want)
		}
	}
}

// TestSettingsAreExplained: a value outside of its own target, and a condition that is
// changed in its target, are owned up to; and two settings or more said to belong together.
func TestSettingsAreExplained(t *testing.T) {
	c := Resolve(tidemark(white(110)), noon)
	f := &fault{c: &c, darker: true, quiet: tidemark().Quiet}
	screen, _ := kindOf(ScreenLuminance)
	lamp, _ := kindOf(RoomLight)
	surround, _ := kindOf(SurroundGrey)
	for _, tt := range []struct {
		name  string
		o     option
		wants []string
		lacks []string
	}{
		{"in the target", option{changes: []change{{screen, 100}}, shadows: nan},
			[]string{"Set the screen's white to about 100 cd/m².", "And so on."}, []string{bothText, everythingText}},
		{"at its end", option{changes: []change{{screen, 90}}, shadows: nan}, nil,
			[]string{"That is outside your target of 90–120, where your reference is."}},
		{"outside of it", option{changes: []change{{screen, 80}}, shadows: nan},
			[]string{"That is outside your target of 90–120, where your reference is."}, nil},
		{"for want of another", option{changes: []change{{screen, 100}}, wanting: true, shadows: nan},
			[]string{"It is in its target at 110 cd/m², but nothing outside of its own would be enough."}, nil},
		{"two", option{changes: []change{{screen, 100}, {lamp, 40}}, shadows: nan},
			[]string{bothText, "Dim the room light to about 40 lx at the screen."}, []string{everythingText}},
		{"three", option{changes: []change{{screen, 100}, {lamp, 60}, {surround, 0.2}}, shadows: nan},
			[]string{everythingText, "Bring the room light up to about 60 lx at the screen."}, []string{bothText}},
	} {
		got := said(f.settingSteps(tt.o, []string{"And so on."})...)
		for _, s := range tt.wants {
			if !slices.Contains(got, s) {
				t.Errorf("%s: %q lacks %q", tt.name, got, s)
			}
		}
		for _, s := range tt.lacks {
			if slices.Contains(got, s) {
				t.Errorf("%s: %q says %q", tt.name, got, s)
			}
		}
	}
}

// TestLightsThatMayBeAskedFor: no lamp is asked for beyond 300 lx where prints hang, and
// beyond 1000 lx where they are judged.
func TestLightsThatMayBeAskedFor(t *testing.T) {
	p := tidemark(func(p *Profile) { p.Judged = Beside })
	p.Viewings[0].Light, p.Viewings[0].Mat = Stated[Lux](70), Stated(GreyMat)
	c := Resolve(p, noon)
	r := Evaluate(p, exportOf(quay()), noon)
	r.Verdict = Holds
	for _, tt := range []struct {
		lux    Figure
		judged bool
		want   bool
	}{{299, false, true}, {300, false, true}, {300.5, false, false}, {300.5, true, true}, {1001, true, false}} {
		r.Prediction.Match.Now = tt.lux
		h := hung{c: &c, paper: p.Papers[0], viewing: p.Viewings[0], judged: tt.judged}
		if _, ok := h.light(r); ok != tt.want {
			t.Errorf("%g lx, judged there: %v: asked for: %v", float64(tt.lux), tt.judged, ok)
		}
	}
}

// TestConditionLines: how much is known of a condition is in its sentence.
func TestConditionLines(t *testing.T) {
	hot := Condition{Name: ScreenLuminance, Unit: "cd/m²", Value: 118, Target: [2]Figure{90, 120}, InTarget: true, AgeHours: 24, Source: "measured"}
	for _, c := range []struct {
		change func(*Condition)
		want   string
	}{
		{func(*Condition) {}, "The screen is right: 118 cd/m² (target 90–120)"},
		{func(k *Condition) { k.Value, k.InTarget = 130, false }, "The screen is too bright: 130 cd/m² (target 90–120)"},
		{func(k *Condition) { k.Value, k.InTarget, k.Assumed = 130, false, true },
			"The screen is assumed to be too bright: 130 cd/m² (target 90–120)"},
		{func(k *Condition) {
			k.Value, k.InTarget, k.Source, k.SourceCode = 130, false, "nobody holds it", SourcePredicted
		},
			"The screen is too bright: probably 130 cd/m² (target 90–120); nobody holds it"},
	} {
		k := hot
		c.change(&k)
		if got := conditionLine(k); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// TestRoomIsFarOut: twice the limit, three lives, or no reading at all.
func TestRoomIsFarOut(t *testing.T) {
	target := Target{Room: 64}
	for _, c := range []struct {
		c    Condition
		want bool
	}{
		{Condition{Value: 128, Lives: 3}, false}, {Condition{Value: 128.5}, true}, {Condition{Value: 40, Lives: 3.01}, true},
		{Condition{Value: 40, Assumed: true}, true}, {Condition{Value: 0}, false},
	} {
		if got := roomIsFarOut(c.c, target); got != c.want {
			t.Errorf("%+v: far out: %v", c.c, got)
		}
	}
}

// TestDaysSince: whole and half days; a day ahead of now counts as now, and none as unknown.
func TestDaysSince(t *testing.T) {
	near(t, "half a day", daysSince(noon.Add(-12*time.Hour), noon), 0.5, 1e-12)
	near(t, "a month", daysSince(noon.AddDate(0, 0, -30), noon), 30, 1e-12)
	near(t, "tomorrow", daysSince(noon.Add(24*time.Hour), noon), 0, 0)
	if got := daysSince(time.Time{}, noon); got == got { // NaN
		t.Errorf("an unknown day was %v days ago", got)
	}
}
