package rules

import "slices"

// Why no notice was raised.
const (
	SilenceForScreen    Code = "for-screen"
	SilenceNoWarning    Code = "nothing-to-warn-of"
	SilenceAsMat        Code = "surround-as-mat"
	SilenceResting      Code = "resting"
	SilenceNoRemedy     Code = "close-without-remedy"
	SilencePerhapsLight Code = "perhaps-light"
	SilenceSaid         Code = "said-lately"
	SilenceRaised       Code = "raised-since"
	SilenceCatchUp      Code = "found-afterwards" // said by the agent
	SilenceUnread       Code = "could-not-be-read"
)

// Where the value of a condition comes from.
const (
	SourceProfile     Code = "profile"
	SourceAssumed     Code = "assumed"
	SourceUnmeasured  Code = "assumed-never-measured"
	SourceNoReading   Code = "assumed-no-reading"
	SourceUndated     Code = "profile-without-day"
	SourceMeasured    Code = "measured"
	SourceMenu        Code = "set-from-menu"
	SourceCamera      Code = "camera-or-meter"
	SourcePredicted   Code = "predicted-not-held"
	SourceScreen      Code = "read-at-screen"
	SourceDesk        Code = "estimated-from-desk"
	SourceDayNotKnown Code = "day-not-known"
)

// What speaks against the value of a condition.
const DoubtPrints Code = "prints-darker"

// Why a file could not be read.
const (
	UnreadUnfinished  Code = "unfinished"
	UnreadBroken      Code = "broken"
	UnreadUnsupported Code = "unsupported"
	UnreadVanished    Code = "vanished"
	UnreadFault       Code = "own-fault"
)

// What is remarked on a file.
const (
	NoteNoProfile    Code = "no-colour-profile" // said by the reader of files, as the next two are
	NoteBadProfile   Code = "colour-profile-unusable"
	NoteTransparency Code = "transparency-taken-as-opaque"
	NotePaper        Code = "paper-assumed"
	NoteViewing      Code = "viewing-assumed"
	NoteName         Code = "name-matches-no-pattern"
	NoteUnfinished   Code = "hidden-or-unfinished"
	NoteWideOnScreen Code = "wide-colours-on-screens"
	NoteFewBits      Code = "few-bits"
	NoteLooksScreen  Code = "looks-like-screen-file"
	NoteFitted       Code = "resolution-on-size"
	NoteOwnSize      Code = "size-at-own-resolution"
	NoteUsualSize    Code = "size-without-resolution"
	NoteFewPixels    Code = "few-pixels"
	NoteBlack        Code = "clipped-to-black"
	NoteWhite        Code = "clipped-to-white"
	NoteBelowBlack   Code = "below-paper-black"
	NoteHeld         Code = "bright-room-screen-held"
	NoteHeldFar      Code = "far-too-bright-room-screen-held"
	NoteAsMat        Code = "surround-as-light-as-mat"
)

// What a remedy asks for.
const (
	RemedySet        Code = "set-to-value"
	RemedyDim        Code = "dim-room"
	RemedyBrighten   Code = "brighten-room"
	RemedyRaise      Code = "raise-file"
	RemedyLower      Code = "lower-file"
	RemedyLight      Code = "light-print"
	RemedyEverything Code = "set-everything"
	RemedyReport     Code = "report-prints"
	RemedyRead       Code = "read-room-light"
	RemedyMeasure    Code = "measure-screen"
	RemedyCheck      Code = "check-surround"
)

// codes is what every code means.
var codes = map[Code]string{
	SilenceForScreen:    "no notice: the folder is for the screen",
	SilenceNoWarning:    "no notice: the verdict is none to warn of",
	SilenceAsMat:        "no notice: the surround is as light as the mat where the print will hang",
	SilenceResting:      "no notice: it was asked to rest",
	SilenceNoRemedy:     "no notice: it is close, and nothing would settle it",
	SilencePerhapsLight: "no notice: it may come out light, which is never warned of",
	SilenceSaid:         "no notice: said within the gap about the same cause",
	SilenceRaised:       "no notice: the file was raised since it was warned of",
	SilenceCatchUp:      "no notice: the file was written while its folder was not watched",
	SilenceUnread:       "no notice: the file could not be read",

	SourceProfile:     "stated in the profile",
	SourceAssumed:     "assumed, since nobody has said",
	SourceUnmeasured:  "assumed, since nobody has measured it",
	SourceNoReading:   "assumed, since there is no reading",
	SourceUndated:     "stated in the profile, without the day of its measurement",
	SourceMeasured:    "measured by an instrument",
	SourceMenu:        "picked from the menu",
	SourceCamera:      "read by a camera or an exposure meter",
	SourcePredicted:   "predicted of a screen that is not held, in a bright room",
	SourceScreen:      "read at the screen",
	SourceDesk:        "half of what was read flat on the desk",
	SourceDayNotKnown: "it isn't known when the screen was calibrated",

	DoubtPrints: "prints came out darker than predicted since it was measured",

	UnreadUnfinished:  "the file ends too early: perhaps it is still being written",
	UnreadBroken:      "the file is damaged",
	UnreadUnsupported: "the file is of a kind that isn't read",
	UnreadVanished:    "the file is gone, or out of reach",
	UnreadFault:       "a fault of Lampblack's own, which says nothing about the file",

	NoteNoProfile:    "the file carries no colour profile, and was taken as sRGB",
	NoteBadProfile:   "the file's colour profile can't be used, and it was taken as sRGB",
	NoteTransparency: "the file's transparency was taken as opaque",
	NotePaper:        "no paper is named for the file, and the first was assumed",
	NoteViewing:      "no viewing place is named for the file, and the first was assumed",
	NoteName:         "the file's name matches no pattern of its folder",
	NoteUnfinished:   "by its name the file is hidden or not finished",
	NoteWideOnScreen: "a file for screens has a colour profile that many show drab",
	NoteFewBits:      "8 bits for a colour profile of many colours",
	NoteLooksScreen:  "a file in a print folder looks like one for screens",
	NoteFitted:       "its resolution on the folder's print size",
	NoteOwnSize:      "its print size at the resolution that it states",
	NoteUsualSize:    "its print size at 300 ppi, since it states no resolution",
	NoteFewPixels:    "too few pixels for the folder's print size",
	NoteBlack:        "much of the picture is clipped to black",
	NoteWhite:        "much of the picture is clipped to white",
	NoteBelowBlack:   "much of the picture is darker than the paper's black",
	NoteHeld:         "the room is above its target, but the screen is held: the file should hold",
	NoteHeldFar:      "the same, far above it",
	NoteAsMat:        "the editor's surround is as light as the mat, which excuses it",

	RemedySet:        "set the condition to the value, or two to theirs",
	RemedyDim:        "dim the room light to the value, or below",
	RemedyBrighten:   "bring the room light up to the value",
	RemedyRaise:      "raise the file by the value",
	RemedyLower:      "lower the file by the value",
	RemedyLight:      "light the print where it hangs with the value",
	RemedyEverything: "set all conditions to their references",
	RemedyReport:     "report how a print or two came out",
	RemedyRead:       "read the room light",
	RemedyMeasure:    "measure the screen's white",
	RemedyCheck:      "check the editor's surround",
}

// Codes are all codes that stand beside sentences, in order.
func Codes() []Code {
	var all []Code
	for c := range codes {
		all = append(all, c)
	}
	slices.Sort(all)
	return all
}

// Meaning is what a code means; empty for one that only a later version has.
func (c Code) Meaning() string { return codes[c] }
