package rules

// The conditions in words, for words.go, deskwords.go and explained.go. Clauses begin
// with a capital, as if they stood alone.

// wording is what there is to say of one condition, each a whole clause. What is empty
// is said in general words, by the condition's name.
type wording struct {
	title     string // what it is called in a list, without a capital; empty: its name
	stands    stands
	is        string // that it has a {value}
	taken     string // that it is assumed to have a {value}
	predicted string // that it probably has a {value}
	close     string // that a close verdict depends on it, without a capital
	measure   string // that measuring it would tell more

	shown  func(v float64) float64        // its value, rounded as it is told; nil: asShown
	number func(v float64) string         // that as text, without its unit; nil: short
	behind string                         // what stands behind the number; empty: the unit
	value  func(v float64) string         // its value as text, where that is no number with a unit behind it
	seen   func(v float64) string         // the same where it follows the condition's name
	target func(low, high float64) string // without a unit; nil: rangeText
}

// stands is how a condition is said to stand to its target.
type stands map[standing]struct {
	word   string // in a list or on a drawing
	clause string
}

// standing is how a condition stands to its target.
type standing int

const (
	hasNoTarget standing = iota
	isRight
	isAssumed   // and in its target
	isTakenLow  // assumed, and below its target
	isTakenHigh // assumed, and above it
	isDoubted   // and in its target
	isTooLow
	isTooHigh
	isUnknown
	isOutlived // so old that nobody knows any more
)

func (c Condition) standing() standing {
	switch {
	case outlived(c):
		return isOutlived
	case !c.Value.Known():
		return isUnknown
	case !c.HasTarget():
		return hasNoTarget
	case c.InTarget && c.Doubt != "":
		return isDoubted
	case c.InTarget && c.Assumed:
		return isAssumed
	case c.InTarget:
		return isRight
	case float64(c.Value) > float64(c.Target[1]) && c.Assumed:
		return isTakenHigh
	case float64(c.Value) > float64(c.Target[1]):
		return isTooHigh
	case c.Assumed:
		return isTakenLow
	default:
		return isTooLow
	}
}

// inGeneral is how a condition stands that has no words of its own for it, or that only
// a later version knows.
var inGeneral = stands{
	isRight:     {"right", "The {name} is right"},
	isAssumed:   {"right", "The {name} is assumed to be right"},
	isDoubted:   {"in doubt", "The {name} is in doubt"},
	isTooLow:    {"too low", "The {name} is too low"},
	isTooHigh:   {"too high", "The {name} is too high"},
	isTakenLow:  {"too low", "The {name} is assumed to be too low"},
	isTakenHigh: {"too high", "The {name} is assumed to be too high"},
	isUnknown:   {"not known", "The {name} is not known"},
	isOutlived:  {"in need of a new reading", "The {name} needs a new reading"},
}

// wordingOf is the wording of a condition, also of one that a later version has put
// into a journal.
func wordingOf(c Condition) wording {
	k, _ := kindOf(c.Name)
	w := k.words
	if w.title == "" {
		w.title = c.Name
	}
	if w.shown == nil {
		w.shown = asShown
	}
	if w.number == nil {
		shown := w.shown
		w.number = func(v float64) string { return short(shown(v)) }
	}
	if w.behind == "" && c.Unit != "" {
		w.behind = " " + c.Unit
	}
	if w.target == nil {
		w.target = rangeText
	}
	for _, general := range []struct {
		words    *string
		sentence string
	}{
		{&w.is, "The {name} is {value}"},
		{&w.taken, "The {name} is assumed to be {value}"},
		{&w.predicted, "The {name} is probably {value}"},
		{&w.close, "it is close, and depends on the {name}"},
		{&w.measure, "Measuring the {name} now would take away much of the doubt."},
	} {
		if *general.words == "" {
			*general.words = fillIn(general.sentence, "name", c.Name)
		}
	}
	return w
}

// clause says how a condition stands to its target, as the beginning of a sentence; it
// is empty of one that is known and has none.
func clause(c Condition) string {
	s := c.standing()
	if said, has := wordingOf(c).stands[s]; has {
		return said.clause
	}
	return fillIn(inGeneral[s].clause, "name", c.Name)
}

// word is the same in a word or two, for a list.
func word(c Condition) string {
	s := c.standing()
	if said, has := wordingOf(c).stands[s]; has {
		return said.word
	}
	return inGeneral[s].word
}

// valueClause tells a condition's value, and whether it was measured.
func valueClause(c Condition) string {
	w := wordingOf(c)
	switch {
	case c.Assumed:
		return fillIn(w.taken, "value", valueText(c))
	case c.IsPredicted():
		return fillIn(w.predicted, "value", valueText(c))
	default:
		return fillIn(w.is, "value", valueText(c))
	}
}

// rangeText is a target from low to high; one that begins at 0 has an upper end only.
func rangeText(low, high float64) string {
	if low == 0 {
		return fillIn("up to {high}", "high", short(high))
	}
	return short(low) + "–" + short(high)
}

// Shown is the condition's value as it is told, in its unit: a white point that reads
// "6000 K" is 6000 K. NaN where there is none.
func (c Condition) Shown() float64 { return wordingOf(c).shown(float64(c.Value)) }

// valueText is a condition's value with its unit.
func valueText(c Condition) string {
	if !c.Value.Known() {
		return "not known"
	}
	w := wordingOf(c)
	if w.value != nil {
		return w.value(float64(c.Value))
	}
	return w.number(float64(c.Value)) + w.behind
}

// targetText is a condition's target without its unit; empty when it has none.
func targetText(c Condition) string {
	if !c.HasTarget() {
		return ""
	}
	return wordingOf(c).target(float64(c.Target[0]), float64(c.Target[1]))
}

// seenLine is a condition on the page that explains a report.
func seenLine(c Condition) string {
	what := fillIn("{name} {value}", "name", upperFirst(wordingOf(c).title), "value", seenValue(c))
	if origin := seenOrigin(c); origin != "" {
		what = fillIn("{what}, {origin}", "what", what, "origin", origin)
	}
	switch {
	case !c.HasTarget():
		return what
	case !c.Value.Known():
		return fillIn("{what} (target {target})", "what", what, "target", targetText(c))
	case c.isPressing():
		return fillIn("{what}: {word} (target {target})", "what", what, "word", word(c), "target", targetText(c))
	default:
		return fillIn("{what}: as it should be (target {target})", "what", what, "target", targetText(c))
	}
}

// seenValue is a value with its uncertainty, where that is known.
func seenValue(c Condition) string {
	w := wordingOf(c)
	switch {
	case !c.Value.Known():
		return valueText(c)
	case w.seen != nil:
		return w.seen(float64(c.Value))
	case !c.Sigma.Known():
		return valueText(c)
	}
	scale := 1.0
	if k, _ := kindOf(c.Name); k.unit.Whole != "" {
		scale = 100 // a share is told in percent
	}
	off := scale * float64(c.Value*c.Sigma)
	if off < 0.05 {
		return valueText(c)
	}
	return w.number(float64(c.Value)) + " ±" + roundOff(off) + w.behind
}

// seenOrigin is where a value comes from, as far as that is worth a word, or what
// speaks against it.
func seenOrigin(c Condition) string {
	switch {
	case c.Doubt != "":
		return c.Doubt
	case c.Assumed && c.Value.Known():
		return "assumed"
	case c.IsPredicted():
		return "predicted"
	default:
		return whenRead(c)
	}
}

// whenRead is who read a condition and how long ago; empty for one that isn't read.
func whenRead(c Condition) string {
	if k, _ := kindOf(c.Name); !k.reading || !c.AgeHours.Known() {
		return ""
	}
	return fillIn("{source} {age} ago", "source", c.Source, "age", span(hours(c.AgeHours)))
}

// whyPredicted says what a predicted value rests on; empty for any other.
func whyPredicted(c Condition) string {
	if !c.IsPredicted() {
		return ""
	}
	return fillIn("That is predicted: {source}.", "source", c.Source)
}

// ConditionWords is a condition in words, piece by piece, for whoever draws it.
type ConditionWords struct {
	Name   string // "Screen's white"
	Value  string // with its unit: "118 cd/m²"
	Target string // without: "90–120"; empty when it has none
	Word   string // how it stands to its target: "right", "too bright"; empty when it has none
	Origin string // "read at the screen 40 min ago"; may be empty
}

// InWords is a condition in words.
func InWords(c Condition) ConditionWords {
	origin := seenOrigin(c)
	if c.Doubt == "" && c.IsPredicted() {
		origin = fillIn("predicted: {source}", "source", c.Source)
	}
	return ConditionWords{
		Name:   upperFirst(wordingOf(c).title),
		Value:  seenValue(c),
		Target: targetText(c),
		Word:   word(c),
		Origin: origin,
	}
}
