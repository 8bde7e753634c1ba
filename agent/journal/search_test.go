package journal

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
)

// judged is the n-th export with a verdict and a room light.
func judged(n int, path string, v rules.Verdict, lux rules.Figure) Entry {
	e := entry(n)
	e.Path, e.Report = path, slim(report())
	e.Report.Verdict = v
	for i, c := range e.Report.Conditions {
		if c.Name == rules.RoomLight {
			e.Report.Conditions[i].Value, e.Report.Conditions[i].InTarget = lux, lux <= 64
		}
	}
	return e
}

func found(t *testing.T, dir string, f Filter) (sizes []int64, skipped int) {
	t.Helper()
	skipped, err := Search(t.Context(), dir, f, func(e Entry) error { sizes = append(sizes, e.Size); return nil })
	must(t, err)
	return sizes, skipped
}

func where(t *testing.T, text string) Where {
	t.Helper()
	w, err := ParseWhere(text, bare)
	must(t, err)
	return w
}

func TestSearch(t *testing.T) {
	dir := t.TempDir()
	unread := entry(4)
	unread.Path, unread.Unread = "/srv/tidemark/torn.jpg", `it says "verdict":"darker"`
	old := judged(5, "/srv/tidemark/prints/quay.tif", rules.Darker, 48)
	old.At = time.Date(2024, 6, 1, 0, 0, 0, 0, skarvik)
	j := open(t, dir)
	for _, e := range []Entry{
		judged(0, "/srv/tidemark/prints/Portrait.jpg", rules.Darker, 200),
		judged(1, "/srv/tidemark/web/harbour-noon.jpg", rules.Holds, 48),
		judged(2, `D:\Exports\to-print\portrait 2[1].tif`, rules.Drab, 64),
		judged(3, "/srv/tidemark/prints/fog-\xff.tif", rules.Unsure, 30),
		unread, old,
	} {
		must(t, j.Append(e))
	}
	for _, c := range []struct {
		name string
		f    Filter
		want []int64
	}{
		{"all", Filter{}, []int64{6, 1, 2, 3, 4, 5}},
		{"part of a name, in any case", Filter{Names: []string{"PORTRAIT"}}, []int64{1, 3}},
		{"part of a path", Filter{Names: []string{"tidemark/web"}}, []int64{2}},
		{"pattern of a name", Filter{Names: []string{"*.TIF"}}, []int64{6, 3, 4}},
		{"pattern of a path", Filter{Names: []string{"/srv/*/prints/*"}}, []int64{6, 1, 4}},
		{"no pattern, though it has brackets", Filter{Names: []string{"2[1]"}}, []int64{3}},
		{"a name that is no UTF-8", Filter{Names: []string{"fog-\xff"}}, []int64{4}},
		{"any of two names", Filter{Names: []string{"fog", "noon"}}, []int64{2, 4}},
		{"since", Filter{From: day.Add(3 * time.Second)}, []int64{4, 5}},
		{"before", Filter{To: day.Add(2 * time.Second)}, []int64{6, 1, 2}},
		{"between", Filter{From: day.Add(time.Second), To: day.Add(2 * time.Second)}, []int64{2}},
		{"in a year without any", Filter{From: day.AddDate(3, 0, 0)}, nil},
		{"verdict", Filter{Verdicts: []rules.Verdict{rules.Darker}}, []int64{6, 1}},
		{"either verdict", Filter{Verdicts: []rules.Verdict{rules.Drab, rules.Unread}}, []int64{3, 5}},
		{"condition", Filter{Where: []Where{where(t, "room>48")}}, []int64{1, 3}},
		{"out of target", Filter{Where: []Where{where(t, "room=out")}}, []int64{1}},
		{"all conditions", Filter{Where: []Where{where(t, "room<100"), where(t, "room>=48")}}, []int64{6, 2, 3}},
		{"everything at once", Filter{Names: []string{"portrait"}, From: day, Verdicts: []rules.Verdict{rules.Darker, rules.Drab},
			Where: []Where{where(t, "room<=64 lx")}}, []int64{3}},
	} {
		if got, skipped := found(t, dir, c.f); !reflect.DeepEqual(got, c.want) || skipped != 0 {
			t.Errorf("%s: found %v, %d skipped; want %v", c.name, got, skipped, c.want)
		}
	}
}

// A bound at new year finds what was written by another zone's calendar.
func TestSearchAcrossZones(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	early := exportAt(1, time.Date(2027, 1, 1, 0, 30, 0, 0, skarvik)) // still 2026 in UTC
	must(t, j.Append(early))
	if got, _ := found(t, dir, Filter{To: time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)}); len(got) != 1 {
		t.Errorf("before 2027 in UTC: %v", got)
	}
	if got, _ := found(t, dir, Filter{From: time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)}); len(got) != 0 {
		t.Errorf("since 2027 in UTC: %v", got)
	}
}

// TestSearchAtTheBordersOfAYear: a year is from its first moment to before the first of
// the next, in the zone of the bounds, whatever the zone of an entry, and so its file.
func TestSearchAtTheBordersOfAYear(t *testing.T) {
	zones := map[string]*time.Location{
		"UTC": time.UTC, "Skarvik": skarvik,
		"the first to have it": time.FixedZone("first", 14*3600), "the last to have it": time.FixedZone("last", -12*3600),
	}
	for of, bounds := range zones {
		for in, zone := range zones {
			dir := t.TempDir()
			j := open(t, dir)
			for n, at := range []time.Time{
				time.Date(2025, 12, 31, 23, 59, 59, 999999999, bounds),
				time.Date(2026, 1, 1, 0, 0, 0, 0, bounds),
				time.Date(2026, 12, 31, 23, 59, 59, 999999999, bounds),
				time.Date(2027, 1, 1, 0, 0, 0, 0, bounds),
			} {
				must(t, j.Append(exportAt(n, at.In(zone))))
			}
			from, to := time.Date(2026, 1, 1, 0, 0, 0, 0, bounds), time.Date(2027, 1, 1, 0, 0, 0, 0, bounds)
			last := to.Add(-time.Nanosecond)
			for what, c := range map[string]struct {
				f    Filter
				want []int64
			}{
				"the year":          {Filter{From: from, To: to}, []int64{2, 3}},
				"since it began":    {Filter{From: from}, []int64{2, 3, 4}},
				"until it ended":    {Filter{To: to}, []int64{1, 2, 3}},
				"before it":         {Filter{To: from}, []int64{1}},
				"after it":          {Filter{From: to}, []int64{4}},
				"its last moment":   {Filter{From: last, To: to}, []int64{3}},
				"all but the last":  {Filter{From: from, To: last}, []int64{2}},
				"its first moment":  {Filter{From: from, To: from.Add(1)}, []int64{2}},
				"just after it all": {Filter{From: to.Add(1)}, nil},
			} {
				got, _ := found(t, dir, c.f)
				slices.Sort(got) // the clock's order is another where zones differ
				if !slices.Equal(got, c.want) {
					t.Errorf("%s, by %s, of entries by %s: %v, want %v", what, of, in, got, c.want)
				}
			}
		}
	}
}

// TestNextYearsFile: what was judged before new year in UTC may lie in the next year's
// file, also where the bound itself is in the old year.
func TestNextYearsFile(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	must(t, j.Append(exportAt(1, time.Date(2027, 1, 1, 0, 30, 0, 0, skarvik)))) // 23:30 in UTC
	west := time.FixedZone("west", -3600)
	must(t, j.Append(exportAt(2, time.Date(2025, 12, 31, 23, 30, 0, 0, west)))) // 0:30 in UTC
	for _, c := range []struct {
		f    Filter
		want []int64
	}{
		{Filter{To: time.Date(2026, 12, 31, 23, 45, 0, 0, time.UTC)}, []int64{3, 2}},
		{Filter{To: time.Date(2026, 12, 31, 23, 15, 0, 0, time.UTC)}, []int64{3}},
		{Filter{From: time.Date(2026, 1, 1, 0, 15, 0, 0, time.UTC)}, []int64{3, 2}},
		{Filter{From: time.Date(2026, 1, 1, 0, 45, 0, 0, time.UTC)}, []int64{2}},
	} {
		if got, _ := found(t, dir, c.f); !slices.Equal(got, c.want) {
			t.Errorf("from %v to %v: %v, want %v", c.f.From, c.f.To, got, c.want)
		}
	}
}

func TestSearchCountsDamage(t *testing.T) {
	dir := t.TempDir()
	e := judged(1, "/srv/tidemark/portrait.jpg", rules.Darker, 48)
	torn := line(t, e)[:900]
	write(t, dir, 2026, "garbage\n"+torn+"\n"+line(t, e))
	for _, c := range []struct {
		names   []string
		found   int
		skipped int
	}{{nil, 1, 2}, {[]string{"portrait"}, 1, 2}, {[]string{"fog"}, 0, 1}} {
		got, skipped := found(t, dir, Filter{Names: c.names})
		if len(got) != c.found || skipped != c.skipped {
			t.Errorf("%v: %d found, %d skipped; want %d, %d", c.names, len(got), skipped, c.found, c.skipped)
		}
	}
}

func TestSearchRefusesANewerFormat(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, 2026, line(t, entry(1))+`{"v":2,"path":"/a"}`+"\n")
	seen := 0
	_, err := Search(t.Context(), dir, Filter{Names: []string{"skarvik"}}, func(Entry) error { seen++; return nil })
	wantNewer(t, err)
	if seen != 1 {
		t.Errorf("%d entries before it, want 1", seen)
	}
}

func TestReadLast(t *testing.T) {
	dir := t.TempDir()
	if got, err := ReadLast(filepath.Join(dir, "none"), 1); err != nil || len(got) != 0 {
		t.Errorf("of no journal: %v, %v", got, err)
	}
	var text strings.Builder
	for i := range 8 {
		text.WriteString(line(t, entry(i)))
	}
	write(t, dir, 2026, text.String()+`{"v":1,"at`)
	got, err := ReadLast(dir, 2)
	must(t, err)
	if fmt.Sprint(sizes(got)) != "[8 7]" {
		t.Errorf("the last two are %v", sizes(got))
	}
	if b, err := os.ReadFile(filepath.Join(dir, fileName(2026))); err != nil || !strings.HasSuffix(string(b), `"at`) {
		t.Errorf("reading has changed the file: %v", err)
	}
}

// TestLastAmongDamage: of the last twenty lines fifteen may be damaged, and the newest
// five entries are known all the same, to an open journal and to a reader.
func TestLastAmongDamage(t *testing.T) {
	for name, damaged := range map[string]string{
		"garbage": "garbage\n", "cut off": line(t, judged(9, "/srv/tidemark/cut.tif", rules.Darker, 48))[:700] + "\n", "of no bytes": "\x00\x00\x00\n",
	} {
		for where, order := range map[string]string{ // e an entry, x a damaged line
			"between":   "eeee" + "exxxexxxexxxexxxexxx",
			"behind":    "eeee" + "eeeeexxxxxxxxxxxxxxx",
			"in front":  "eeee" + "xxxxxxxxxxxxxxxeeeee",
			"two years": "eeee" + "exxxexxx|exxxexxxexxx",
		} {
			dir, n := t.TempDir(), 0
			for i, year := range strings.Split(order, "|") {
				var text strings.Builder
				for _, kind := range year {
					if kind == 'x' {
						text.WriteString(damaged)
						continue
					}
					n++
					text.WriteString(line(t, entry(n)))
				}
				write(t, dir, 2026+i, text.String())
			}
			const want = "[10 9 8 7 6]" // nine entries; a size is one more than its number
			got, err := ReadLast(dir, 5)
			must(t, err)
			if fmt.Sprint(sizes(got)) != want {
				t.Errorf("%s, %s: a reader has the last %v, want %s", name, where, sizes(got), want)
			}
			if last := open(t, dir).Last(9); fmt.Sprint(sizes(last)) != want {
				t.Errorf("%s, %s: an open journal has the last %v, want %s", name, where, sizes(last), want)
			}
		}
	}
}

// TestSearchIsStopped: a search that finds nothing can be stopped as well.
func TestSearchIsStopped(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	must(t, j.Append(judged(1, "/a", rules.Holds, 100)))
	ctx, stop := context.WithCancel(t.Context())
	stop()
	found := func(Entry) error { t.Error("something was found"); return nil }
	if _, err := Search(ctx, dir, Filter{Names: []string{"nobody's"}}, found); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped, the search ends with %v", err)
	}
}
