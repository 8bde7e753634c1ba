// Package rules decides what the conditions at a desk do to a print. Everything in
// it is pure: no clock, no files, no randomness that is not seeded. The time is
// always an argument. One file holds one decision.
//
// # From a profile to a verdict
//
// [Evaluate] is the whole line. It takes a [Profile], an [Export] with its [Picture],
// and a moment, and gives a [Report]:
//
//   - [Resolve] makes [Conditions] of the profile and its readings: what was so at
//     that moment, each with its age, its source and its uncertainty.
//   - [Predict] asks CIECAM16 (package cam16) of each tone and colour of the picture:
//     had it been judged at the desk's targets, or as a print in its own light, what
//     would have been chosen? The answer is a [Prediction]: a [Shift] in stops,
//     positive is darker, a ratio of colourfulness, and [ShadowSteps].
//   - A fixed set of 256 samples carries the uncertainty of all conditions through the
//     same model: the [Spread], and from its probabilities the [Verdict].
//   - The shift is shared out to the conditions: each [Cause]. What could be done is
//     each [Remedy], with its number and with what it leaves.
//
// Tones are neutrals of the adopted white's own chromaticity. So white has J = 100
// exactly, the question of a tone has one dimension and a fast inverse, and the white
// point acts through colourfulness, where it belongs.
//
// What earlier prints have taught ([Learn]) corrects the shift. [Decide] tells
// whether to speak of a report, or why not.
//
// # Conditions
//
// [Catalogue] lists the conditions. A condition is one file: its name, unit, scale,
// words, how it is resolved, what it moves on the desk, how it is set, what would
// settle it, what of it is uncertain. Everything that deals with conditions loops
// over the catalogue, here and elsewhere; [Describe] tells what others need.
// To add one, write its file like screenluminance.go (or surround.go, the
// simplest that moves something), and put it at the end of the list in
// catalogue.go.
//
// # Words
//
// Words are made last, of codes and numbers: [Headline] and [Lines] of a report,
// [Parts] of it by headings, [NoticeFor] one export, [Summarise] of the desk,
// [InWords] of one condition.
//
// # Quantities
//
// [Lux], [Luminance], [Kelvin] and [Stops] are types of their own. A [Figure] is a
// number in a report, or [Unknown]. [Given] is a value with the answer to "who says
// so?".
//
// What is computed from which standard, and where that is thin, is in README.md here.
package rules
