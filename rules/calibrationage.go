package rules

import "math"

// How long ago the editing display was calibrated.

// CalibrationAge is the name of the condition, and of the cause.
const CalibrationAge = "calibration age"

var calibrationAge = kind{
	name:  CalibrationAge,
	unit:  Unit{Symbol: "days", ASCII: "days", Typed: []string{"days", "day"}},
	scale: &Scale{From: 0, To: 90, Ticks: []float64{0, 30, 60, 90, 180, 365, 730}},
	isAge: true,
	words: wording{
		subject: "the calibration",
		low:     "due", high: "due", right: "good", unknown: "of unknown age",
		shown:  math.Floor, // it is 3 days old all day
		value:  func(v float64) string { return calibrationText(v, " old") },
		seen:   func(v float64) string { return calibrationText(v, "") },
		target: func(_, high float64) string { return "up to " + plural(high, "day") },
	},

	resolve: resolveCalibration,
	// An unknown day is no proof of age: its uncertainty speaks for it.
	far: func(k Condition, t Target) bool { return float64(k.Value) > 3*t.RecalibrateDays },

	allowed: func(t Target) Range { return Range{0, t.RecalibrateDays} },
	// It moves no central value (it widens the uncertainty), so its share is
	// nothing; it is listed so that nobody looks for it in vain.
	departures: []departure{{name: CalibrationAge}},
	why:        "The age of the calibration moves nothing by itself, but nobody knows what has moved since.",
	doubt:      doubtOfCalibration,
	settle:     func(c *Conditions, _ *Report) Remedy { return measureScreen(c) },
}

func resolveCalibration(at moment, _ *Conditions, k *Condition) {
	days := daysSince(at.display.Measured.Value, at.now)
	k.Value, k.AgeHours = Figure(days), Figure(24*days)
	k.InTarget = math.Floor(days) <= at.profile.Target.RecalibrateDays // in whole days, as it is shown; unknown: false
	k.Assumed, k.Source = math.IsNaN(days), "from the profile"
	if k.Assumed {
		k.Source = "nobody has said when the screen was measured"
	}
}

func calibrationText(days float64, old string) string {
	if days < 1 {
		return "made today"
	}
	return plural(math.Floor(days), "day") + old
}

// doubtOfCalibration is about a white that somebody has measured, some time.
func doubtOfCalibration(_ *Report, k Condition) string {
	switch {
	case !k.AgeHours.Known():
		return "nobody has said when the screen was measured"
	case k.InTarget:
		return "it is close, and hangs on the screen's white"
	default:
		return "the screen was measured " + span(hours(k.AgeHours)) + " ago"
	}
}
