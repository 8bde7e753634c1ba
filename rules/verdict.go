package rules

// judge is the verdict: what is probable enough, by the profile's own
// threshold. Unsure is what is left when neither a fault nor its absence is
// probable enough, and at least what is said when a condition is far out.
func judge(s Spread, far string, q Quiet) Verdict {
	switch {
	case s.Darker >= q.Probability:
		return Darker
	case s.Drab >= q.Probability:
		return Drab
	case far != "":
		return Unsure
	case s.Lighter >= q.Probability:
		return Lighter
	}
	// Nothing is dark and light at once: what is not off must be probable.
	if off := s.Darker + s.Lighter; 1-off < q.Probability || 1-s.Drab < q.Probability {
		return Unsure
	}
	return Holds
}

// leaning is the fault that is nearest to being probable enough.
func (s *Spread) leaning() Verdict {
	switch {
	case s.Drab > s.Darker && s.Drab > s.Lighter:
		return Drab
	case s.Lighter > s.Darker:
		return Lighter
	default:
		return Darker
	}
}

// tellingEnough is the share of all of the variance that a measurement has to take away
// to be asked for where most of the doubt is the model's own.
const tellingEnough = 0.25

// ownDoubt tells that what makes it close is the model's own uncertainty, and that no
// measurement at the desk would tell much.
func (s *Spread) ownDoubt() bool {
	return s.ModelShare > mostlyModel && (s.Measure == "" || s.Explains*s.DeskShare < tellingEnough)
}

// Warns tells whether a verdict is one that the notice is for.
func (v Verdict) Warns() bool { return v == Darker || v == Drab || v == Unsure }
