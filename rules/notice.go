package rules

// This file declares what the agent shows and says; words.go and deskwords.go fill it.

// Notice is the quiet desktop message. Plain text: whoever shows it escapes it.
type Notice struct {
	Title string
	Body  string
}

// Summary is the desk and the last export in words, for the menu, the tooltip
// and the terminal.
type Summary struct {
	Headline   string   // one line about the desk: "The room is too bright, the rest as it should be"
	Conditions []string // a line for each condition: value, target, age
	Last       string   // the last export and its verdict, or that there was none
	Wedge      Wedge    // what the icon shows
	Predicted  bool     // the screen's white is predicted, since nobody holds it in a bright room
}

// Wedge is the tray icon's step wedge: five patches from dark to light. A patch
// is hollow when the conditions predict that its tone will be lost in print.
type Wedge struct {
	Hollow [5]bool
	Rest   bool // resting: exports are judged and kept, but no notice is raised
}
