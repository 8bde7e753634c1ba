package agent

import (
	"context"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// This file is what the loop does at each turn with what has come in, and what it sends
// out: from the desk to the exports, and from both to what is said.

// loadProfile takes over the profile and its log as they are now, with all that
// follows from it.
func (l *loop) loadProfile() {
	l.tell(l.desk.load(l.o.ProfilePath, l.o.Now()))
	l.learn()
	l.askPapers()
	l.watchFolders()
	l.watchLight()
}

// onEdited takes what the watch of the profile and its log found. What this program
// has just logged comes back from there, too, and is no news.
func (l *loop) onEdited(e watch.Event) {
	if e.File != nil && !l.desk.ownEcho(*e.File) {
		l.loadProfile()
	}
}

// onEvent takes what the watch of the folders found.
func (l *loop) onEvent(e watch.Event) {
	switch {
	case e.File != nil:
		l.enqueue(*e.File)
	case e.Trouble != nil:
		l.tell(ofFolder(*e.Trouble))
	}
}

func (l *loop) enqueue(f watch.File) {
	now := l.o.Now()
	if l.exports.enqueue(f, l.desk.profile.Room.LightFolder, now) {
		l.voice.gathered.arrived = now
		l.sense(senseAgain)
	}
}

// feedDue is when the next export may be read, zero for at once; false while there is
// none, or what is at work will tell when it is done.
func (l *loop) feedDue() (due time.Time, ok bool) {
	from, ready := l.desk.readyAt()
	if !ready {
		return time.Time{}, false
	}
	return l.exports.due(from)
}

// feed hands the next export to the reader when that is free: one after the other, as
// the editor needs the machine more than we do.
func (l *loop) feed(now time.Time) {
	if due, ok := l.feedDue(); !ok || now.Before(due) {
		return
	}
	r := l.o.Reader
	errand(l.ctx, &l.hands, l.exports.next(), func(ctx context.Context, e export) (picture.Examined, error) {
		return r.Examine(ctx, e.Path)
	}, l.answers.exports)
}

// UnreadCode is the case of the reason why a file could not be read.
func UnreadCode(err error) rules.Code {
	if kind := picture.Kind(err); kind != "" {
		return rules.Code(kind)
	}
	return rules.UnreadFault
}

// onRead judges an export that has been read, journals it, and keeps it for
// the notice when it is worth one.
func (l *loop) onRead(r examined) {
	now := l.o.Now()
	if l.ctx.Err() != nil {
		return // ended while reading: it is caught up at the next start
	}
	if !l.exports.receive(r, now) {
		return
	}
	f := r.about
	e := journal.Entry{At: now, Path: f.Path, Size: f.Size, ModTime: f.ModTime, Hash: r.found.Hash, CatchUp: f.CatchUp}
	if r.err != nil {
		e.Unread, e.UnreadCode = r.err.Error(), UnreadCode(r.err)
		e.Silence, e.SilenceCode = "the file could not be read", rules.SilenceUnread
	} else {
		l.learn()
		e.Report = judge(l.desk.profile, r, l.exports.before(f.Path))
		e.Gist = e.Report.Gist
		silence := l.voice.silence(e.Report, f.CatchUp, l.desk.profile.Quiet, now)
		e.Silence, e.SilenceCode = silence.Text, silence.Code
		l.voice.gathered.add(e, now)
		l.voice.addPrint(e)
	}
	l.voice.setLast(e)
	l.o.Observe(e)
	l.exports.keep(e)
	l.writeJournal()
}

// writeJournal writes what the journal still lacks, and does what follows from it.
func (l *loop) writeJournal() {
	now := l.o.Now()
	w := l.exports.write(now)
	if w.opened {
		l.voice.recall(l.exports.state.last(printsKept))
		l.exports.state.tellRunning(l.o.ProfilePath, now)
	}
	l.quit = l.quit || w.rival
	l.tell(w.tidings)
	if w.again {
		l.watchAgain()
	}
}

// sense has the sensor asked, where there is one, unless that was done within the given
// time.
func (l *loop) sense(within time.Duration) {
	if l.o.Sensor == nil {
		return
	}
	if at, ask := l.desk.askSensor(l.o.Now(), within); ask {
		sensor := l.o.Sensor
		errand(l.ctx, &l.hands, at, func(ctx context.Context, _ time.Time) (rules.Lux, error) {
			return sensor.Read(ctx)
		}, l.answers.sensor)
	}
}

func (l *loop) onSensed(s sensed) {
	l.desk.sensing.asked = false
	if l.ctx.Err() == nil {
		l.tell(l.desk.takeSensed(s, l.o.Now()))
	}
}

// askPapers has the colour profiles of the papers looked at, each by an errand of its own.
func (l *loop) askPapers() {
	for _, path := range l.desk.papers.ask(l.desk.good.profile, l.o.Now()) {
		errand(l.ctx, &l.hands, path, l.desk.papers.looking(l.o.Reader, path), l.answers.papers)
	}
}

func (l *loop) onPaper(a answer[string, sheet]) {
	if l.ctx.Err() == nil {
		l.tell(l.desk.takePaper(a, l.o.Now()))
	}
}

// onLight takes what the watch of the light folder found.
func (l *loop) onLight(e watch.Event) { l.tell(l.desk.lights.found(e, l.o.Now())) }

// feedPhotos hands the next photograph to the reader when that is free.
func (l *loop) feedPhotos() {
	p, ok := l.desk.lights.next()
	if !ok {
		return
	}
	r := l.o.Reader
	errand(l.ctx, &l.hands, p, func(ctx context.Context, p watch.File) (picture.Photograph, error) {
		return readPatiently(ctx, r, p.Path)
	}, l.answers.photos)
}

func (l *loop) onPhoto(p lightPhoto) {
	l.desk.lights.atReader = false
	if l.ctx.Err() == nil { // else it is read at the next start
		l.tell(l.desk.takePhoto(p, l.o.Now()))
	}
}

// learn takes over what the outcomes on disk teach.
func (l *loop) learn() { l.tell(l.desk.learn(JournalDir(l.o.StateDir))) }

// tellOutcome notes how a print came out, as it was clicked, and learns from it at once.
func (l *loop) tellOutcome(id string, word rules.Outcome) {
	if e, offered := l.voice.print(id); offered {
		l.tell(l.desk.noteOutcome(JournalDir(l.o.StateDir), e, word, l.o.Now()))
	}
}

// onCommand does what was clicked in the menu.
func (l *loop) onCommand(c tray.Command) {
	now := l.o.Now()
	switch c.Kind {
	case tray.LogLight:
		l.tell(l.desk.logClickedLight(now, rules.Lux(c.Lux)))
	case tray.SetSurround:
		l.tell(l.desk.logSurround(now, c.Surround))
	case tray.SetWhite:
		l.tell(l.desk.logWhite(now, rules.Luminance(c.White)))
	case tray.MarkCalibrated:
		l.tell(l.desk.logCalibrated(now))
	case tray.TakeBack:
		l.tell(l.desk.takeBack(now))
	case tray.ChoosePrint:
		l.voice.chosen = c.Print
	case tray.TellOutcome:
		l.tellOutcome(c.Print, c.Outcome)
	case tray.OpenPage:
		l.openPage()
	case tray.OpenProfile, tray.NoticeClicked:
		l.openProfile()
	case tray.Rest:
		l.voice.toggleRest(now)
	case tray.Quit:
		l.quit = true
	}
}
