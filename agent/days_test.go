package agent

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/config"
	"lampblack/rules"
)

// A day in testdata/days is a story of the Tidemark studio, played with the real
// loop, rules, profile, log and journal, on a clock that jumps. At the left margin
// stands what happens; a time before the one above it is on the next day.
//
//	08:00 start                            an agent starts
//	08:10 light 320lx                      logged: in the menu, or without an agent on the command line
//	08:11 surround black                   clicked in the menu, as are
//	08:11 white 140                        of the editing display
//	08:11 printed fog.tif a bit darker     of the last prints
//	08:11 calibrated | rest | open profile | open page | quit
//	08:12 export to-print/portrait.tif     a file is finished
//	08:15 burst 40 to-print/fog.tif 200ms  so many files, that long apart, numbered
//	08:20 profile white_cd_m2 = 180.0      the profile is edited: that key gets that value
//	08:21 profile without white_cd_m2      or loses its line
//	08:22 profile goes | profile comes back  the file itself
//	08:22 watch to-gallery                 or gets one more folder, for prints
//	08:25 journal breaks | journal works   the journal's drive
//	08:30 folder to-print goes | folder to-print comes back
//	08:30 break page                       the next time it can't be written
//	08:31 menu                             the menu is read
//	08:32 clock +9h                        the machine's clock jumps: set by somebody, or after a night's sleep
//
// A file holds the demo picture that its name begins with: portrait, fog, quay,
// boatshed or harbour. Besides, "torn" is cut off, "paused" is whole only when
// it is read again, "letter" is no picture, and "gone" has vanished.
//
// Indented below it stands all that comes of it: entries made for the journal,
// notices, sentences said on the terminal, troubles that the menu shows and
// shows no longer. The whole is compared. After a change that is meant,
//
//	go test ./agent -run Days -update
//
// writes the days anew; read the difference before you keep it.
var update = flag.Bool("update", false, "write testdata/days anew")

func TestDays(t *testing.T) {
	days, err := filepath.Glob("../testdata/days/*.txt")
	if err != nil || len(days) < 8 {
		t.Fatalf("found %d days (%v)", len(days), err)
	}
	for _, path := range days {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txt"), func(t *testing.T) {
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			synctest.Test(t, func(t *testing.T) {
				got := playDay(t, string(want))
				if *update {
					err = os.WriteFile(path, []byte(got), 0o644)
				} else if got != string(want) {
					err = fmt.Errorf("the day went otherwise:\n%s", firstDifference(got, string(want)))
				}
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
}

// firstDifference is where two texts part.
func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := 0; ; i++ {
		if i == len(g) || i == len(w) || g[i] != w[i] {
			show := func(lines []string) string {
				return strings.Join(lines[min(i, len(lines)):min(i+5, len(lines))], "\n")
			}
			return fmt.Sprintf("from line %d\n%s\nwant\n%s", i+1, show(g), show(w))
		}
	}
}

// day is a script being played.
type day struct {
	*studio
	out     strings.Builder
	remarks []string // not written yet: they belong below what came before
}

// playDay plays a script and gives it back with what came of it.
func playDay(t *testing.T, script string) string {
	d := &day{studio: newStudio(t)}
	for text := range strings.Lines(script) {
		text = strings.TrimRight(text, "\n")
		switch {
		case strings.HasPrefix(text, " "): // what was expected
		case text == "" || text[0] == '#':
			d.remarks = append(d.remarks, text)
		default:
			d.command(text)
		}
	}
	time.Sleep(time.Minute)
	d.end()
	d.write()
	d.checkJournal()
	return d.out.String()
}

// command waits for the time of a line and does what it says.
func (d *day) command(text string) {
	clock, what, _ := strings.Cut(text, " ")
	at, err := time.Parse("15:04", clock)
	d.must(err)
	now := time.Now()
	due := time.Date(now.Year(), now.Month(), now.Day(), at.Hour(), at.Minute(), 0, 0, time.UTC)
	if due.Before(now.Truncate(time.Minute)) {
		due = due.AddDate(0, 0, 1)
	}
	time.Sleep(time.Until(due))
	synctest.Wait() // the agent may have something to do at the same moment
	d.write()
	fmt.Fprintln(&d.out, text)
	d.do(what)
	synctest.Wait()
}

func (d *day) do(what string) {
	verb, rest, _ := strings.Cut(what, " ")
	switch verb {
	case "start":
		d.begin()
	case "light":
		d.light(rest)
	case "surround":
		d.click(tray.Command{Kind: tray.SetSurround, Surround: rest})
	case "calibrated":
		d.click(tray.Command{Kind: tray.MarkCalibrated})
	case "rest":
		d.click(tray.Command{Kind: tray.Rest})
	case "open":
		d.click(tray.Command{Kind: map[string]tray.Kind{"profile": tray.OpenProfile, "page": tray.OpenPage}[rest]})
	case "break":
		d.breakPages()
	case "quit":
		d.click(tray.Command{Kind: tray.Quit})
		synctest.Wait()
		d.end()
	case "export":
		d.export(rest)
	case "burst":
		d.burst(rest)
	case "profile", "watch":
		d.editProfile(verb, rest)
	case "journal":
		d.drive(rest)
	case "folder":
		d.folder(rest)
	case "white":
		white, err := strconv.ParseFloat(rest, 64)
		d.must(err)
		d.click(tray.Command{Kind: tray.SetWhite, White: white})
	case "printed":
		d.printed(rest)
	case "clock":
		by, err := time.ParseDuration(rest)
		d.must(err)
		d.setClock(by)
	case "menu":
		for _, l := range d.menu() {
			d.record("menu", l)
		}
	default:
		d.t.Fatalf("nothing is known of %q", what)
	}
}

func (d *day) light(text string) {
	lux, err := strconv.ParseFloat(strings.TrimSuffix(text, "lx"), 64)
	d.must(err)
	if !d.running() {
		d.logLight(lux)
		return
	}
	d.click(tray.Command{Kind: tray.LogLight, Lux: lux})
}

// printed chooses a print in the menu and clicks how it came out.
func (d *day) printed(text string) {
	file, how, _ := strings.Cut(text, " ")
	prints := d.prints()
	i := slices.IndexFunc(prints, func(p tray.Print) bool { return strings.HasPrefix(p.Text, file+" ") })
	if i < 0 {
		d.t.Fatalf("the menu has no print %q: %+v", file, prints)
	}
	d.click(tray.Command{Kind: tray.ChoosePrint, Print: prints[i].ID})
	synctest.Wait()
	if !d.prints()[i].Chosen {
		d.t.Errorf("%q is not chosen", file)
	}
	d.click(tray.Command{Kind: tray.TellOutcome, Print: prints[i].ID, Outcome: rules.Outcome(how)})
	synctest.Wait()
	for _, p := range d.prints() {
		d.record("print", p.Text)
	}
	learnt, _, err := ReadLearnt(d.journalDir(), config.Default())
	d.must(err)
	d.record("learnt", rules.LearntText(learnt))
}

func (d *day) burst(text string) {
	var n int
	var name, pause string
	_, err := fmt.Sscan(text, &n, &name, &pause)
	d.must(err)
	apart, err := time.ParseDuration(pause)
	d.must(err)
	ext := filepath.Ext(name)
	for i := range n {
		d.export(fmt.Sprintf("%s-%02d%s", strings.TrimSuffix(name, ext), i+1, ext))
		time.Sleep(apart)
	}
}

// editProfile changes the profile as a person would.
func (d *day) editProfile(verb, rest string) {
	switch rest {
	case "goes":
		d.must(os.Remove(d.profile()))
		return
	case "comes back":
		d.newProfile()
		d.edited()
		return
	}
	text, err := os.ReadFile(d.profile())
	d.must(err)
	key, _, _ := strings.Cut(strings.TrimPrefix(rest, "without "), " ")
	var edited strings.Builder
	for l := range strings.Lines(string(text)) {
		switch {
		case verb != "profile" || !strings.HasPrefix(l, key+" = "):
			edited.WriteString(l)
		case !strings.HasPrefix(rest, "without "):
			edited.WriteString(rest + "\n")
		}
	}
	if verb == "watch" {
		d.must(os.Mkdir(filepath.Join(d.root, rest), 0o700))
		fmt.Fprintf(&edited, "\n[[folder]]\npath = %q\npurpose = \"print\"\n", rest)
	}
	if edited.String() == string(text) {
		d.t.Fatalf("the profile has no %q", key)
	}
	d.writeProfile([]byte(edited.String()))
	d.edited()
}

// drive breaks or mends the journal's drive.
func (d *day) drive(what string) {
	if what == "breaks" {
		d.breakJournal()
	} else {
		d.mendJournal()
	}
}

func (d *day) folder(text string) {
	name, what, _ := strings.Cut(text, " ")
	tr := watch.Trouble{Code: watch.Missing, Text: fmt.Sprintf("the folder %q is not there", name)}
	tr.Over = what == "comes back"
	d.trouble(name, tr)
}

// write writes what came of things, and then the remarks that follow.
func (d *day) write() {
	lines := d.lines()
	for i := 0; i < len(lines); {
		l, many := lines[i], 1
		for i+many < len(lines) && l.kind == "journal" && alike(lines[i+many], l) {
			many++
		}
		i += many
		d.writeLine(lines[i-1], many)
	}
	for _, r := range d.remarks {
		fmt.Fprintln(&d.out, r)
	}
	d.remarks = nil
}

// alike tells whether two lines of the journal can be written as one.
func alike(a, b line) bool { return a.kind == b.kind && a.text == b.text }

func (d *day) writeLine(l line, many int) {
	text := l.text
	switch {
	case many > 1:
		text = fmt.Sprintf("%d exports, the last %s: %s", many, l.file, text)
	case l.kind == "journal":
		text = l.file + ": " + text
	}
	const indent = "                     "
	text = strings.ReplaceAll(text, "\n", "\n"+indent)
	fmt.Fprintf(&d.out, "    %s %-8s%s\n", l.at.Format(time.TimeOnly), l.kind, text)
}

// checkJournal holds the journal on the disk against the entries that were made:
// all are there, once.
func (d *day) checkJournal() {
	kept := map[journal.Identity]string{}
	skipped, err := journal.Read(d.journalDir(), func(e journal.Entry) error {
		id := journal.Identify(e.Path, e.Size, e.ModTime)
		if _, twice := kept[id]; twice {
			d.t.Errorf("%s is in the journal twice", e.Path)
		}
		kept[id] = outcomeOf(e)
		return nil
	})
	if err != nil || skipped > 0 {
		d.t.Errorf("reading the journal: %v, %d lines skipped", err, skipped)
	}
	if len(kept) != len(d.studio.journal) {
		d.t.Errorf("%d entries were made, %d are in the journal", len(d.studio.journal), len(kept))
	}
	for _, e := range d.studio.journal {
		if got := kept[journal.Identify(e.Path, e.Size, e.ModTime)]; got != outcomeOf(e) {
			d.t.Errorf("the journal has %s as %q, want %q", e.Path, got, outcomeOf(e))
		}
	}
}
