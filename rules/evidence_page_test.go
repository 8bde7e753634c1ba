package rules

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"
)

const evidencePage = "EVIDENCE.md"

// TestEvidencePage: EVIDENCE.md is what the rules say today.
func TestEvidencePage(t *testing.T) {
	page := evidenceText(t)
	if *update {
		if err := os.WriteFile(evidencePage, []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(evidencePage)
	if err != nil {
		t.Fatal(err)
	}
	was, is := strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n"), strings.Split(page, "\n")
	for i := range max(len(was), len(is)) {
		if i >= len(was) || i >= len(is) || was[i] != is[i] {
			t.Fatalf("%s is stale from line %d on; write it with `go test -run Evidence ./rules -update` and look at the difference\nit has  %q\nit needs %q",
				evidencePage, i+1, lineOf(was, i), lineOf(is, i))
		}
	}
}

func lineOf(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return ""
}

// evidenceText is the page.
func evidenceText(t *testing.T) string {
	t.Helper()
	results, reasons := evidenceResults(t), outsideReasons(t)
	var b strings.Builder
	b.WriteString(evidenceOpening(t, results))
	b.WriteString(summaryTable(results))
	for _, r := range results {
		b.WriteString(r.section(reasons[r.name]))
		if r.Quantity == "contrast" {
			b.WriteString(strengthText(t))
		}
	}
	b.WriteString("\n## Rules of the trade\n\nEverybody who prints knows them and nobody has measured them. A rule that the model doesn't meet stays here.\n\n")
	b.WriteString(tradeTable())
	return b.String()
}

// evidenceOpening is for somebody who doubts that any of this can be computed.
func evidenceOpening(t *testing.T, results []evidenceResult) string {
	inside, rows := 0, 0
	least, most := results[0].rms(), results[0].rms()
	for _, r := range results {
		inside, rows = inside+r.inside(), rows+len(r.rows)
		least, most = min(least, r.rms()), max(most, r.rms())
	}
	low, high := scatter(t)
	return fmt.Sprintf(`# Does it see what people see?

Written by the test beside it (`+"`go test -run Evidence ./rules -update`"+`); it fails when this page is stale, or when a figure gets worse.

Whoever doubts that the look of a print can be computed is right to. Lampblack takes CIECAM16, the formula of CIE 248:2022 for how
light and how colourful a thing looks in its surroundings, and adds what the formula leaves open: how much of a brighter white
people go on feeling (%.2f of a change where prints are judged by themselves, %.2f beside the screen), how strongly the room acts
(%.2f of the formula's own effect), and how much of the field the picture fills. This page puts %d things that people saw in published
experiments through the same code, as if each were a desk. In %d of them it says what they saw, within two standard errors or 0.15
(stop or ratio), whichever is more; the rms of a group's misses is %.2f to %.2f. For comparison, single matches of a screen with a print scatter by
%.2f to %.2f stop. So it can tell ⅓ stop from nothing, and cannot tell ⅛; that is why every prediction has a ± and a
test strip decides. Most of these experiments show plain samples on plain backgrounds, not photographs; many helped to build the formula's
forerunners, or to choose the figures that we add, and a row that is no independent test says so.

A shift is positive where a tone looks lighter in the first condition than in the second: there it gets chosen darker, and comes out
darker in the second. Had nothing been computed, every shift would be 0 and every ratio 1.

`, ByItself.unabsorbed().value, Beside.unabsorbed().value, strength.value, rows, inside, least, most, low, high)
}

// scatter is the least and the greatest standard deviation of single matches.
func scatter(t *testing.T) (low, high float64) {
	t.Helper()
	var file struct {
		Title, Unit string
		Rows        []struct {
			Y, Source string
			SD        [2]float64
		}
	}
	readEvidence(t, "scatter.json", &file)
	low, high = file.Rows[0].SD[0], file.Rows[0].SD[1]
	for _, row := range file.Rows {
		low, high = min(low, row.SD[0]), max(high, row.SD[1])
	}
	return low, high
}

// summaryTable is a line a group, beside what computing nothing would have given.
func summaryTable(results []evidenceResult) string {
	var b strings.Builder
	b.WriteString("| group | rms of the misses | inside | rms had nothing been computed | inside |\n| --- | --- | --- | --- | --- |\n")
	for _, r := range results {
		n := r.nothing()
		fmt.Fprintf(&b, "| %s | %.3f %s | %d of %d | %.3f | %d |\n", r.Title, r.rms(), r.Unit, r.inside(), len(r.rows), n.rms(), n.inside())
	}
	return b.String()
}

// section is a group on the page.
func (r evidenceResult) section(reasons map[string]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n## %s\n\n%s\nIt is %s.\n\n", r.Title, strings.Join(r.Notes, "\n")+"\n", r.Independent)
	for _, source := range r.Sources {
		fmt.Fprintf(&b, "* %s\n", source)
	}
	fmt.Fprintf(&b, "\n| situation | | seen, %s | allowed | ours | | independent | why outside |\n| --- | --- | --- | --- | --- | --- | --- | --- |\n", r.Unit)
	for _, row := range r.rows {
		word := "inside"
		if !row.inside() {
			word = "**outside**"
		}
		fmt.Fprintf(&b, "| %s | %s | %s | ±%.2f | %s | %s | %s | %s |\n", row.situation, row.label,
			r.figure(row.o.Observed), row.allowed(), r.figure(row.ours), word, r.Short, reasons[row.key()])
	}
	return b.String()
}

// figure is a number of the group: shifts have a sign, ratios have none.
func (r evidenceResult) figure(v float64) string {
	if r.Quantity == "shift" {
		return minus(fmt.Sprintf("%+.2f", v))
	}
	return fmt.Sprintf("%.2f", v)
}

// hyphen is a hyphen that stands for a minus.
var hyphen = regexp.MustCompile(`(^|[ (|])-([0-9])`)

// minus sets minus signs as words.go does.
func minus(text string) string { return hyphen.ReplaceAllString(text, "${1}−${2}") }

// strengthText tells how the strength of the room's effect was found.
func strengthText(t *testing.T) string {
	t.Helper()
	return fmt.Sprintf("\nThe strength u is the geometric mean of what meets each publication in the dark, and 1 for CIE 248:2022 itself; the standard uncertainty of ln u is %.2f.\n\n", strength.sigma) +
		strengthTable(t)
}
