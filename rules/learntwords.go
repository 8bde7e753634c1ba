package rules

import (
	"math"
	"strings"
)

// What the prints have taught, in a person's terms.

// LearntText is what was learnt as sentences: from how many prints, how they come out
// beside what was predicted of them, how much of a change of the white is felt, and how
// many it takes until verdicts go by it.
//
//	From 12 prints: yours usually come out about 0.2 stop darker than predicted (±0.1 stop).
func LearntText(l Learnt) string {
	if l.Prints == 0 {
		return "No print has been reported yet, so predictions are uncorrected."
	}
	sentences := []string{fillIn("From {prints}: {habit}.", "prints", plural(float64(l.Prints), "print"), "habit", l.habit())}
	if l.Prints < leastTaught {
		sentences = append(sentences, fillIn("Verdicts go by it from the {ordinal} print on.", "ordinal", ordinals[leastTaught]))
	} else {
		sentences = append(sentences, l.wayText())
	}
	return strings.Join(said(sentences...), " ")
}

// ordinals are the words for the numbers that leastTaught may be.
var ordinals = map[int]string{2: "second", 3: "third", 4: "fourth", 5: "fifth"}

// leastHabit is how far off prints have to come out to be said not to be as predicted,
// in stops: less can't be told to a tenth.
const leastHabit = 0.05

// habit is how the prints come out beside what the model predicts of them, on average,
// and how well that is known.
func (l Learnt) habit() string {
	var off, tone, white float64
	n := float64(len(l.told))
	for _, j := range l.told {
		off += (l.Correct(float64(j.Tone), float64(j.White)) - l.Model(j)) / n
		tone += float64(j.Tone) / n
		white += float64(j.White) / n
	}
	few, sentence := l.Prints < leastTaught, ""
	switch {
	case math.Abs(off) < leastHabit:
		sentence = "yours come out as predicted (±{doubt} stop)"
	case off > 0 && few:
		sentence = "yours probably come out about {off} stop darker than predicted (±{doubt} stop)"
	case off > 0:
		sentence = "yours usually come out about {off} stop darker than predicted (±{doubt} stop)"
	case few:
		sentence = "yours probably come out about {off} stop lighter than predicted (±{doubt} stop)"
	default:
		sentence = "yours usually come out about {off} stop lighter than predicted (±{doubt} stop)"
	}
	return fillIn(sentence, "off", tenths(math.Abs(off)), "doubt", tenths(l.Uncertainty(tone, white)))
}

// The share of a change of the white from which prints seem to be compared beside the
// screen, and up to which by themselves: the geometric middles between those two ways and
// what is taken for somebody who has not said.
var (
	seemsBeside   = math.Sqrt(Beside.unabsorbed().value * JudgedUnsaid.unabsorbed().value)
	seemsByItself = math.Sqrt(ByItself.unabsorbed().value * JudgedUnsaid.unabsorbed().value)
)

// wayText is how the person judges prints, it seems, where the prints tell: where what is
// felt of a change of the white lies beyond a limit by more than its uncertainty.
func (l Learnt) wayText() string {
	doubt := l.Unabsorbed * math.Sqrt(l.cov.At(2, 2)) // b·σ(ln b)
	sentence := ""
	switch {
	case l.Unabsorbed-doubt > seemsBeside:
		sentence = "You compare beside the screen, it seems: a change of its white counts for {share}."
	case l.Unabsorbed+doubt < seemsByItself:
		sentence = "You judge prints by themselves, not beside the screen, it seems: a change of its white counts for {share}."
	}
	return fillIn(sentence, "share", shareText(l.Unabsorbed))
}

// shareText is a share as a person would say it.
func shareText(share float64) string {
	words := []wordsUpTo{
		{0.035, "next to nothing"}, {0.07, "about a twentieth"}, {0.14, "about a tenth"}, {0.22, "about a fifth"}, {0.29, "about a quarter"},
		{0.41, "about a third"}, {0.58, "about half"}, {0.7, "about two thirds"}, {0.88, "about three quarters"},
	}
	return firstAbove(words, share, "all of it")
}
