package rehearse

import (
	"context"
	_ "embed"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/rehearse/scenes"
	"lampblack/agent/tray"
	"lampblack/rules"
)

// scene is one export of the day, and what it must come to.
type scene struct {
	title  string
	change func(*scenery) // of the desk, before the export; may be nil
	name   string         // of the file written
	source string         // the picture that is drawn for it
	write  func(path string, content []byte) error
	forWeb bool
	want   []rules.Verdict // any of these; Unread when it must not be readable
	silent bool
}

func (s scene) check(e journal.Entry) error {
	verdict := rules.Unread
	if e.Report != nil {
		verdict = e.Report.Verdict
	}
	for _, w := range s.want {
		if w == verdict && (e.Silence != "") == s.silent {
			return nil
		}
	}
	return fmt.Errorf("the verdict on %s is %q (no notice: %q), which it must not be", s.name, verdict, e.Silence)
}

// day is the rehearsal, in order.
var day = []scene{
	{
		title: "Morning: the screen at 96 cd/m², the room at 44 lx, as they should be",
		name:  "fog.tif", source: "fog.tif", write: renamedIn,
		want: []rules.Verdict{rules.Holds}, silent: true,
	},
	{
		title:  "Someone turns the screen up to 180 cd/m² to see the shadows, and sets the editor to black",
		change: func(d *scenery) { d.white, d.surround = 180, "black" },
		name:   "quay-at-dusk.tif", source: "quay-at-dusk.tif", write: inPieces,
		want: []rules.Verdict{rules.Darker},
	},
	{
		title: "The next export at the same desk: the same cause, so nothing is said twice",
		name:  "portrait.jpg", source: "portrait.jpg", write: renamedIn,
		want: []rules.Verdict{rules.Darker}, silent: true,
	},
	{
		title: "The same picture for the web: judged, kept in the journal, never warned about",
		name:  "portrait-web.jpg", source: "portrait.jpg", write: renamedIn, forWeb: true,
		want: []rules.Verdict{rules.Darker}, silent: true,
	},
	{
		title:  "The screen is put right, but nobody holds it, and with the blind up there are 180 lx on its face",
		change: func(d *scenery) { d.white, d.held, d.surround, d.lx = 96, false, "mid grey", 180 },
		name:   "boatshed.png", source: "boatshed.png", write: inPieces,
		want: []rules.Verdict{rules.Unsure, rules.Darker},
	},
	{
		title: "An export that was cut off half way",
		name:  "torn.jpg", source: "harbour-noon.jpg", write: cutOff,
		want: []rules.Verdict{rules.Unread}, silent: true,
	},
	{
		title:  "The blind comes down, the screen is held, and the light is read again: 40 lx",
		change: func(d *scenery) { d.held, d.lx = true, 40 },
		name:   "harbour-noon.jpg", source: "harbour-noon.jpg", write: renamedIn,
		want: []rules.Verdict{rules.Holds}, silent: true,
	},
}

// pictures are the files of the day by source, each drawn once, when it is first
// wanted.
type pictures map[string]func() ([]byte, error)

func newPictures() pictures {
	p := pictures{}
	for _, s := range day {
		if p[s.source] == nil {
			p[s.source] = sync.OnceValues(func() ([]byte, error) { return scenes.Export(s.source) })
		}
	}
	return p
}

// drawAhead draws them in the order of the day, while the agent is at those before.
func (p pictures) drawAhead(ctx context.Context) {
	for _, s := range day {
		if ctx.Err() != nil {
			return
		}
		_, _ = p[s.source]() // who wants it gets the error, too
	}
}

// scenery is the desk as the rehearsal's profile has it.
type scenery struct {
	white, lx           float64
	held                bool // nobody touches the brightness of the screen
	surround            string
	print, web, profile string
	now                 time.Time
}

//go:embed tidemark.toml
var tidemark string

// build makes the folders and the profile.
func (d *scenery) build() error {
	for _, dir := range []string{d.print, d.web} {
		if err := os.MkdirAll(dir, 0o700); err != nil {
			return err
		}
	}
	return d.save()
}

// save writes the profile beside the old one and renames it into place, as an
// editor does.
func (d *scenery) save() error {
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	text := strings.NewReplacer(
		"{white}", number(d.white), "{lx}", number(d.lx), "{surround}", d.surround,
		"{held}", strconv.FormatBool(d.held),
		"{measured}", d.now.AddDate(0, 0, -12).Format(time.DateOnly),
		"{read_at}", d.now.UTC().Format(time.RFC3339),
		"{print}", filepath.ToSlash(d.print), "{web}", filepath.ToSlash(d.web),
	).Replace(tidemark)
	temporary := d.profile + ".new"
	if err := os.WriteFile(temporary, []byte(text), 0o600); err != nil {
		return err
	}
	return os.Rename(temporary, d.profile)
}

// shownIn tells whether a state of the tray is of the desk as it is now.
func (d *scenery) shownIn(s tray.State) bool {
	drifting := !d.held && d.lx > 48
	return s.Lux == d.lx && s.Surround == d.surround && s.Summary.Predicted == drifting && s.White == d.white
}

// renamedIn writes a file beside its place and renames it, as careful editors do.
func renamedIn(path string, content []byte) error {
	temporary := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".tmp")
	if err := os.WriteFile(temporary, content, 0o600); err != nil {
		return err
	}
	return os.Rename(temporary, path)
}

// inPieces writes a file in pieces with pauses, as editors do that compress as
// they go.
func inPieces(path string, content []byte) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	const pieces = 5
	for i := range pieces {
		piece := content[len(content)*i/pieces : len(content)*(i+1)/pieces]
		if _, err := f.Write(piece); err != nil {
			_ = f.Close()
			return err
		}
		time.Sleep(60 * time.Millisecond) // the pause is the point of this way of writing
	}
	return f.Close()
}

// cutOff writes the first half of a file.
func cutOff(path string, content []byte) error {
	return os.WriteFile(path, content[:len(content)/2], 0o600)
}
