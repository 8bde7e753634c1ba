package agent

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/config"
)

// text is the page as a file.
func (m *month) text() string {
	m.t.Helper()
	b, err := os.ReadFile(m.write())
	m.must(err)
	return string(b)
}

// says fails the test where the page lacks one of the texts.
func says(t *testing.T, page string, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if !strings.Contains(page, text) {
			t.Errorf("the page doesn't say %q", text)
		}
	}
}

const pictureMark = `src="data:image/jpeg;base64,`

// TestWritePage: the page of a month is one private file with both pictures in it.
func TestWritePage(t *testing.T) {
	m := newMonth(t)
	text := m.text()
	info, err := os.Stat(PagePath(m.state))
	m.must(err)
	if mode := info.Mode().Perm(); mode != 0o600 && runtime.GOOS != "windows" {
		t.Errorf("the page has mode %o", mode)
	}
	if info.Size() > 2<<20 {
		t.Errorf("the page has %d bytes", info.Size())
	}
	if n := strings.Count(text, pictureMark); n != 2 {
		t.Errorf("the page has %d pictures", n)
	}
	says(t, text, "Tidemark, Skarvik", "the calibration is due; the surround is too dark", "quay-at-dusk.tif: likely dark", "From 11 prints: ")
	if left, _ := filepath.Glob(PagePath(m.state) + ".*"); left != nil {
		t.Errorf("%v is left behind", left)
	}
}

// TestPageOfATornExport: the page tells of an export that could not be read, and
// shows the one before.
func TestPageOfATornExport(t *testing.T) {
	m := newDesk(t)
	m.append(journal.Entry{At: m.now.Add(-time.Minute), Path: filepath.Join(m.toPrint, "torn <b>.jpg"), Size: 9, Unread: "it ends in the middle"})
	text := m.text()
	says(t, text, "torn &lt;b&gt;.jpg: could not be read: it ends in the middle",
		"What follows is about the export before it, quay-at-dusk.tif", ">unread</text>", pictureMark)
}

// TestPageWithoutTheFile: what was moved, or written anew, since it was judged is
// not shown, and the page says why.
func TestPageWithoutTheFile(t *testing.T) {
	m := newDesk(t)
	path := filepath.Join(m.toPrint, "quay-at-dusk.tif")
	m.must(os.Chtimes(path, m.now, m.now))
	text := m.text()
	says(t, text, "quay-at-dusk.tif has been changed since it was judged")
	m.must(os.Remove(path))
	gone := m.text()
	says(t, gone, "quay-at-dusk.tif is no longer where it was exported to", "What the print does to the tones")
	if strings.Contains(text+gone, pictureMark) {
		t.Error("something is shown after all")
	}
}

// TestPageOfABrokenReader: without pictures there is still a page.
func TestPageOfABrokenReader(t *testing.T) {
	m := newDesk(t)
	_, err := WritePage(t.Context(), m.load(), m.state, PagePath(m.state), picture.Worker{}, m.now)
	m.must(err)
	b, err := os.ReadFile(PagePath(m.state))
	m.must(err)
	says(t, string(b), "quay-at-dusk.tif can&#39;t be shown: no program is set that reads files")
}

// TestPageOfNothing: neither profile nor state is needed.
func TestPageOfNothing(t *testing.T) {
	m := &month{t: t, root: t.TempDir(), now: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)}
	m.profile, m.state = filepath.Join(m.root, "profile.toml"), filepath.Join(m.root, "state", "deep")
	says(t, m.text(), "No export yet", "no reading in these days", "No print has been reported yet")
}

// TestPageOfAnOldExport: the last export is shown however long ago it was, with
// the page's thirty days empty.
func TestPageOfAnOldExport(t *testing.T) {
	m := newDesk(t)
	m.now = m.now.AddDate(0, 4, 0)
	text := m.text()
	says(t, text, "quay-at-dusk.tif: likely dark", "There is nothing in these days", pictureMark)
	if strings.Contains(text, `class="export noticed"`) && strings.Contains(text, ">darker</text>") && strings.Contains(text, `class="lane"`) {
		t.Error("exports of four months ago are among those of the last 30 days")
	}
}

// TestPageOfADamagedReport: a line of the journal that was edited by hand counts
// as unread.
func TestPageOfADamagedReport(t *testing.T) {
	m := newDesk(t)
	var last journal.Entry
	_, err := journal.Read(JournalDir(m.state), func(e journal.Entry) error { last = e; return nil })
	m.must(err)
	last.At = m.now
	last.Report.Conditions[2].Name = ""
	m.append(last)
	says(t, m.text(), ">unread</text>", pictureMark)
}

// TestPageThatIsStopped leaves the one before as it was.
func TestPageThatIsStopped(t *testing.T) {
	m := newDesk(t)
	before := m.text()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := WritePage(ctx, config.Default(), m.state, PagePath(m.state), worker(t), m.now); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	after, err := os.ReadFile(PagePath(m.state))
	m.must(err)
	if string(after) != before {
		t.Error("the page has changed")
	}
}

// TestPageInAnImpossiblePlace: that is one sentence.
func TestPageInAnImpossiblePlace(t *testing.T) {
	m := newDesk(t)
	file := filepath.Join(m.root, "file")
	m.must(os.WriteFile(file, nil, 0o600))
	_, err := WritePage(t.Context(), m.load(), m.state, filepath.Join(file, "desk.html"), worker(t), m.now)
	if err == nil || !strings.Contains(err.Error(), "can't write desk.html (") || strings.Contains(err.Error(), "\n") {
		t.Errorf("%v", err)
	}
}

// BenchmarkWritePage: all of it, with the pictures of a small file.
func BenchmarkWritePage(b *testing.B) {
	m := newMonth(b)
	for b.Loop() {
		m.write()
	}
}
