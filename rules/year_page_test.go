package rules

import (
	"fmt"
	"maps"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// YEAR.md is written by hand around sections that the tests write: a comment with the
// section's name, its text, and a comment that ends it.

const yearPage = "YEAR.md"

const sectionEnd = "<!-- end -->"

func sectionStart(name string) string { return "<!-- written by the tests: " + name + " -->\n" }

// cutSection is a page around one of its sections, and the section.
func cutSection(t *testing.T, page, name string) (before, section, after string) {
	t.Helper()
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, starts := strings.Cut(strings.ReplaceAll(string(text), "\r\n", "\n"), sectionStart(name))
	section, tail, ends := strings.Cut(rest, sectionEnd)
	if !starts || !ends {
		t.Fatalf("%s has no section %q", page, name)
	}
	return head + sectionStart(name), section, sectionEnd + tail
}

func writeSection(t *testing.T, page, name, text string) {
	t.Helper()
	before, _, after := cutSection(t, page, name)
	if err := os.WriteFile(page, []byte(before+text+after), 0o644); err != nil {
		t.Fatal(err)
	}
}

// number is one in a table, a whole one or one with decimals.
var number = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)

// sameFigures tells whether two texts have the same words, and numbers that differ by no
// more than one in their last digit: other processors multiply and add in one rounding.
func sameFigures(a, b string) bool {
	if number.ReplaceAllString(a, "#") != number.ReplaceAllString(b, "#") {
		return false
	}
	as, bs := number.FindAllString(a, -1), number.FindAllString(b, -1)
	for i := range as {
		x, _ := strconv.ParseFloat(as[i], 64)
		y, _ := strconv.ParseFloat(bs[i], 64)
		_, decimals, _ := strings.Cut(as[i], ".")
		if math.Abs(x-y) > 1.01*math.Pow(10, -float64(len(decimals))) {
			return false
		}
	}
	return true
}

// TestYearPage: the year that YEAR.md tells of was played with the figures that the rules
// have today, and its table of intervals is what they say.
func TestYearPage(t *testing.T) {
	intervals := coveredAsPublished().table()
	if *update {
		writeSection(t, yearPage, "intervals", intervals)
	}
	if _, section, _ := cutSection(t, yearPage, "intervals"); !sameFigures(section, intervals) {
		t.Errorf("the intervals of %s are stale; write them with `go test -run YearPage ./rules -update`\nit has\n%s\nit needs\n%s", yearPage, section, intervals)
	}
	for _, name := range []string{"even desks", "odd desks"} {
		if _, section, _ := cutSection(t, yearPage, name); !strings.HasPrefix(section, playedWith()) {
			was, _, _ := strings.Cut(section, "\n")
			t.Errorf("the year of the %s was played with other figures than today's; play it again, as %s says\nit has  %s\nit needs %s",
				name, yearPage, was, playedWith())
		}
	}
}

// TestSameFigures: what the page's check lets pass, and what not.
func TestSameFigures(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"| 66 % | +0.27 |", "| 67 % | +0.26 |", true},
		{"| 66 % |", "| 68 % |", false},
		{"| 0.27 |", "| 0.29 |", false},
		{"| 66 % |", "| 66 % | 1 |", false},
		{"| a 1 |", "| b 1 |", false},
	} {
		if got := sameFigures(c.a, c.b); got != c.same {
			t.Errorf("%q and %q: %v", c.a, c.b, got)
		}
	}
}

// playedWith are the figures that the year depends on most.
func playedWith() string {
	q := tidemark().Quiet
	return fmt.Sprintf("Speaks from a probability of %g; the steps count %d times inside the targets, once %g %% beyond; asks again after %.0f h, speaks again after %.0f h; learns from %d outcomes on.\n",
		q.Probability, insideTargets, 100*targetEdge, unsureGap.Hours(), yearGap.Hours(), leastTaught)
}

const yearHeader = `
| %s | desks | darker or drab, a week | unsure, a week | false, a month | at the worst desk | doubtful, a month | truly dark | warned | or asked | of what could be known |
| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
`

// row is a line of the table; of no dark print there is no share that was warned of.
func (t *tally) row(name string) string {
	either := t.warned + t.asked
	share := func(part, whole int) string {
		if whole == 0 {
			return "–"
		}
		return fmt.Sprintf("%.0f %%", 100*float64(part)/float64(whole))
	}
	return fmt.Sprintf("| %s | %d | %.1f | %.1f | %.2f | %.1f | %.1f | %.1f %% | %s | %s | %s |\n", name, t.desks,
		t.weekly(t.loud()), t.weekly(t.notices[Unsure]), t.falseMonthly(), t.worst, t.monthly(t.doubtful),
		100*float64(t.dark)/math.Max(1, float64(t.exports)), share(t.warned, t.dark), share(either, t.dark), share(either, t.dark-t.hidden))
}

// listed are counts, largest first.
func listed(m map[string]int) string {
	var parts []string
	for _, k := range slices.SortedFunc(maps.Keys(m), func(a, b string) int {
		if m[a] != m[b] {
			return m[b] - m[a]
		}
		return strings.Compare(a, b)
	}) {
		parts = append(parts, fmt.Sprintf("%d %s", m[k], k))
	}
	if parts == nil {
		return "nothing"
	}
	return strings.Join(parts, "; ")
}

// details are the counts behind a row.
func (t *tally) details(name string) string {
	return fmt.Sprintf("* %s, %d exports. Said: %s. False about: %s. Kept to itself: %s. Missed: %s.\n",
		name, t.exports, listed(t.about), listed(t.blamed), listed(t.silence), listed(t.missed))
}

// judgedAs are desks by how their people judge, and whether the profile says so.
var judgedAs = []struct {
	name   string
	judges Judging
	stated bool
}{
	{"by themselves, stated", ByItself, true},
	{"by themselves, left out", ByItself, false},
	{"beside the screen, stated", Beside, true},
	{"beside the screen, left out", Beside, false},
}

// yearText is the figures of these desks: by kind, by way of judging, and the counts.
func yearText(desks []played) string {
	var b, counts strings.Builder
	b.WriteString(playedWith())
	if *yearWeeks > 1 {
		fmt.Fprintf(&b, "Of the weeks, one in %d was looked at.\n", *yearWeeks)
	}
	fmt.Fprintf(&b, yearHeader, "desk")
	for k, s := range byKind(desks) {
		b.WriteString(s.row(kinds[k].name))
		counts.WriteString(s.details(kinds[k].name))
	}
	fmt.Fprintf(&b, yearHeader, "people judge")
	for _, j := range judgedAs {
		s := sum(desks, func(w *workplace) bool {
			return w.who.judges == j.judges && (w.profile.Judged != JudgedUnsaid) == j.stated
		})
		b.WriteString(s.row(j.name))
	}
	b.WriteString(sum(desks, func(*workplace) bool { return true }).row("**all**"))
	return b.String() + "\n" + counts.String()
}
