package rules

// This file declares what the agent says aloud; words.go fills it.

// Notice is the quiet desktop message. Plain text: whoever shows it escapes it.
type Notice struct {
	Title string
	Body  string
}

// Summary is the desk and the last export in words, for the menu, the tooltip
// and the terminal.
type Summary struct {
	Headline   string   // one line: "likely darker: about ½ stop in the shadows"
	Conditions []string // a line for each condition: value, target, age
	Last       string   // the last export and its verdict, or that there was none
	Wedge      Wedge    // what the icon shows
}

// Wedge is the tray icon's step wedge: five patches from dark to light. A patch
// is hollow when the conditions predict that its tone will be lost in print.
type Wedge struct {
	Hollow [5]bool
	Rest   bool // resting: nothing is watched
}
