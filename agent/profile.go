package agent

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"lampblack/agent/watch"
	"lampblack/config"
	"lampblack/config/legible"
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
		learnt, note, err := ReadLearnt(JournalDir(stateDir), p)
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

// firstMistake is the first mistake of a profile on one line, with what to do about it
// and how many more there are; of another error it is the whole.
func firstMistake(err error) string {
	var ms config.Mistakes
	if !errors.As(err, &ms) || len(ms) == 0 {
		return legible.Plain(err.Error())
	}
	m := ms[0]
	m.File = filepath.Base(m.File) // the whole path would leave no room in a menu
	first := m.String()
	if m.Hint != "" {
		first += "; " + m.Hint
	}
	switch more := len(ms) - 1; more {
	case 0:
	case 1:
		first += " (and 1 more mistake)"
	default:
		first += fmt.Sprintf(" (and %d more mistakes)", more)
	}
	return legible.Plain(first)
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
