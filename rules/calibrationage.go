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
		stands: stands{
			isRight:   {"good", "The calibration is good"},
			isTooHigh: {"due", "The calibration is due"},
			isUnknown: {"not known", "It isn't known when the screen was calibrated"},
		},
		is:      "The calibration is {value}",
		shown:   math.Floor, // it is 3 days old all day
		value:   calibrationText,
		seen:    daysText,
		target:  func(_, high float64) string { return fillIn("up to {days}", "days", plural(high, "day")) },
		measure: "Calibrating the screen now would take away much of the doubt.",
	},

	resolve: resolveCalibration,
	// An unknown day is no proof of age: its uncertainty speaks for it.
	far: func(k Condition, t Target) bool { return float64(k.Value) > 3*t.RecalibrateDays },

	allowed: func(t Target) Range { return Range{0, t.RecalibrateDays} },
	// It moves no central value (it widens the uncertainty), so its share is
	// nothing; it is listed so that nobody looks for it in vain.
	departures: []departure{{name: CalibrationAge}},
	why:        "An old calibration doesn't darken a print, but the screen may have drifted since.",
	doubt:      doubtOfCalibration,
	settle:     func(c *Conditions, _ *Report) Remedy { return measureScreen(c) },
}

func resolveCalibration(at moment, c *Conditions, k *Condition) {
	days := daysSince(at.display.Measured.Value, at.now)
	k.Value, k.AgeHours = Figure(days), Figure(24*days)
	k.InTarget = math.Floor(days) <= c.target.RecalibrateDays // in whole days, as it is shown; unknown: false
	k.Assumed = math.IsNaN(days)
	k.from(SourceProfile, "from the profile")
	if k.Assumed {
		k.from(SourceDayNotKnown, "it isn't known when the screen was calibrated")
	}
}

func calibrationText(days float64) string {
	if days < 1 {
		return "made today"
	}
	return fillIn("{days} old", "days", daysText(days))
}

func daysText(days float64) string {
	if days < 1 {
		return "less than a day"
	}
	return plural(math.Floor(days), "day")
}

// doubtOfCalibration is about a white that somebody has measured, some time.
func doubtOfCalibration(_ *Report, k Condition) string {
	switch {
	case !k.AgeHours.Known():
		return "it isn't known when the screen was calibrated"
	case k.InTarget:
		return "it is close, and depends on the screen's white"
	default:
		return fillIn("the screen was calibrated {age} ago", "age", daysText(float64(k.AgeHours)/24))
	}
}
