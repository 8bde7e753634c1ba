package rules

import (
	"encoding/json"
	"math"
	"regexp"
	"strings"
	"testing"

	"lampblack/rules/colour"
)

// raisedBy is a picture whose tones a curve in L* has brought up by so much at its middle.
func raisedBy(pic Picture, d float64) Picture {
	out := pic
	out.Tones, out.MeanY = nil, 0
	for _, t := range pic.Tones {
		l := colour.Lightness(t.Y)
		y := colour.FromLightness(l + 4*d*(l/100)*(1-l/100))
		out.Tones = append(out.Tones, Tone{y, t.Share})
		out.MeanY += y * t.Share
	}
	return out
}

// exportedAfter is the report on a picture that was exported to a path after another.
func exportedAfter(before *Report, pic Picture, changes ...func(*Profile)) *Report {
	e := exportOf(pic)
	e.Before = before.Gist
	return Evaluate(tidemark(changes...), e, noon)
}

// TestRaiseAnswers: a file that is raised after its notice by what it would print dark by
// holds, whatever the model makes of its new tones, and there is no second notice; half of
// it leaves half, and twice as much makes the print light.
func TestRaiseAnswers(t *testing.T) {
	for _, c := range []struct {
		white   Luminance
		share   float64
		verdict Verdict
		says    string
	}{
		{160, 1, Holds, "Should hold: you raised it by about 0.[345]5? stop; that answers it"},
		{200, 0.5, Darker, "Likely dark: you raised it by about 0.[234]5? stop; that answers half of it, and leaves it about 0.[234]5? stop darker( in the shadows)?"},
	} {
		desk := white(c.white)
		first := evaluated(desk)
		if first.Verdict != Darker || first.Raised.Known() || first.Gist == nil || !first.Gist.Dark {
			t.Fatalf("%s, raised %v, %+v", first.Verdict, first.Raised, first.Gist)
		}
		needed := float64(first.Whole())
		d := curveFor(c.share * needed)
		r := exportedAfter(first, raisedBy(quay(), d), desk)
		near(t, "what is left", float64(r.Whole()), (1-c.share)*needed, 0.03)
		near(t, "the shift of what was judged", float64(r.Prediction.Targets.Shift.Whole), float64(first.Prediction.Targets.Shift.Whole), 0.02)
		if r.Verdict != c.verdict || !regexp.MustCompile("^"+c.says+"$").MatchString(Headline(r)) {
			t.Errorf("raised by %.0f %%: %q", 100*c.share, Headline(r))
		}
		if got := Decide(r, tidemark().Quiet, History{}, noon); got != (Sentence{SilenceRaised, raisedText(r)}) {
			t.Errorf("raised by %.0f %%: silent because %q", 100*c.share, got)
		}
		if again := exportedAfter(r, raisedBy(quay(), d), desk); math.Abs(float64(again.Raised-r.Raised)) > 1e-9 || again.Verdict != r.Verdict {
			t.Errorf("exported once more it is raised by %v and %s, was by %v and %s", again.Raised, again.Verdict, r.Raised, r.Verdict)
		}
		if words := strings.Join(Lines(r), "\n"); !strings.Contains(words, "That is of the picture as you judged it. The file was raised by about ") {
			t.Errorf("explained:\n%s", words)
		}
	}
}

// raisedWhole is by how much that curve raises the whole picture, in stops.
func raisedWhole(pic Picture, d float64) float64 {
	var sum, weight float64
	up := raisedBy(pic, d)
	for i, t := range pic.Tones {
		if t.Y >= leastTone {
			sum += t.Share * math.Log2(up.Tones[i].Y/t.Y)
			weight += t.Share
		}
	}
	return sum / weight
}

// curveFor is the strength of that curve that raises the quay by so many stops.
func curveFor(stops float64) (d float64) {
	for d < 30 && raisedWhole(quay(), d) < stops {
		d += 0.02
	}
	return d
}

// TestObeyedTwice: what is advised of a file that was raised is what is left, so that who
// obeys again and again raises it once.
func TestObeyedTwice(t *testing.T) {
	desk := white(160)
	r, total := evaluated(desk), 0.0
	for range 4 {
		more := r.offered(RaiseFile)
		if !(float64(more.Value) >= leastChange) {
			break
		}
		d := curveFor(total + float64(more.Value))
		total = raisedWhole(quay(), d)
		r = exportedAfter(r, raisedBy(quay(), d), desk)
	}
	if needed := float64(evaluated(desk).Whole()); r.Verdict != Holds || !(total < 1.2*needed) {
		t.Errorf("raised by %.2f in all against %.2f: %s", total, needed, Headline(r))
	}
}

// TestRaisedBeyond: who raises by more than it takes is told so, and not warned.
func TestRaisedBeyond(t *testing.T) {
	desk := white(160)
	r := exportedAfter(evaluated(desk), raisedBy(quay(), 16), desk)
	if !(r.Whole() < 0) || r.Verdict.Warns() || r.Verdict == Lighter && !strings.Contains(Headline(r), "is more than it takes, and makes it about ") {
		t.Errorf("%s, left %v: %q", r.Verdict, r.Whole(), Headline(r))
	}
}

// TestJudgedAnew: at a desk put right since, a brighter file was judged anew, and nothing
// is taken off; nor of one that had not been warned of, or that goes to the screen.
func TestJudgedAnew(t *testing.T) {
	up := raisedBy(quay(), 6)
	if r := exportedAfter(evaluated(white(160)), up); r.Raised.Known() || r.Verdict != Holds || r.Gist.Dark || r.Prediction.Targets.Left != nil {
		t.Errorf("with the screen put right: raised by %v, %s", r.Raised, r.Verdict)
	}
	if r := exportedAfter(evaluated(), up, white(160)); r.Raised.Known() || r.Verdict != Darker {
		t.Errorf("not warned of before: raised by %v, %s", r.Raised, r.Verdict)
	}
	e := exportOf(up)
	e.Before, e.Folder.Purpose = evaluated(white(160)).Gist, ForScreen
	if r := Evaluate(tidemark(white(160)), e, noon); r.Raised.Known() {
		t.Errorf("for the screen: raised by %v", r.Raised)
	}
}

// TestRaisedAgainstAnother: a raise against the screen's white is no answer to a white
// surround or a dark room: of that there is a notice.
func TestRaisedAgainstAnother(t *testing.T) {
	first := evaluated(white(135))
	r := exportedAfter(first, raisedBy(quay(), 3), white(110), lux(6), around(0.02))
	if r.Verdict != Darker || !r.WasRaised() || r.About() == first.About() {
		t.Fatalf("%s about %q, raised by %v: this shows nothing", r.Verdict, r.About(), r.Raised)
	}
	if got := Decide(r, tidemark().Quiet, History{}, noon); got != (Sentence{}) {
		t.Errorf("silent because %q", got)
	}
}

// TestRaisedAndDrab: a raise brings back no colours. What stays is told beside it, and is
// no second notice about the same screen.
func TestRaisedAndDrab(t *testing.T) {
	desk := white(260)
	first := evaluated(desk)
	r := exportedAfter(first, raisedBy(quay(), curveFor(float64(first.Whole()))), desk)
	if first.Verdict != Darker || r.Verdict != Drab || r.About() != first.About() {
		t.Fatalf("%s, then %s about %q: this shows nothing", first.Verdict, r.Verdict, r.About())
	}
	if got := Headline(r); !regexp.MustCompile(`^Likely drab: you raised it by about .* stop; that answers it, but not what it loses: about `).MatchString(got) {
		t.Errorf("%q", got)
	}
	if got := Decide(r, tidemark().Quiet, History{}, noon); got != (Sentence{SilenceRaised, raisedText(r)}) {
		t.Errorf("silent because %q", got)
	}
	r.Main = RoomLight // the loss is laid to another condition than the darkness was
	if got := Decide(r, tidemark().Quiet, History{}, noon); got != (Sentence{SilenceRaised, raisedText(r)}) {
		t.Errorf("of another condition, silent because %q", got)
	}
	r.Verdict, r.Main, r.Unsettled = Unsure, "", RoomLight
	if got := Decide(r, tidemark().Quiet, History{}, noon); got != (Sentence{}) {
		t.Errorf("with a measurement missing, silent because %q", got)
	}
}

// TestRaiseTeaches: three prints of files that were raised and then came out as judged
// teach that the model was right, and not that raising makes it wrong.
func TestRaiseTeaches(t *testing.T) {
	desk := white(160)
	first := evaluated(desk)
	r := exportedAfter(first, raisedBy(quay(), curveFor(float64(first.Whole()))), desk)
	t1 := r.Prediction.Targets
	found := 0 + float64(t1.Shift.Whole-t1.Left.Whole) // as judged, and the raise
	print := Judged{noon, Stops(t1.Shift.Whole - t1.Unabsorbed), Stops(t1.WhiteChange), Stops(found)}
	l := Learn([]Judged{print, print, print}, JudgedUnsaid)
	near(t, "bias", l.Bias, 0, 0.02)
	near(t, "gain", l.Gain, 1, 0.05)
}

// TestRaisedJSON: the report says by how much, null when the file was not raised; what is
// left stands beside the shift only where it was.
func TestRaisedJSON(t *testing.T) {
	first := evaluated(white(160))
	for _, c := range []struct {
		report *Report
		want   string
		left   bool
	}{{first, `"raised_stops":null`, false}, {exportedAfter(first, raisedBy(quay(), 5), white(160)), `"raised_stops":0.3`, true}} {
		text, err := json.Marshal(c.report)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(text), c.want) || strings.Count(string(text), `"left_stops":{"shadows":`) != map[bool]int{true: 2}[c.left] {
			t.Errorf("want %s in %s", c.want, text)
		}
	}
	var older Report
	if err := json.Unmarshal([]byte(`{"prediction":{"targets":{"shift_stops":{"whole":0.3}}}}`), &older); err != nil {
		t.Fatal(err)
	}
	if a := older.Prediction.Targets; older.WasRaised() || a.WhiteChange.Known() || a.Unabsorbed.Known() || a.Contrast.Known() {
		t.Errorf("an older report reads as %+v", older)
	}
}

// TestRaiseTakenOff: whatever way of raising explains a picture, taking it off gives back
// the tones from before, to an L* or so, and never a tone lighter than it is.
func TestRaiseTakenOff(t *testing.T) {
	r := seeded(91)
	for range 100 {
		pic := randomPicture(r)
		pic.Width, pic.Height = 600, 400
		before := gistOf(&pic)
		before.Dark = true
		way := raises[r.IntN(len(raises))]
		strength := (0.2 + 0.6*r.Float64()) * way.most
		up := pic
		up.Tones = nil
		for _, tone := range pic.Tones {
			up.Tones = append(up.Tones, Tone{colour.FromLightness(way.up(colour.Lightness(tone.Y), strength)), tone.Share})
		}
		got, is := raiseOf(before, &up)
		want := math.Log2(colour.FromLightness(way.up(colour.Lightness(midGrey), strength)) / midGrey)
		if !is {
			if want >= leastRaise+0.1 && want <= mostRecognised-0.1 {
				t.Errorf("a raise by %.2f is not seen", want)
			}
			continue
		}
		judged, by := got.takenOff(up)
		for i, tone := range judged.Tones {
			l, now := colour.Lightness(tone.Y), colour.Lightness(up.Tones[i].Y)
			if l > now+1e-9 || now < 99.9 && math.Abs(l-colour.Lightness(pic.Tones[i].Y)) > 2.5 {
				t.Errorf("L* %.1f, raised to %.1f, is taken for %.1f", colour.Lightness(pic.Tones[i].Y), now, l)
			}
		}
		if !(by.whole >= 0) || math.IsNaN(by.shadows+by.midtones+by.highlights) {
			t.Errorf("raised by %+v", by)
		}
	}
}

// TestStrangeGists: a damaged line of the journal explains nothing and breaks nothing.
func TestStrangeGists(t *testing.T) {
	pic := quay()
	for _, l := range [][9]float64{{}, {100, 90, 80, 70, 60, 50, 40, 30, 20}, {-1e300, 0, 1e300}, {math.NaN()}, {math.Inf(1)}} {
		if r, is := raiseOf(&Gist{Width: pic.Width, Height: pic.Height, Lightness: l, Dark: true}, &pic); is {
			t.Errorf("%v: raised by %.2f", l, r.mid)
		}
	}
	if _, is := raiseOf(&Gist{Dark: true}, &Picture{}); is {
		t.Error("no picture at all was raised")
	}
}
