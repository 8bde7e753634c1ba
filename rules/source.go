package rules

// Source is where a fact comes from. Empty: an older log doesn't say.
type Source string

// The sources of facts.
const (
	FromProfile    Source = "profile"    // typed into the profile
	FromClick      Source = "click"      // picked from the menu
	FromCommand    Source = "command"    // typed on the command line
	FromCamera     Source = "camera"     // an exposure that a camera or a meter found right
	FromSensor     Source = "sensor"     // the machine's light sensor
	FromPhotograph Source = "photograph" // a picture in the light folder
	FromPrints     Source = "prints"     // how earlier prints came out
	FromSystem     Source = "system"     // the desktop or the kernel, asked by itself
)
