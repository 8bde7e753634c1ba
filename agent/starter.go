package agent

import (
	"errors"
	"fmt"
	"io/fs"

	"lampblack/config"
)

// openProfile opens the profile in the user's editor. Where there is none, a
// commented one is written first, in which nothing is set, and a page that
// explains it is opened beside it.
func (l *loop) openProfile() {
	first, err := writeStarter(l.o.ProfilePath)
	if err == nil {
		err = l.o.Open(l.o.ProfilePath)
	}
	if err != nil {
		l.troubles.begin(openTrouble, "", fmt.Sprintf("Could not open %s: %v", l.o.ProfilePath, err), l.o.Now())
	} else {
		l.troubles.end(openTrouble, "")
	}
	if first && l.o.Explain != nil {
		l.hands.Go(l.explainProfile)
	}
}

// writeStarter writes a first profile, never over a file that is there; first
// tells whether there was none.
func writeStarter(path string) (first bool, err error) {
	err = config.WriteStarter(path, config.Answers{})
	if errors.Is(err, fs.ErrExist) {
		return false, nil
	}
	return err == nil, err
}

// explainProfile has the page made and opens it. It is a help, and the profile has
// its own comments: that it can't be made is said, and nothing more.
func (l *loop) explainProfile() {
	err := l.o.Explain(l.ctx)
	if err == nil {
		err = l.o.OpenPage(FirstPage(l.o.StateDir))
	}
	if err != nil && l.ctx.Err() == nil {
		l.o.Say(fmt.Sprintf("the page that explains the profile could not be opened: %v", err))
	}
}
