package rules

import (
	"math"
	"slices"
)

// fault is what a verdict finds wrong with a picture, as a question to any desk: how
// much of it would be left there? Remedies are solved by it, and measured by it.
type fault struct {
	c *Conditions
	subject
	quiet  Quiet
	should desk
	target look // of the reference, for this picture

	kind     faultKind
	darker   bool         // of a fault of lightness: the print comes out darker
	shadows  bool         // the picture has enough of them to decide a verdict
	counted  [3]bool      // of a drab print: which of its losses passed their limits
	before   float64      // how much of it there is now; not positive: none, in the middle of all that may be
	harms    harms        // all that is wrong now
	wholeNow float64      // what the person finds of the whole now, stops
	raisable bool         // raising the file, or lowering it, could answer it
	up       advisedRaise // that then
}

// faultKind is what passed its step.
type faultKind int

// The kinds of fault: of the whole picture's lightness, of its shadows' where only
// they passed theirs, or of what makes a print drab.
const (
	faultOfWhole faultKind = iota
	faultOfShadows
	faultOfLoss
)

// finding is a shift of one zone as the person finds it, and what of that can be laid to
// the desk, in stops.
type finding struct{ found, ofDesk float64 }

// faultOf is what the verdict v finds wrong; nil where it finds nothing, and where the
// picture has nothing but black.
func faultOf(c *Conditions, v Verdict, pic *Picture, q Quiet) *fault {
	f := &fault{c: c, subject: subjectOf(pic), quiet: q, should: c.reference()}
	f.shadows = shareBelow(pic.Tones, shadowL) >= leastZone
	f.target = f.should.at(pic.MeanY)
	now := c.now()
	whole, shadows := f.lightness(now)
	if math.IsNaN(whole.found) || v != Darker && v != Lighter && v != Drab {
		return nil
	}
	f.wholeNow = whole.found
	f.harms = f.harmsAt(now)
	switch {
	case v == Drab:
		f.kind = faultOfLoss
		f.counted = passed(f.lossesAt(now, f.should, q))
		f.before = f.loss(now)
	default:
		f.darker = v == Darker
		f.kind, f.before = f.ofLightness(whole.ofDesk, shadows.ofDesk)
	}
	return f
}

// ofLightness is the whole where it passed its step, else the shadows where they did;
// where neither did (a verdict is about all that the desk may be, and this is its
// middle), what is nearer to its own. The stops are positive where they are as the
// verdict says.
func (f *fault) ofLightness(whole, shadows float64) (kind faultKind, stops float64) {
	if !f.darker {
		whole, shadows = -whole, -shadows
	}
	if of := whole / float64(f.quiet.Noticeable); of <= 1 && shadows/float64(f.quiet.Clear) > of && f.shadows {
		return faultOfShadows, shadows
	}
	return faultOfWhole, whole
}

// passed tells which losses passed their limits; where none did, the greatest.
func passed(losses [3]float64) (counted [3]bool) {
	greatest := max(losses[0], losses[1], losses[2])
	for i, l := range losses {
		counted[i] = l >= 1 || l == greatest
	}
	return counted
}

// lightness is the shift of the whole and of the shadows at the desk d.
func (f *fault) lightness(d desk) (whole, shadows finding) {
	a := d.at(f.pic.MeanY)
	s := summarise(&a, &f.target, f.pic.Tones)
	whole = f.find(&s, s.whole, f.c.how.raised.whole)
	if f.shadows {
		shadows = f.find(&s, s.shadows, f.c.how.raised.shadows)
	}
	return whole, shadows
}

// find is how the person finds a zone of a file that was raised by so many stops there.
func (f *fault) find(s *summary, z zone, raised float64) (at finding) {
	at.found, at.ofDesk = f.c.how.found(z.mean(), f.c.how.unabsorbed.value*s.white-raised)
	return at
}

// aim is what a setting is solved for: nothing, where nothing is left of the fault.
// Of lightness it is in stops, positive darker.
func (f *fault) aim(d desk) float64 {
	if f.kind == faultOfLoss {
		return f.loss(d)
	}
	whole, shadows := f.lightness(d)
	if f.kind == faultOfShadows {
		return shadows.found
	}
	return whole.found
}

// loss is the greatest of the losses that count.
func (f *fault) loss(d desk) (greatest float64) {
	for i, l := range f.lossesAt(d, f.should, f.quiet) {
		if f.counted[i] {
			greatest = math.Max(greatest, l)
		}
	}
	return greatest
}

// harms are all that can be wrong with a print, each over the step from which it
// matters: the whole darker and lighter, the shadows likewise, and what makes it drab.
type harms [7]float64

func (f *fault) harmsAt(d desk) harms {
	whole, shadows := f.lightness(d)
	of, below := whole.found/float64(f.quiet.Noticeable), shadows.found/float64(f.quiet.Clear)
	l := f.lossesAt(d, f.should, f.quiet)
	return harms{of, -of, below, -below, l[lossOfColour], l[lossOfContrast], l[lossOfSteps]}
}

// worse tells that somebody would have more to put up with than before: a worse print as
// a whole, or a thing past its step that was not, or not so far. Who puts one thing
// right must not be given another.
func (h harms) worse(before harms) bool {
	const rounding = 1e-9
	for i := range h {
		if h[i] > math.Max(1, before[i])+rounding {
			return true
		}
	}
	return h.worst() > before.worst()+rounding
}

func (h harms) worst() float64 { return slices.Max(h[:]) }

// leastChange is the change, in stops, from which a remedy is worth a word.
const leastChange = 0.05

// halved tells that what is left is at most half of what there is, and that the
// difference is worth a word.
func (f *fault) halved(left float64) bool {
	return left <= f.before/2 && (f.kind == faultOfLoss || f.before-left >= leastChange)
}
