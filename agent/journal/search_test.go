package journal

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
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
	w, err := parseWhere(text)
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
