package agent

import "lampblack/rules"

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

// sayAndBegin has a trouble that begins said on the terminal, too.
func (t *tidings) sayAndBegin(k kind, about, text string) {
	t.say(text)
	t.begin(k, about, text)
}

func (t *tidings) end(k kind, about string) {
	*t = append(*t, tiding{does: endTrouble, kind: k, about: about})
}

func (t *tidings) endAll(k kind) { *t = append(*t, tiding{does: endTroubles, kind: k}) }

// add appends what another has to tell.
func (t *tidings) add(more tidings) { *t = append(*t, more...) }
