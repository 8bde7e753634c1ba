package agent

import (
	"time"

	"lampblack/rules"
)

// tidings are what the desk and the exports have to tell, in the order in which it came
// up. They go to the voice as values: neither of the two knows what is said already.
type tidings []tiding

// tiding is a sentence for the terminal, or a trouble that begins or is over.
type tiding struct {
	does   act
	kind   kind          // of the trouble
	about  string        // as in trouble
	text   string        // the sentence, or the trouble's
	most   int           // of a trouble that begins: how many of its kind stay, the newest; 0: all
	notice *rules.Notice // raised, too, when the trouble that begins is news
}

type act int

const (
	saySentence act = iota + 1
	beginTrouble
	endTrouble
	endTroubles // troubles of the kind
)

func (t *tidings) say(text string) { *t = append(*t, tiding{does: saySentence, text: text}) }

func (t *tidings) begin(k kind, about, text string) {
	*t = append(*t, tiding{does: beginTrouble, kind: k, about: about, text: text})
}

func (t *tidings) end(k kind, about string) {
	*t = append(*t, tiding{does: endTrouble, kind: k, about: about})
}

func (t *tidings) endAll(k kind) { *t = append(*t, tiding{does: endTroubles, kind: k}) }

// add appends what another has to tell.
func (t *tidings) add(more tidings) { *t = append(*t, more...) }

// hear takes a tiding. What it gives is to be said on the terminal, and raised.
func (v *voice) hear(t tiding, now time.Time) (sentence string, notice *rules.Notice) {
	switch t.does {
	case saySentence:
		if v.said.fresh(t.text) {
			return t.text, nil
		}
	case beginTrouble:
		if v.troubles.begin(t.kind, t.about, t.text, now) {
			notice = t.notice
		}
		if t.most > 0 {
			v.troubles.keepNewest(t.kind, t.most)
		}
	case endTrouble:
		v.troubles.end(t.kind, t.about)
	case endTroubles:
		v.troubles.endAll(t.kind)
	}
	return "", notice
}
