package journal

import "lampblack/rules"

// slim is a report without its curves, which are half of its length: 81 tones
// against the targets, and as many against the print. What they come to is in the
// shifts, and outcomes are learnt from those alone; a curve that is wanted again
// is drawn again from the file. Lines with curves, as they were once written, are
// read as they are.
func slim(r *rules.Report) *rules.Report {
	if r == nil {
		return nil
	}
	s := *r
	s.Prediction.Targets.Curve, s.Prediction.Viewing.Curve = nil, nil
	return &s
}
