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
	Last       LastExport
	Wedge      Wedge // what the icon shows
	Predicted  bool  // the screen's white is predicted, since nobody holds it in a bright room
}

// LastExport is what is said of the last export: its file and what follows that, apart, so
// that a long name can be shortened where there is little room.
type LastExport struct {
	File string // without its folder; empty when there was no export
	Text string // the verdict, or why there is none
}

// String is all of it in a line: "quay.tif: should hold at your targets".
func (l LastExport) String() string {
	if l.File == "" {
		return l.Text
	}
	return l.File + ": " + l.Text
}

// Wedge is the tray icon's step wedge: five patches from dark to light. A patch
// is hollow when the conditions predict that its tone will be lost in print.
type Wedge struct {
	Hollow [5]bool
	Rest   bool // resting: exports are judged and kept, but no notice is raised
}
