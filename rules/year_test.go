package rules

import (
	"flag"
	"math"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"
)

// What the test of the year is asked for.
var (
	wholeYear = flag.Bool("year", false, "let TestYear run 100 desks through every week of the year, and print the tables")
	yearGap   = flag.Duration("gap", 4*time.Hour, "the quiet.gap_minutes of the desks of TestYear")
	yearFirst = flag.Bool("first-references", false, "let the desks of TestYear have the references of the first version, 95 cd/m² and 48 lx")
	yearHalf  = flag.String("half", "both", "let -year play only the even desks, on which to tune, or only the odd ones")
	yearWeeks = flag.Int("weeks", 1, "look at one week in so many, with -year")
	yearSure  = flag.Bool("certain", false, "let TestYear take the model for certain, with the first version's share of 0.35 for everybody")
)

// yearReferences are those of a new profile, in the middle of the targets.
func yearReferences(p *Profile) {
	if !*yearFirst {
		newProfile(p)
	}
}

// yearModel is the conditions at a desk as the program knows them.
func yearModel(c Conditions) Conditions {
	if *yearSure {
		return *c.certain(firstUnabsorbed, 1)
	}
	return c
}

// yearVariant names what differs from a plain run, for its table.
func yearVariant() string {
	text := ""
	if *yearFirst {
		text += ", first references"
	}
	if *yearSure {
		text += ", model taken for certain"
	}
	return text
}

// album are the pictures that are exported: from a street at night to fog. They
// have few tones, for there is a year of them.
func album() []*Picture {
	const tones = 20
	pics := []Picture{
		coloured(graded(14, 10, tones), 4), // a street at night
		coloured(graded(22, 14, tones), 4), // a portrait in low key
		coloured(graded(30, 16, tones), 4), // a forest
		graded(34, 26, tones),              // black and white, hard
		coloured(graded(38, 18, tones), 4), // a room
		coloured(graded(42, 22, tones), 4), // the quay
		coloured(graded(50, 18, tones), 4), // a portrait
		graded(52, 20, tones),              // black and white, soft
		coloured(graded(55, 24, tones), 4), // a coast
		coloured(graded(66, 14, tones), 4), // a still life on white
		coloured(graded(78, 12, tones), 4), // snow
		coloured(graded(72, 8, tones), 4),  // fog
	}
	out := make([]*Picture, len(pics))
	for i := range pics {
		out[i] = &pics[i]
	}
	return out
}

// played is a desk after its year.
type played struct {
	place *workplace
	tally *tally
}

// simulate runs the desks of these numbers, as many at a time as there are
// processors. It looks at one week in every so many.
func simulate(numbers []int, every int) []played {
	pics := album()
	each := make([]played, len(numbers))
	var group sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, n := range numbers {
		free <- struct{}{}
		group.Go(func() {
			w := furnish(n)
			each[i] = played{w, liveThrough(w, pics, every)}
			<-free
		})
	}
	group.Wait()
	return each
}

// sum adds up the desks of which is says that they belong together.
func sum(desks []played, is func(w *workplace) bool) *tally {
	t := newTally()
	for _, d := range desks {
		if is(d.place) {
			t.add(d.tally)
		}
	}
	return t
}

// byKind adds up the desks of each kind.
func byKind(desks []played) (sums [len(kinds)]*tally) {
	for k := range sums {
		sums[k] = sum(desks, func(w *workplace) bool { return w.name == kinds[k].name })
	}
	return sums
}

// numbered are the desks from first to below end, every second one: a half.
func numbered(first, end int) []int {
	var out []int
	for n := first; n < end; n += 2 {
		out = append(out, n)
	}
	return out
}

func (t *tally) weekly(n int) float64  { return float64(n) / (float64(t.days) / 7) }
func (t *tally) monthly(n int) float64 { return float64(n) / (float64(t.days) / 30.4) }

// falseMonthly is how many notices of darker and drab a month were raised for a
// print that was fine.
func (t *tally) falseMonthly() float64 { return t.monthly(t.wrong) }

// loud are the notices of darker and drab.
func (t *tally) loud() int { return t.notices[Darker] + t.notices[Drab] }

// counts are the figures that the kept subset of the year must come to.
type counts struct{ exports, loud, unsure, wrong, dark, warned, asked int }

func (t *tally) counts() counts {
	return counts{t.exports, t.loud(), t.notices[Unsure], t.wrong, t.dark, t.warned, t.asked}
}

// TestYear is a year at the desk: invented people, the real model. What it is
// good for is the comparison: a change of a default that makes Lampblack nag, or
// makes it miss what it used to see, shows here. Whoever means such a change runs
// it with -year as well, and with -update, which writes the new tables into YEAR.md.
//
// Every run is the same, up to how a processor rounds.
func TestYear(t *testing.T) {
	if *wholeYear {
		for half, name := range []string{"even desks", "odd desks"} {
			if *yearHalf != "both" && !strings.HasPrefix(name, *yearHalf) {
				continue
			}
			text := yearText(simulate(numbered(half, 100), *yearWeeks))
			t.Log(name + "\n" + text)
			if *update {
				writeSection(t, yearPage, name+yearVariant(), text)
			}
		}
		return
	}
	desks := simulate(numbered(17, 32), 6)
	t.Log("eight desks, one week in six\n" + yearText(desks))
	sums := byKind(desks)
	for k, want := range [len(kinds)]counts{
		{exports: 7157, unsure: 11},
		{exports: 3028, loud: 6, unsure: 92, wrong: 1, dark: 207, warned: 29, asked: 178},
		{exports: 3932, loud: 46, unsure: 74, wrong: 9, dark: 759, warned: 490, asked: 268},
		{exports: 7924, unsure: 54, dark: 49, asked: 45},
	} {
		if got := sums[k].counts(); !got.about(want) {
			t.Errorf("%s:\n got %+v\nwant %+v", kinds[k].name, got, want)
		}
	}
	if monthly := sums[0].falseMonthly(); monthly > 1 {
		t.Errorf("the well-kept desks get %.1f false notices a month: more than one is nagging", monthly)
	}
}

// about allows for a few samples on the other side of a threshold: other
// processors multiply and add in one rounding.
func (c counts) about(want counts) bool {
	near := func(got, want int) bool { return math.Abs(float64(got-want)) <= 2+0.02*float64(want) }
	return c.exports == want.exports && near(c.loud, want.loud) && near(c.unsure, want.unsure) && near(c.wrong, want.wrong) &&
		near(c.dark, want.dark) && near(c.warned, want.warned) && near(c.asked, want.asked)
}

// TestInShort: the simulation's shorter way comes to the same as Evaluate.
func TestInShort(t *testing.T) {
	r := seeded(17)
	warns := 0
	for range 40 {
		p, pic := randomDesk(r), randomPicture(r)
		want := Evaluate(p, exportOf(pic), noon)
		got := inShort(p, &pic, noon)
		if got.Verdict != want.Verdict || got.Purpose != want.Purpose {
			t.Errorf("%s for %s, Evaluate says %s for %s", got.Verdict, got.Purpose, want.Verdict, want.Purpose)
		}
		if !want.Verdict.Warns() {
			continue
		}
		warns++
		if got.About() != want.About() {
			t.Errorf("%s about %q, Evaluate says about %q", got.Verdict, got.About(), want.About())
		}
	}
	if warns < 10 {
		t.Errorf("only %d of 40 desks warn: this test compares too little", warns)
	}
}
