package rules

import (
	"slices"
	"testing"
)

// TestContrastIsTold: a contrast is told with its doubt, has no target to miss, and
// asks for nothing.
func TestContrastIsTold(t *testing.T) {
	contrast := func(v float64) func(*Profile) {
		return func(p *Profile) { p.Displays[0].Contrast = Stated(v) }
	}
	for _, tt := range []struct {
		change func(*Profile)
		line   string
		words  ConditionWords
	}{
		{contrast(900), "The screen's contrast is 900 : 1", ConditionWords{"Screen contrast", "900 ±90 : 1", "", "", ""}},
		{contrast(1000000), "The screen's contrast is 1000000 : 1", ConditionWords{"Screen contrast", "1000000 ±100000 : 1", "", "", ""}},
		{func(p *Profile) { p.Displays[0].Contrast = Assume(1234.0) }, "The screen's contrast is assumed to be 1200 : 1",
			ConditionWords{"Screen contrast", "1200 ±123 : 1", "", "", "assumed"}},
	} {
		c := Resolve(tidemark(tt.change), noon)
		k := c.Get(ScreenContrast)
		if got := conditionLine(k); got != tt.line {
			t.Errorf("%q, want %q", got, tt.line)
		}
		if got := InWords(k); got != tt.words {
			t.Errorf("%q, want %q", got, tt.words)
		}
		if k.HasTarget() || !k.InTarget || k.isPressing() || c.far != "" {
			t.Errorf("%+v asks for something", k)
		}
		if got := deskHeadline(&c); got != "The desk is as it should be" {
			t.Errorf("%q, though it is told only", got)
		}
	}
	r := evaluated(contrast(50), white(200))
	if r.Cause(ScreenContrast).Known() || slices.ContainsFunc(r.Remedies, func(m Remedy) bool { return m.Name == ScreenContrast }) {
		t.Errorf("it is a cause or has a remedy: %v, %v", r.Causes, r.Remedies)
	}
}

// TestContrastOfAnOldExport: a contrast is the same now and at the targets; that
// which an old export was judged with is put back, where the export knows it.
func TestContrastOfAnOldExport(t *testing.T) {
	then := tidemark(func(p *Profile) { p.Displays[0].Contrast = Stated(200.0) })
	today := tidemark()
	r := Evaluate(then, exportOf(quay()), noon)
	c := judgedIn(today, r)
	if now, should := c.now(), c.reference(); now.screen.Contrast != 200 || should.screen.Contrast != 200 {
		t.Errorf("judged at a contrast of %g and %g", now.screen.Contrast, should.screen.Contrast)
	}
	r.Conditions = slices.DeleteFunc(r.Conditions, func(k Condition) bool { return k.Name == ScreenContrast })
	c = judgedIn(today, r)
	if now := c.now(); now.screen.Contrast != 900 {
		t.Errorf("an export that knows none was judged at %g", now.screen.Contrast)
	}
	r.Conditions = append(r.Conditions, Condition{Name: ScreenContrast, Value: 0})
	c = judgedIn(today, r)
	if now := c.now(); now.screen.Contrast != leastContrast {
		t.Errorf("a contrast of none was taken as %g", now.screen.Contrast)
	}
}
