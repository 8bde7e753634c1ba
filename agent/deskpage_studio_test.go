package agent

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/config/log"
	"lampblack/rules"
	"lampblack/testdata/exports"
)

// month is a month at Tidemark on disk: a profile, readings, exports that were
// judged, and a few outcomes.
type month struct {
	t              testing.TB
	root, profile  string
	state, toPrint string
	now            time.Time
	readers        map[string]rules.Picture
}

// newDesk is Tidemark with one export, just now, at a bright screen in a bright
// room with a black surround.
func newDesk(t testing.TB) *month {
	m := &month{t: t, root: t.TempDir(), now: time.Date(2026, 3, 30, 15, 40, 0, 0, time.UTC), readers: map[string]rules.Picture{}}
	m.profile, m.state = filepath.Join(m.root, "profile.toml"), filepath.Join(m.root, "state")
	m.toPrint = filepath.Join(m.root, "to-print")
	m.must(os.Mkdir(m.toPrint, 0o700))
	m.finish()
	return m
}

func (m *month) finish() {
	m.desk(150, "black")
	m.read(m.now.Add(-70*time.Minute), 92)
	m.export("quay-at-dusk.tif", "quay-at-dusk", m.now.Add(-6*time.Minute))
}

// newMonth is the same desk after a month in which it was kept well at first.
func newMonth(t testing.TB) *month {
	m := newDesk(t)
	m.must(os.RemoveAll(m.state)) // the month comes before its last export
	m.must(os.Remove(LogPath(m.profile)))
	m.desk(96, "mid grey")
	names := []string{"harbour-noon.jpg", "portrait.jpg", "boatshed.png", "fog.tif"}
	for day := range 30 {
		morning := time.Date(2026, 2, 28, 9, 10, 0, 0, time.UTC).AddDate(0, 0, day)
		if day%7 >= 5 || day == 9 {
			continue // nobody was there
		}
		if day == 18 {
			m.desk(150, "black")
		}
		m.read(morning, m.light(day, 0))
		if day%3 == 0 {
			m.read(morning.Add(5*time.Hour), m.light(day, 1))
		}
		for n := range 1 + day%3 {
			m.export(names[(day+n)%len(names)], fmt.Sprintf("skarvik-%02d-%d", day, n), morning.Add(time.Duration(n)*97*time.Minute+time.Hour))
		}
	}
	m.finish()
	m.outcomes()
	return m
}

func (m *month) must(err error) {
	m.t.Helper()
	if err != nil {
		m.t.Fatal(err)
	}
}

// light is what is read on a day, lx: spring comes, and later somebody leaves
// the lamps on.
func (m *month) light(day, turn int) float64 {
	v := 34 + 14*math.Sin(float64(day)/4) + float64(day) + 40*float64(turn)
	if day >= 18 {
		v += 45
	}
	return math.Round(v)
}

// desk writes the profile.
func (m *month) desk(white float64, surround string) {
	text, err := os.ReadFile("../testdata/days/profile.toml")
	m.must(err)
	edited := strings.NewReplacer("white_cd_m2 = 96.0", fmt.Sprintf("white_cd_m2 = %.1f", white),
		"mid grey", surround, "2026-02-20", "2026-02-18").Replace(string(text))
	m.must(os.WriteFile(m.profile, []byte(edited), 0o600))
}

func (m *month) read(at time.Time, lx float64) {
	m.must(log.Append(LogPath(m.profile), &log.Reading{Reading: rules.Reading{At: at, Light: rules.Lux(lx), Place: rules.AtScreen}}))
}

// load is the profile as a command finds it.
func (m *month) load() *rules.Profile {
	m.t.Helper()
	p, _, _, err := LoadProfile(m.profile, m.state)
	m.must(err)
	return p
}

// export writes a demo export and has it judged and journaled.
func (m *month) export(demo, name string, at time.Time) {
	path := filepath.Join(m.toPrint, name+filepath.Ext(demo))
	content, err := exports.Files.ReadFile(demo)
	m.must(err)
	m.must(os.WriteFile(path, content, 0o600))
	m.must(os.Chtimes(path, at, at))
	m.journal(path, demo, content, at)
}

func (m *month) journal(path, demo string, content []byte, at time.Time) {
	pic, known := m.readers[demo]
	if !known {
		var err error
		pic, err = picture.Measure(strings.NewReader(string(content)), int64(len(content)))
		m.must(err)
		m.readers[demo] = pic
	}
	p := m.load()
	r := rules.Evaluate(p, rules.Export{File: path, Folder: p.Folders[0], Picture: pic}, at)
	e := journal.Entry{At: at, Path: path, Size: int64(len(content)), ModTime: at, Report: r}
	silence := rules.Decide(r, p.Quiet, rules.History{}, at)
	e.Silence, e.SilenceCode = silence.Text, silence.Code
	m.append(e)
}

func (m *month) append(e journal.Entry) {
	m.t.Helper()
	j, err := journal.Open(JournalDir(m.state))
	m.must(err)
	m.must(j.Append(e))
	m.must(j.Close())
}

// outcomes tells how some prints came out: a bit darker than predicted.
func (m *month) outcomes() {
	n := 0
	_, err := journal.Read(JournalDir(m.state), func(e journal.Entry) error {
		n++
		if n%4 != 1 || e.Report == nil {
			return nil
		}
		found := math.Round(10*(0.12+0.9*float64(e.Report.Prediction.Targets.Shift.Whole)+0.1*math.Sin(float64(n)))) / 10
		return TellOutcome(JournalDir(m.state), e.At.Add(20*time.Hour), e, "", rules.Figure(found))
	})
	m.must(err)
}

// worker reads pictures in a child of the test's own program.
func worker(t testing.TB) picture.Worker {
	t.Helper()
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return picture.Worker{Command: []string{exe, workerArgument}}
}

// write writes the page and gives its path.
func (m *month) write() string {
	m.t.Helper()
	path := PagePath(m.state)
	_, err := WritePage(m.t.Context(), m.load(), m.state, path, worker(m.t), m.now)
	m.must(err)
	return path
}
