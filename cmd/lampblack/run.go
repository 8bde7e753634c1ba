package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/alecthomas/kong"

	"lampblack/agent"
	"lampblack/agent/picture"
	"lampblack/agent/sensor"
	"lampblack/cmd/lampblack/values"
	"lampblack/config/log"
	"lampblack/rules"
)

// The exit codes, the same for every command.
const (
	ok       = 0
	unread   = 1 // a file could not be read, or the work could not be done
	badInput = 2 // the profile or the arguments are wrong
)

// workerCommand is the hidden command that the picture reader starts.
const workerCommand = "read-one-picture"

// line is the command line.
type line struct {
	Profile values.Location `help:"The profile to use." placeholder:"FILE"`
	State   values.Location `help:"The folder in which the journal is kept." placeholder:"DIR"`

	Watch     watchCmd     `cmd:"" default:"1" help:"Watch the export folders from the tray (the default)."`
	Begin     beginCmd     `cmd:"" help:"Answer four questions, and have a first profile written."`
	Explain   explainCmd   `cmd:"" help:"Say how the print of a picture will come out, and why."`
	Desk      deskCmd      `cmd:"" help:"Show the desk: each condition with its value, target and age."`
	Page      pageCmd      `cmd:"" help:"Write the desk page, one HTML file, and open it."`
	Light     lightCmd     `cmd:"" help:"Log a reading of the room light, or take back what was logged last."`
	Meter     meterCmd     `cmd:"" help:"Read the light, or a screen's white, with a camera or an exposure meter."`
	Strip     stripCmd     `cmd:"" help:"Write a test strip of a picture, to print once and pick from."`
	Journal   journalCmd   `cmd:"" help:"Find exports in the journal: when, at what desk, with what verdict."`
	Outcome   outcomeCmd   `cmd:"" help:"Report how a print came out, so that predictions can be corrected."`
	Autostart autostartCmd `cmd:"" help:"Have Lampblack start when you log in, or no longer."`
	Rehearse  rehearseCmd  `cmd:"" help:"Play a day at an invented desk, with real files, in a temporary folder."`
	Version   versionCmd   `cmd:"" help:"Print the version."`
}

// job is what every command gets: the way to the world, and where the user said
// that things are.
type job struct {
	ctx            context.Context
	stdin          io.Reader
	voice          *voice
	profile, state string // as named on the command line; empty if not
	sensor         agent.LightSensor
}

// helpWords are what the help of the commands takes from elsewhere.
var helpWords = kong.Vars{"facts": log.Kinds()}

// run runs one command line and gives its exit code.
func run(ctx context.Context, args []string, stdin *os.File, stdout, stderr io.Writer) int {
	if len(args) == 1 && args[0] == workerCommand {
		return picture.WorkerMain(stdin, stdout)
	}
	v := &voice{out: stdout, err: stderr}
	var cl line
	helped := -1
	parser := kong.Must(&cl, kong.Name("lampblack"),
		kong.Description("Knows the desk you edit at, and says when a print will come out dark."),
		helpWords,
		kong.Writers(stdout, stderr),
		kong.Exit(func(code int) { helped = code }))
	parser.Model.HelpFlag.Help = "Show this help."
	words, err := arrange(parser.Model, args)
	if err != nil {
		return finish(v, commandAmong(parser.Model, args), misused(err))
	}
	command, err := parser.Parse(words)
	switch {
	case helped >= 0: // --help has been printed
		return helped
	case err != nil:
		first := words[:min(1, len(words))] // where arrange puts the command
		return finish(v, commandAmong(parser.Model, first), misused(errors.New(plainly(err, words))))
	}
	return finish(v, command.Selected(), command.Run(&job{
		ctx: ctx, stdin: stdin, voice: v, sensor: &sensor.Sensor{},
		profile: string(cl.Profile), state: string(cl.State),
	}))
}

// finish turns the end of a command into its exit code, having said what is
// left to say. The command is nil where none was named.
func finish(v *voice, command *kong.Node, err error) int {
	if err == nil {
		err = v.lost
	}
	if err == nil {
		return ok
	}
	e := exitError{code: unread, err: err}
	errors.As(err, &e)
	if e.err != nil {
		v.say(e.Error() + e.hint(command))
	}
	return e.code
}

// exitError is an error with the exit code it asks for; a nil err has been said.
type exitError struct {
	code    int
	err     error
	misused bool // the arguments are wrong, so help on them is of use
}

func (e exitError) Error() string { return fmt.Sprint(e.err) }

// hint is a line that says where to read more.
func (e exitError) hint(command *kong.Node) string {
	switch {
	case !e.misused:
		return ""
	case command == nil:
		return "\nsee lampblack --help"
	}
	return "\nsee lampblack " + command.Name + " --help"
}

// bad is an error of the profile, or of where things are.
func bad(err error) error { return exitError{code: badInput, err: err} }

// misused is an error of a command's arguments.
func misused(err error) error { return exitError{code: badInput, err: err, misused: true} }

// profilePath is where the profile is, or would be.
func (j *job) profilePath() (string, error) {
	if j.profile != "" {
		return j.profile, nil
	}
	dirs, err := agent.DefaultDirs()
	if err != nil {
		return "", bad(err)
	}
	return filepath.Join(dirs.Config, "profile.toml"), nil
}

// stateDir is where the journal is.
func (j *job) stateDir() (string, error) {
	if j.state != "" {
		return j.state, nil
	}
	dirs, err := agent.DefaultDirs()
	if err != nil {
		return "", bad(errors.New("can't tell where the journal belongs: set HOME, or use --state"))
	}
	return dirs.State, nil
}

// loadProfile reads the profile, and says what it put up with. Without one the
// assumed profile serves, unless the user has named one.
func (j *job) loadProfile() (*rules.Profile, error) {
	path, err := j.profilePath()
	if err != nil {
		return nil, err
	}
	state, err := j.stateDir()
	if err != nil {
		state = "" // nothing was learnt, then
	}
	p, notes, existed, err := agent.LoadProfile(path, state)
	if err == nil {
		var unread []string
		p, unread, err = j.readPapers(p)
		notes = append(notes, unread...)
	}
	switch {
	case err != nil:
		j.say(notes)
		return nil, bad(err)
	case !existed && j.profile != "":
		return nil, noProfile(path)
	case !existed:
		j.voice.say(fmt.Sprintf("%v, so everything is assumed\nlampblack begin asks four questions and writes one", noProfile(path)))
	}
	j.say(notes)
	return p, nil
}

func (j *job) say(notes []string) {
	for _, n := range notes {
		j.voice.say(n)
	}
}

// profileAt is the profile as of a moment, and that moment: now when none was asked
// for, and then with what the machine's sensor reads, if the profile wants it.
func (j *job) profileAt(at *values.Moment) (*rules.Profile, time.Time, error) {
	p, err := j.loadProfile()
	now := at.OrNow()
	if err != nil || at != nil {
		return p, now, err
	}
	p, trouble := agent.WithSensor(j.ctx, p, j.sensor, now)
	if trouble != "" {
		j.voice.say(trouble)
	}
	return p, now, nil
}

// readPapers reads the colour profiles of a profile's papers.
func (j *job) readPapers(p *rules.Profile) (*rules.Profile, []string, error) {
	r, err := reader()
	if err != nil {
		return nil, nil, err
	}
	p, notes := agent.ReadPapers(j.ctx, r, p)
	return p, notes, nil
}

func noProfile(path string) error { return bad(fmt.Errorf("there is no profile at %s", visible(path))) }

// reader reads pictures in a process of their own, made from this program.
func reader() (picture.Worker, error) {
	exe, err := os.Executable()
	if err != nil {
		return picture.Worker{}, fmt.Errorf("can't find this program's own file: %w", err)
	}
	return picture.Worker{Command: []string{exe, workerCommand}}, nil
}
