package agent

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"time"

	"lampblack/agent/watch"
	"lampblack/config"
	"lampblack/config/log"
	"lampblack/rules"
)

// logName is the name of the program's own log beside the profile.
const logName = "readings.toml"

// LoadProfile reads the profile at path with the log beside it applied, and with
// what the outcomes in the state directory, if one is named, have taught. With no
// file there the embedded default serves, and existed is false. notes are plain
// sentences about what was put up with.
func LoadProfile(path, stateDir string) (p *rules.Profile, notes []string, existed bool, err error) {
	w, err := readProfile(path, config.Load)
	if err != nil {
		return nil, w.notes, true, err
	}
	known, recovered, err := log.Read(LogPath(path))
	if recovered != "" {
		w.notes = append(w.notes, recovered)
	}
	if err != nil {
		w.notes = append(w.notes, err.Error())
	}
	p = known.Apply(w.profile, w.modified)
	if stateDir != "" {
		learnt, note, err := ReadLearnt(JournalDir(stateDir))
		if err != nil {
			note = err.Error()
		}
		if note != "" {
			w.notes = append(w.notes, note)
		}
		p.Learnt = learnt
	}
	return p, w.notes, w.existed, nil
}

// written is a profile as its file has it, without the log.
type written struct {
	profile  *rules.Profile
	modified time.Time // of the file
	existed  bool      // false: there is none, and the embedded default serves
	notes    []string
}

func readProfile(path string, load func(string) (*rules.Profile, config.Mistakes, error)) (written, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return written{profile: config.Default()}, nil
	}
	w := written{existed: true}
	if info != nil {
		w.modified = info.ModTime()
	}
	p, doubts, err := load(path)
	for _, d := range doubts {
		w.notes = append(w.notes, d.String())
	}
	w.profile = p
	return w, err
}

// LogPath is the path of the log that belongs to a profile.
func LogPath(profile string) string { return filepath.Join(filepath.Dir(profile), logName) }

// loadProfile takes over the profile and its log as they are now. A broken
// profile leaves the last good one in force, and is told once in a notice and
// for as long as it lasts in the menu.
func (l *loop) loadProfile() {
	w, err := readProfile(l.o.ProfilePath, config.LoadFile) // whoever watches a folder tells what is wrong with it
	switch {
	case err == nil:
		l.good = w
		l.tellGood()
	case l.good.profile == nil:
		l.good.profile = config.Default()
		l.tellBroken(err)
	default:
		l.tellBroken(err)
	}
	l.layOver()
	l.learn()
	l.askPapers(l.o.Now())
	l.watchFolders()
	l.watchLight()
}

// layOver makes the profile in force: the last good one, with the log and all else
// that is known besides.
func (l *loop) layOver() {
	l.profile = l.applyLog(l.good)
	l.profile.Learnt = l.learnt
	l.keepSensed()
	l.fillPapers()
}

func (l *loop) tellGood() {
	l.troubles.end(profileTrouble, "")
	if !l.good.existed {
		l.say(fmt.Sprintf("there is no profile at %s: an assumed one serves until you write one", l.o.ProfilePath))
	}
	for _, n := range l.good.notes {
		l.say(n)
	}
}

func (l *loop) tellBroken(err error) {
	l.say(err.Error())
	text := firstMistake(err)
	if l.troubles.begin(profileTrouble, "", "Profile: "+text, l.o.Now()) {
		l.o.Desktop.Notify(rules.BrokenProfile(text))
	}
}

// firstMistake is the first mistake of an error that lists them, with what to do
// about it, and how many more there are.
func firstMistake(err error) string {
	var ms config.Mistakes
	if !errors.As(err, &ms) || len(ms) == 0 {
		first, _, _ := strings.Cut(err.Error(), "\n")
		return first
	}
	ms = slices.Clone(ms)
	ms[0].File = filepath.Base(ms[0].File) // the whole path would leave no room in a menu
	first := ms[0].String()
	if ms[0].Hint != "" {
		first += "; " + ms[0].Hint
	}
	first, _, _ = strings.Cut(first, "\n")
	switch more := len(ms) - 1; more {
	case 0:
		return first
	case 1:
		return first + " (and 1 more mistake)"
	default:
		return fmt.Sprintf("%s (and %d more mistakes)", first, more)
	}
}

// mostSaid is how many sentences are remembered as said: each names a file or a folder,
// and in a year there are many.
const mostSaid = 200

// say says a sentence on the terminal, once in a good while.
func (l *loop) say(text string) {
	if slices.Contains(l.said, text) {
		return
	}
	l.said = append(l.said, text)
	if len(l.said) > mostSaid {
		l.said = slices.Delete(l.said, 0, 1)
	}
	l.o.Say(text)
}

// watchProfile watches the profile and its log like a folder of exports: an
// editor saves a profile in the same ways.
func (l *loop) watchProfile() {
	// Made now, the profile's folder can be watched before anything is in it.
	_ = os.MkdirAll(filepath.Dir(l.o.ProfilePath), 0o700)
	// The slow look is for a folder that comes back; it needs no hurry.
	options := watch.Options{Settle: 100 * time.Millisecond, Tick: refresh}
	l.o.Watch(l.ctx, profilePlaces(l.o.ProfilePath), options, l.edited)
}

// profilePlaces are the profile and its log, and what the profile is a link to,
// should it be kept elsewhere.
func profilePlaces(path string) []watch.Folder {
	places := []watch.Folder{{
		Path:  filepath.Dir(path),
		Match: []string{escapePattern(filepath.Base(path)), logName},
	}}
	if target, err := filepath.EvalSymlinks(path); err == nil && filepath.Dir(target) != filepath.Dir(path) {
		places = append(places, watch.Folder{
			Path:  filepath.Dir(target),
			Match: []string{escapePattern(filepath.Base(target))},
		})
	}
	return places
}

// escapePattern makes a file name a pattern that matches only it.
func escapePattern(name string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(name)
}

// watchFolders watches the folders of the profile, if they are not the ones
// that are watched already.
func (l *loop) watchFolders() {
	folders := l.profile.Folders
	if len(folders) == 0 {
		l.troubles.begin(nothingWatched, "", "No folder is watched: name one in the profile", l.o.Now())
	} else {
		l.troubles.end(nothingWatched, "")
	}
	if l.stopWatch != nil && reflect.DeepEqual(places(folders), places(l.watched)) {
		l.watched = folders
		return
	}
	l.watched = folders
	l.watchAgain()
}

// watchAgain watches the folders anew, and so catches up with what the journal
// doesn't have.
func (l *loop) watchAgain() {
	if l.profile == nil {
		return // it is about to be loaded
	}
	folders := l.watched
	if l.stopWatch != nil {
		l.stopWatch()
	}
	l.troubles.endAll(folderTrouble)
	l.troubles.endAll(growingTrouble)
	ctx, stop := context.WithCancel(l.ctx)
	l.stopWatch = stop
	// A channel of its own: what the old watch still sends is about old folders.
	events := make(chan watch.Event)
	l.events = events
	options := watch.Options{Settle: l.o.Settle, Known: l.known(folders)}
	l.hands.Go(func() { l.o.Watch(ctx, places(folders), options, events) })
}

// stampSlack is how far a file's time can lag behind the clock: a tick of the
// kernel's on Linux, two seconds on a FAT drive. An export written just after its
// folder came to be watched must not look older than that.
const stampSlack = 2 * time.Second

// known tells the watch which files need no event: those that the journal has,
// those that lay in a folder before it was ever watched, and those too old to be
// caught up. Of a file that was just written nobody knows before it is read. While
// the journal can't be opened, all that was there before counts as known. It is
// called from the watch's goroutines.
func (l *loop) known(folders []rules.Folder) func(watch.File) bool {
	started := l.o.Now()
	l.caughtUp = started
	since := l.state.firstWatched(folders, started)
	old := started.Add(-catchUpLimit)
	then := *l.state // as it is now: the loop may open it meanwhile
	return func(f watch.File) bool {
		if f.CatchUp && (then.journal == nil || f.ModTime.Before(old) || came(f).Before(since[f.Folder].Add(-stampSlack))) {
			return true
		}
		return !f.Written && then.known(f)
	}
}

// came is when a file came to where it is, as far as its times tell: a file that is
// moved or linked into a folder keeps the time at which it was written.
func came(f watch.File) time.Time {
	if f.Changed.After(f.ModTime) {
		return f.Changed
	}
	return f.ModTime
}

// places are the folders as the watch wants them.
func places(folders []rules.Folder) []watch.Folder {
	out := make([]watch.Folder, len(folders))
	for i, f := range folders {
		out[i] = watch.Folder{Path: f.Path, Match: f.Match, Subfolders: f.Subfolders, Poll: f.Poll}
	}
	return out
}
