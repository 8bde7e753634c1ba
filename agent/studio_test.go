package agent

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/icc"
	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/config/log"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// studio is the world around one agent in a synctest bubble. The profile, the
// log and the journal are real files: a system call only stops the clock while
// it runs. The watch is scripted, because fsnotify waits in the kernel, where
// synctest can't see that nothing more will happen; so are the pictures' reader,
// which would be a process, and the desktop.
type studio struct {
	t    *testing.T
	root string

	stop     context.CancelFunc
	ended    chan error
	commands chan tray.Command
	sensor   LightSensor

	mu      sync.Mutex
	skew    time.Duration // how far the machine's clock is off the bubble's
	files   []watch.File  // all that was ever exported
	watches []scriptedWatch
	reads   map[string]int // how often each path was read
	journal []journal.Entry
	out     []line
	shown   tray.State

	papersHang  chan struct{} // until it is closed, no colour profile is read; nil: they are
	brokenPages int           // how many more times the desk page can't be written
}

// scriptedWatch is one call of Options.Watch that has not ended.
type scriptedWatch struct {
	ctx     context.Context
	folders []watch.Folder
	out     chan<- watch.Event
}

// line is one thing that the agent did.
type line struct {
	at         time.Time
	kind, text string
	file       string // of a line of the journal
}

// newStudio moves the bubble's clock to the morning of the days, and makes the
// studio's folders and its profile.
func newStudio(t *testing.T) *studio {
	time.Sleep(time.Until(time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)))
	s := &studio{t: t, root: t.TempDir(), commands: make(chan tray.Command, 64), reads: map[string]int{}}
	for _, dir := range []string{"to-print", "to-web"} {
		s.must(os.Mkdir(filepath.Join(s.root, dir), 0o700))
	}
	s.newProfile()
	return s
}

// newProfile writes the profile of the days.
func (s *studio) newProfile() {
	text, err := os.ReadFile("../testdata/days/profile.toml")
	s.must(err)
	s.writeProfile(text)
}

func (s *studio) must(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

func (s *studio) profile() string    { return filepath.Join(s.root, "profile.toml") }
func (s *studio) state() string      { return filepath.Join(s.root, "state") }
func (s *studio) journalDir() string { return filepath.Join(s.state(), "journal") }

// writeProfile writes the profile at the bubble's time, which is not the disk's.
func (s *studio) writeProfile(text []byte) {
	s.must(os.WriteFile(s.profile(), text, 0o600))
	s.must(os.Chtimes(s.profile(), s.now(), s.now()))
}

// begin starts an agent.
func (s *studio) begin() {
	ctx, stop := context.WithCancel(s.t.Context())
	s.stop, s.ended = stop, make(chan error, 1)
	go func() {
		s.ended <- Run(ctx, Options{
			ProfilePath: s.profile(), StateDir: s.state(),
			Reader: s, Desktop: s, Sensor: s.sensor, Watch: s.watch, Now: s.now,
			Say:      func(text string) { s.record("said", text) },
			Observe:  s.observe,
			Open:     func(path string) error { s.record("opens", path); return nil },
			Explain:  func(context.Context) error { s.record("page", s.profile()); return nil },
			OpenPage: func(path string) error { s.record("opens", path); return nil },
			Page:     s.page,
		})
	}()
	synctest.Wait()
}

// now is the machine's clock: what people set, and what has gone on when a laptop
// wakes up. Timers follow the bubble's, as they do a kernel's monotonic one.
func (s *studio) now() time.Time {
	s.mu.Lock()
	defer s.mu.Unlock()
	return time.Now().Round(0).Add(s.skew)
}

// setClock moves the machine's clock.
func (s *studio) setClock(by time.Duration) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.skew += by
}

// end waits for the agent to end, which it does when it is stopped or has quit.
// synctest fails the test should any of its goroutines outlive the bubble.
func (s *studio) end() {
	if s.stop == nil {
		return
	}
	s.stop()
	s.must(<-s.ended)
	s.stop = nil
}

func (s *studio) running() bool { return s.stop != nil }

// record keeps a line, with the studio's root shortened to ~.
func (s *studio) record(kind, text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.out = append(s.out, line{at: time.Now(), kind: kind, text: strings.ReplaceAll(text, s.root, "~")})
}

// lines are what was recorded since the last call.
func (s *studio) lines() []line {
	s.mu.Lock()
	defer s.mu.Unlock()
	out := s.out
	s.out = nil
	return out
}

// observe keeps an entry of the journal.
func (s *studio) observe(e journal.Entry) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !coded(e.SilenceCode, e.Silence) || !coded(e.UnreadCode, e.Unread) {
		s.t.Errorf("%s: the codes of %q, %q are %q, %q", e.Path, e.Silence, e.Unread, e.SilenceCode, e.UnreadCode)
	}
	s.journal = append(s.journal, e)
	file := strings.TrimPrefix(e.Path, s.root+string(filepath.Separator))
	s.out = append(s.out, line{at: time.Now(), kind: "journal", text: outcomeOf(e), file: filepath.ToSlash(file)})
}

// coded tells whether a sentence has a code that is known, and what says nothing none.
func coded(c rules.Code, text string) bool {
	return (c == "") == (text == "") && (c == "" || c.Meaning() != "")
}

func outcomeOf(e journal.Entry) string {
	if e.Report == nil {
		return "unread: " + e.Unread
	}
	text := string(e.Report.Verdict)
	if e.CatchUp {
		text += fmt.Sprintf(" as of %s, when the room was %g lx", e.Report.At.Format("15:04"), float64(e.Report.Condition(rules.RoomLight).Value))
	}
	if e.Silence != "" {
		text += ", silent: " + e.Silence
	}
	return text
}

// Show is the tray's. Troubles are recorded as they come and go.
func (s *studio) Show(state tray.State) {
	s.mu.Lock()
	before := s.shown
	s.shown = state
	s.mu.Unlock()
	for _, x := range state.Troubles {
		if !slices.Contains(before.Troubles, x) {
			s.record("trouble", x)
		}
	}
	for _, x := range before.Troubles {
		if !slices.Contains(state.Troubles, x) {
			s.record("healed", x)
		}
	}
	if before.Resting != state.Resting {
		s.record("resting", fmt.Sprint(state.Resting))
	}
}

// Notify is the tray's.
func (s *studio) Notify(n rules.Notice) { s.record("notice", n.Title+"\n"+n.Body) }

// Commands is the tray's.
func (s *studio) Commands() <-chan tray.Command { return s.commands }

// click clicks in the menu.
func (s *studio) click(c tray.Command) { s.commands <- c }

// menu is what the menu reads.
func (s *studio) menu() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	m := append([]string{s.shown.Summary.Headline}, s.shown.Summary.Conditions...)
	return append(m, s.shown.Summary.Last.String())
}

// prints are the prints that the menu offers to tell of.
func (s *studio) prints() []tray.Print {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.shown.Prints
}

// watch is Options.Watch: like the real one, it scans the folders first, and
// then sends what export and trouble give it.
func (s *studio) watch(ctx context.Context, folders []watch.Folder, o watch.Options, out chan<- watch.Event) {
	w := scriptedWatch{ctx, folders, out}
	s.mu.Lock()
	s.watches = append(s.watches, w)
	there := slices.Clone(s.files)
	s.mu.Unlock()
	for _, f := range there {
		f.CatchUp, f.Written = true, false
		if i := w.folder(f.Path); i >= 0 {
			f.Folder = i
			if o.Known == nil || !o.Known(f) {
				w.send(watch.Event{File: &f})
			}
		}
	}
	<-ctx.Done()
}

func (w scriptedWatch) folder(path string) int {
	return slices.IndexFunc(w.folders, func(f watch.Folder) bool {
		return f.Path == filepath.Dir(path) && rules.NamesExport(f.Match, filepath.Base(path))
	})
}

func (w scriptedWatch) send(e watch.Event) {
	select {
	case w.out <- e:
	case <-w.ctx.Done():
	}
}

// watching are the watches, still running, of the folder that path lies in.
func (s *studio) watching(path string) []scriptedWatch {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.watches = slices.DeleteFunc(s.watches, func(w scriptedWatch) bool { return w.ctx.Err() != nil })
	var of []scriptedWatch
	for _, w := range s.watches {
		if w.folder(path) >= 0 {
			of = append(of, w)
		}
	}
	return of
}

// export finishes a file of the studio now.
func (s *studio) export(name string) {
	f := watch.File{Path: filepath.Join(s.root, name), Size: 1 << 20, ModTime: s.now(), Written: true}
	s.mu.Lock()
	s.files = append(s.files, f)
	s.mu.Unlock()
	s.offer(f)
}

// offer sends a file to whoever watches its folder.
func (s *studio) offer(f watch.File) {
	for _, w := range s.watching(f.Path) {
		f := f
		f.Folder = w.folder(f.Path)
		w.send(watch.Event{File: &f})
	}
}

// edited tells the agent that the profile has changed.
func (s *studio) edited() { s.offer(watch.File{Path: s.profile(), Size: 1, ModTime: s.now()}) }

// trouble tells the agent of a trouble with a folder.
func (s *studio) trouble(name string, tr watch.Trouble) {
	path := filepath.Join(s.root, name, "any.tif")
	for _, w := range s.watching(path) {
		tr := tr
		tr.Folder = w.folder(path)
		w.send(watch.Event{Trouble: &tr})
	}
}

// breakJournal puts a file where the journal's folder was; mendJournal puts the
// folder back.
func (s *studio) breakJournal() {
	s.must(os.Rename(s.journalDir(), s.journalDir()+".away"))
	s.must(os.WriteFile(s.journalDir(), nil, 0o600))
}

func (s *studio) mendJournal() {
	s.must(os.Remove(s.journalDir()))
	s.must(os.Rename(s.journalDir()+".away", s.journalDir()))
}

// logLight notes a reading without an agent, as the command line does.
func (s *studio) logLight(lux float64) {
	r := rules.Reading{At: s.now(), Light: rules.Lux(lux), Place: rules.AtScreen}
	s.must(log.Append(LogPath(s.profile()), &log.Reading{Reading: r}))
}

// readingTime is how long the scripted reader takes.
const readingTime = 150 * time.Millisecond

// Paper is the Reader's: a colour profile lies as long as it says so.
func (s *studio) Paper(_ context.Context, path string) (icc.Paper, error) {
	if s.papersHang != nil {
		<-s.papersHang
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return icc.Paper{}, err
	}
	if string(text) == "lies" {
		return icc.Paper{}, fmt.Errorf("%w: the colour profile can't be used", picture.ErrBroken)
	}
	return icc.Paper{White: colour.Lab{L: 95}, Black: colour.Lab{L: 16}}, nil
}

// troubles are what the menu says is wrong.
func (s *studio) troubles() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.shown.Troubles
}

// Examine is the Reader's: what is in a file is told by how its name begins.
func (s *studio) Examine(ctx context.Context, path string) (picture.Examined, error) {
	select {
	case <-time.After(readingTime):
	case <-ctx.Done():
		return picture.Examined{}, ctx.Err()
	}
	pic, err := s.measure(path)
	return picture.Examined{Picture: pic}, err
}

func (s *studio) measure(path string) (rules.Picture, error) {
	s.mu.Lock()
	s.reads[path]++
	first := s.reads[path] == 1
	s.mu.Unlock()
	switch name := filepath.Base(path); {
	case strings.HasPrefix(name, "fault"):
		panic("no such tone")
	case strings.HasPrefix(name, "gone"):
		return rules.Picture{}, fmt.Errorf("%w: it was moved away", picture.ErrVanished)
	case strings.HasPrefix(name, "torn"), strings.HasPrefix(name, "paused") && first:
		return measured("harbour-noon.jpg", 0.5)
	case strings.HasPrefix(name, "paused"):
		return measured("harbour-noon.jpg", 1)
	case strings.HasPrefix(name, "letter"):
		return picture.Measure(strings.NewReader("Dear Skarvik harbour office"), 27)
	default:
		return pictureIn(name)
	}
}
