package agent

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

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
	var t tidings
	if err != nil {
		t.begin(openTrouble, "", fmt.Sprintf("Could not open %s: %v", l.o.ProfilePath, err))
	} else {
		t.end(openTrouble, "")
	}
	l.tell(t)
	if first && l.o.Explain != nil {
		l.explainProfile()
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

// explainProfile has the page made and opened.
func (l *loop) explainProfile() {
	explain, open := l.o.Explain, l.o.OpenPage
	errand(l.ctx, &l.hands, FirstPage(l.o.StateDir), func(ctx context.Context, page string) (nothing, error) {
		if err := explain(ctx); err != nil {
			return nothing{}, err
		}
		return nothing{}, open(page)
	}, l.answers.firstPage)
}

// onFirstPage takes how that ended. The page is a help, and the profile has its own
// comments: that it can't be made is said, and nothing more.
func (l *loop) onFirstPage(a answer[string, nothing]) {
	if a.err != nil {
		l.say(fmt.Sprintf("the page that explains the profile could not be opened: %v", a.err))
	}
}

// FirstPage is the page below a state directory that explains a first profile.
func FirstPage(stateDir string) string { return filepath.Join(stateDir, "begin.html") }
