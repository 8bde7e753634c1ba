package rules

import (
	"fmt"
	"testing"
	"time"
)

// TestStrangeCondition: a journal can hold one of a later version, which is still told.
func TestStrangeCondition(t *testing.T) {
	c := Condition{Name: "hum", Value: 50, Unit: "Hz", Target: [2]Figure{0, 40}}
	if got, want := conditionLine(c), "The hum is too high: 50 Hz (target up to 40)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	c.Value = Unknown
	if got, want := conditionLine(c), "The hum is not known (target up to 40)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestShownIsWhatIsRead: what is told of a value and what it is compared as are the
// same figure, also halfway between two.
func TestShownIsWhatIsRead(t *testing.T) {
	for _, c := range []struct {
		name  string
		value Figure
		shown float64
		text  string
	}{
		{ScreenLuminance, 120.5, 120, "120 cd/m²"},
		{ScreenLuminance, 121.5, 122, "122 cd/m²"},
		{WhitePoint, 6496, 6500, "6500 K"},
		{RoomLight, 0.25, 0.2, "0.2 lx"},
		{RoomLight, 9.96, 10, "10 lx"},
		{SurroundGrey, 0.305, 0.3, "30 % of white"},
		{SurroundGrey, 0.003, 0.003, "0.3 % of white"},
		{SurroundGrey, 0.00499, 0.005, "0.5 % of white"},
		{CalibrationAge, 0.9, 0, "made today"},
		{CalibrationAge, 3.9, 3, "3 days old"},
	} {
		units := map[string]string{ScreenLuminance: "cd/m²", WhitePoint: "K", RoomLight: "lx"}
		k := Condition{Name: c.name, Value: c.value, Unit: units[c.name]}
		if got := fmt.Sprint(k.Shown(), " ", valueText(k)); got != fmt.Sprint(c.shown, " ", c.text) {
			t.Errorf("%s of %g is %s, want %g %s", c.name, float64(c.value), got, c.shown, c.text)
		}
	}
	if r := (Range{90, 120}); !r.holdsShown(120.5) {
		t.Error("120.5 reads as 120, but is not in a target up to 120")
	}
}

func TestInWords(t *testing.T) {
	c := Resolve(tidemark(white(150), readAgo(92, 70*time.Minute), measured(40)), noon)
	for _, want := range []ConditionWords{
		{"Screen's white", "150 ±11 cd/m²", "90–120", "too bright", ""},
		{"White point", "6000 K", "5600–6500", "right", ""},
		{"Room light", "92 ±15 lx", "16–64", "too bright", "read at the screen 70 min ago"},
		{"Surround", "20 ±2 % of white", "15–30 %", "right", ""},
		{"Calibration age", "40 days", "up to 30 days", "due", ""},
	} {
		found := false
		for _, k := range c.List {
			if got := InWords(k); got.Name == want.Name {
				found = true
				if got != want {
					t.Errorf("in words %q, want %q", got, want)
				}
			}
		}
		if !found {
			t.Errorf("%s is not in words", want.Name)
		}
	}
}

// TestInWordsOfWhatIsAssumed: that is said once.
func TestInWordsOfWhatIsAssumed(t *testing.T) {
	c := Resolve(tidemark(room()), noon)
	if got := InWords(c.Get(RoomLight)); got.Word != "right" || got.Origin != "assumed" {
		t.Errorf("in words %q", got)
	}
}
