package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"

	"lampblack/agent"
	"lampblack/cmd/lampblack/values"
	"lampblack/config"
	"lampblack/config/log"
	"lampblack/rules"
)

// beginCmd is the first run: four questions, and a profile with the answers.
type beginCmd struct {
	White    *string `help:"The luminance of the screen's white." placeholder:"CD/M²"`
	Measured *string `help:"When that was measured: a day, like \"3 weeks ago\", or never." placeholder:"DAY"`
	Held     *string `help:"Whether its brightness stays as you set it: yes or no." placeholder:"YES"`
	Room     *string `help:"How light the room is: in lux, or like \"dim lamp\"." placeholder:"LIGHT"`
	Exports  *string `help:"The folder into which you export pictures for print." placeholder:"DIR"`
	Judged   *string `help:"What you look at once a print has come out: screen, alone or both." placeholder:"WHAT"`
	Page     bool    `help:"Ask nothing: write a profile with nothing set, if there is none, and a page that explains which lines to edit."`
}

// Help is shown by begin --help.
func (beginCmd) Help() string {
	return "Each flag but --page is the answer to a question, which then isn't asked. An empty one, as in --white=, says that you don't know."
}

// Run asks what no flag has answered. Nothing is written before the last answer.
func (c beginCmd) Run(j *job) error {
	path, err := j.profilePath()
	if err != nil {
		return err
	}
	if c.Page {
		return c.writePage(j, path)
	}
	if _, err := os.Lstat(path); err == nil {
		return alreadyThere(path)
	}
	b := beginning{job: j, now: time.Now(), lines: typedLines(j.ctx, j.stdin)}
	if err := b.askAll(c); err != nil {
		return err
	}
	return b.write(path)
}

func alreadyThere(path string) error {
	return fmt.Errorf("there is a profile at %s already, and it stays as it is\n"+
		"edit it there, or move it away and begin again; lampblack desk shows what it says", visible(path))
}

// beginning is a first run.
type beginning struct {
	*job
	now   time.Time
	lines <-chan string // what is typed; closed at its end

	answers config.Answers
	light   *rules.Reading // nil: it was not told
	missing string         // the folder that was named last and is not there
}

// question is one question with what takes its answer. The flag stands for both.
type question struct {
	flag   string
	given  *string
	text   string
	answer func(string) error
	moot   func() bool // nobody needs to be asked; may be nil
}

func (b *beginning) askAll(c beginCmd) error {
	for _, q := range []question{
		{"--white", c.White, askWhite(), b.takeWhite, nil},
		{"--measured", c.Measured, askMeasured, b.takeMeasured, func() bool { return b.answers.White == 0 }},
		{"--held", c.Held, askHeld, b.takeHeld, func() bool { return b.answers.White == 0 }},
		{"--room", c.Room, askRoom(), b.takeRoom, nil},
		{"--exports", c.Exports, askExports, b.takeExports, nil},
		{"--judged", c.Judged, askJudged, b.takeJudged, nil},
	} {
		if err := b.put(q); err != nil {
			return err
		}
	}
	return nil
}

// The questions, as they are asked.
const (
	askMeasured = "   When was that measured? A day like 2026-02-10, \"3 weeks ago\", today, or never."
	askHeld     = "   Does its brightness stay as you set it? yes if nobody turns it up and no sensor dims it, or no.\n" +
		"   If you don't know, press Enter."
	askExports = "3. Into which folder do you export pictures for print? If you don't know yet, press Enter."
	askJudged  = "4. A print has just come out. What do you look at next? the screen beside it / the print alone, elsewhere / both, it varies\n" +
		"   If it varies, press Enter."
)

func askWhite() string {
	t := config.Default().Target
	return "1. How bright is the white of the screen you edit on, in cd/m²?\n" +
		fmt.Sprintf("   For prints it should be %g to %g; shifts are counted from the geometric middle, %.0f, unless the profile says otherwise.\n",
			t.White.Low, t.White.High, t.ReferenceWhite) +
		"   You need an instrument for this. If it hasn't been measured, press Enter."
}

func askRoom() string {
	lines := []string{"2. How light is it where you edit? In lux at the face of the screen, or what it is like:"}
	for _, l := range rules.RoomLooks() {
		lines = append(lines, fmt.Sprintf("     %-20s %s, about %g lx", l.Name, l.Words, float64(l.Light)))
	}
	t := config.Default().Target
	lines = append(lines,
		fmt.Sprintf("   %g to %g lx is right; shifts are counted from the geometric middle, %.0f.", rules.RoomRange(t.Room).Low, float64(t.Room), t.ReferenceRoom),
		"   If you can't tell, press Enter.")
	return strings.Join(lines, "\n")
}

// put takes the answer of the flag, or asks until there is one that can be taken.
func (b *beginning) put(q question) error {
	if q.given != nil {
		err := q.answer(*q.given)
		if errors.Is(err, values.ErrNotThere) {
			err = q.answer(*q.given) // named on purpose
		}
		if err != nil {
			return misused(fmt.Errorf("%s: %w", q.flag, err))
		}
		return nil
	}
	if q.moot != nil && q.moot() {
		return nil
	}
	for {
		b.voice.print(q.text)
		line, ok := b.typed()
		if !ok {
			return errors.New("ended before the last answer: nothing was written")
		}
		err := q.answer(line)
		if err == nil {
			return nil
		}
		b.voice.say(err.Error())
	}
}

// typed is the next line; false when there is none any more, or the program is
// told to end.
func (b *beginning) typed() (line string, ok bool) {
	select {
	case line, ok = <-b.lines:
		return line, ok
	case <-b.ctx.Done():
		return "", false
	}
}

func (b *beginning) takeWhite(text string) (err error) {
	b.answers.White, err = values.WhiteAnswer(text)
	return err
}

func (b *beginning) takeMeasured(text string) (err error) {
	b.answers.Measured, err = values.DayAnswer(text, b.now)
	return err
}

func (b *beginning) takeHeld(text string) (err error) {
	b.answers.Held, err = values.YesOrNoAnswer(text)
	return err
}

func (b *beginning) takeRoom(text string) (err error) {
	b.light, err = values.RoomAnswer(text)
	return err
}

// takeExports takes a folder that is not there when it is named again: it may be
// on a drive that is not plugged in, or yet to be made.
func (b *beginning) takeExports(text string) error {
	f, err := values.FolderAnswer(text)
	again := errors.Is(err, values.ErrNotThere) && f.Full == b.missing
	if err != nil && !again {
		b.missing = f.Full
		if errors.Is(err, values.ErrNotThere) {
			return fmt.Errorf("%w: name another, or the same again to have it watched once it is", err)
		}
		return err
	}
	b.answers.Exports = f.Typed
	return nil
}

func (b *beginning) takeJudged(text string) (err error) {
	b.answers.Judged, err = values.JudgedAnswer(text)
	return err
}

// write writes the profile and the reading, and shows the desk that they make.
func (b *beginning) write(path string) error {
	err := config.WriteStarter(path, b.answers)
	if errors.Is(err, fs.ErrExist) {
		return alreadyThere(path)
	}
	if err != nil {
		return fmt.Errorf("the profile was not written: %w", err)
	}
	b.voice.print("Wrote " + visible(path) + ". Anything you skipped is assumed; you can fill it in there later.")
	if b.light != nil {
		b.light.At, b.light.Source = b.now, rules.FromCommand
		if err := log.Append(agent.LogPath(path), &log.Reading{Reading: *b.light}); err != nil {
			return err
		}
		b.voice.print(lightNoted(*b.light))
	}
	p, err := b.loadProfile()
	if err != nil {
		return err
	}
	printSummary(b.voice, b.summary(p, b.now))
	printPlaces(b.voice, p)
	return nil
}

// lightNoted tells what was logged, and how little a look says.
func lightNoted(r rules.Reading) string {
	if r.Sigma > 0 {
		return fmt.Sprintf("Logged about %g lx at the screen, by eye: ± %.0f %%. A photograph of a sheet of paper tells more: lampblack meter --help.", r.Light, 100*r.Sigma)
	}
	return fmt.Sprintf("Logged %g lx at the screen.", r.Light)
}

// typedLines reads lines, in a goroutine of its own: nothing else can wait for a
// terminal and for the end of the program at once.
func typedLines(ctx context.Context, r io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		typed := bufio.NewScanner(r)
		for typed.Scan() {
			select {
			case lines <- typed.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	return lines
}
