package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"time"
)

func (w *watched) tell(code, text string) {
	if !w.trouble[code] {
		w.trouble[code] = true
		w.send(Event{Trouble: &Trouble{Folder: w.index, Code: code, Text: text}})
	}
}

func (w *watched) over(code, text string) {
	if w.trouble[code] {
		delete(w.trouble, code)
		w.send(Event{Trouble: &Trouble{Folder: w.index, Code: code, Text: text, Over: true}})
	}
}

// overUnless tells that a trouble is over, unless it still lasts.
func (w *watched) overUnless(lasts bool, code, text string) {
	if !lasts {
		w.over(code, text)
	}
}

// send returns false when the context has ended.
func (w *watched) send(e Event) bool {
	select {
	case w.out <- e:
		return true
	case <-w.ctx.Done():
		return false
	}
}

func (w *watched) tellGrowing(now time.Time) {
	if name, since, any := w.files.growing(now); any {
		w.tell(Growing, fmt.Sprintf("%q in %q has been changing for %.0f s; it will be looked at once it stops changing", name, w.Path, since.Seconds()))
	} else {
		w.over(Growing, fmt.Sprintf("no file in %q keeps changing any more", w.Path))
	}
}

// tellBatch tells what a scan found to be in the way.
func (w *watched) tellBatch(b batch) {
	if b.limit != nil {
		w.opened.limit = b.limit // told when the whole folder has been read
	}
	if b.partial != nil {
		w.opened.partial = b.partial
		w.tell(Unreadable, fmt.Sprintf("a folder in %q can't be read (%v); check its permissions", w.Path, b.partial))
	}
	if b.tooDeep {
		w.tell(TooDeep, fmt.Sprintf("%q holds more than %d subfolders, or more than %d within each other; "+
			"the rest is not watched, so name those you export into", w.Path, maxFolders, maxDepth))
	}
}

// tellClosed tells why the folder can't be watched.
func (w *watched) tellClosed(err error) {
	if errors.Is(err, fs.ErrNotExist) {
		w.over(Unreadable, fmt.Sprintf("the folder %q is no longer in the way", w.Path))
		w.tell(Missing, fmt.Sprintf("the folder %q is not there; its exports go unseen until it is back or the profile names another", w.Path))
		return
	}
	w.over(Missing, fmt.Sprintf("there is something at %q again", w.Path))
	w.tell(Unreadable, fmt.Sprintf("the folder %q can't be read (%v); check its permissions, or name another in the profile", w.Path, err))
}

// ask calls fn, which touches the disk, on a goroutine of its own and waits for
// the answer. A drive that takes long is told as a trouble; ok is false when the
// context ended first.
func ask[T any](w *watched, fn func() T) (answer T, ok bool) {
	answers := make(chan T, 1)
	w.hands.Go(func() { answers <- fn() })
	slow := time.NewTimer(answerWithin)
	defer slow.Stop()
	for {
		select {
		case answer = <-answers:
			w.over(NotAnswering, fmt.Sprintf("the drive of %q answers again", w.Path))
			return answer, true
		case <-slow.C:
			w.tell(NotAnswering, fmt.Sprintf("the drive of %q has not answered for %v; check that it is connected", w.Path, answerWithin))
		case <-w.ctx.Done():
			return answer, false
		}
	}
}
