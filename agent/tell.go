package agent

import (
	"lampblack/agent/tray"
	"lampblack/rules"
)

// show gives the tray what it shows. The tray itself drops what hasn't changed.
func (l *loop) show() {
	now, p := l.o.Now(), l.desk.profile
	c := rules.Resolve(p, now)
	l.o.Desktop.Show(tray.State{
		Summary:  l.voice.summary(&c, p.Quiet),
		Troubles: l.voice.troubles.shown(now),
		Surround: p.Surround.Name,
		Lux:      knownLight(&c),
		White:    float64(p.EditingDisplay().White.Value),
		Resting:  l.voice.resting(),
		Logged:   l.desk.justLogged(now),
		Prints:   l.voice.tellable(l.desk.told),
	})
}

// knownLight is the light of the room, lx, or 0 when it is only assumed.
func knownLight(c *rules.Conditions) float64 {
	if room := c.Get(rules.RoomLight); !room.Assumed {
		return float64(room.Value)
	}
	return 0
}

// tell has the voice say what another group has to tell.
func (l *loop) tell(t tidings) {
	for _, x := range t {
		sentence, notice := l.voice.hear(x, l.o.Now())
		if sentence != "" {
			l.o.Say(sentence)
		}
		if notice != nil {
			l.o.Desktop.Notify(*notice)
		}
	}
}

// say says a sentence on the terminal, once in a good while.
func (l *loop) say(text string) { l.tell(tidings{{does: saySentence, text: text}}) }
