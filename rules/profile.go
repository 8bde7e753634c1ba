package rules

import (
	"math"
	"time"

	"lampblack/rules/colour"
)

// Profile is what Lampblack knows about a desk and about where its exports go.
// It is checked when it is read: the rules may rely on every range stated here.
type Profile struct {
	Desk     string
	Judged   Judging   // how prints are judged
	Displays []Display // at least one; exactly one of them edits
	Target   Target
	Surround Surround
	Room     Room
	Readings []Reading // in order of time
	Papers   []Paper
	Viewings []Viewing
	Folders  []Folder
	Quiet    Quiet
	Learnt   Learnt // from earlier prints and their outcomes
}

// Display is one screen.
type Display struct {
	Name       string
	Edits      bool                // pictures for print are judged on this one
	White      Given[Luminance]    // luminance of its white in the dark, 1..10000 cd/m²
	WhiteSigma float64             // relative standard uncertainty of White as read by less than a colorimeter; 0: a colorimeter's
	WhiteAt    time.Time           // when White was read, or said to be so, since its calibration; zero: never
	WhitePoint Given[colour.XY]    // chromaticity of its white
	Contrast   Given[float64]      // white over black, measured in the dark, > 1
	Measured   Given[time.Time]    // the day of its calibration; zero when unknown
	Screen     Given[ScreenFinish] // how its face reflects
	Hood       Given[bool]
	Held       Given[bool] // nobody touches its brightness, and no sensor does
	Most       Luminance   // what its white can be at most; 0: the larger of 350 and White
}

// usualMost is what the white of a display can usually be at most, cd/m² (common
// practice, no source: panels for desks and laptops have 250 to 500).
const usualMost = 350

// most is what the display's white can be at most.
func (d Display) most() Luminance {
	if d.Most > 0 {
		return d.Most
	}
	return max(usualMost, d.White.Value)
}

// whiteMeasured is when the display's white was last measured; zero when unknown.
func (d Display) whiteMeasured() time.Time {
	switch {
	case d.whiteSaid():
		return time.Time{}
	case !d.WhiteAt.IsZero():
		return d.WhiteAt
	}
	return d.Measured.Value
}

// whiteKnown is when somebody last measured the display's white or said what it is;
// zero when nobody has.
func (d Display) whiteKnown() time.Time {
	if d.whiteSaid() {
		return d.WhiteAt
	}
	return d.whiteMeasured()
}

// whiteSaid tells that the white is what somebody has said since it was measured.
func (d Display) whiteSaid() bool { return !d.WhiteAt.IsZero() && d.WhiteSigma == 0 }

// ScreenFinish is how the face of a display reflects room light.
type ScreenFinish struct {
	Name    string  // "matt", "gloss" or "measured"
	Diffuse float64 // reflection coefficient without hood, cd·m⁻²·lx⁻¹
}

// Range is a closed interval of allowed values.
type Range struct{ Low, High float64 }

// Holds tells whether v lies in the range.
func (r Range) Holds(v float64) bool { return r.Low <= v && v <= r.High }

// holdsShown is Holds, for a value or for what is shown of it: nobody is told that
// 120 is more than 120.
func (r Range) holdsShown(v float64) bool { return r.Holds(v) || r.Holds(asShown(v)) }

// beyond is how far v lies outside a range of positive values, relative to the
// end it has passed; 0 inside.
func (r Range) beyond(v float64) float64 {
	switch {
	case v < r.Low:
		return r.Low/v - 1
	case v > r.High:
		return v/r.High - 1
	default:
		return 0
	}
}

// Target is what the desk should be, and within that the reference condition
// against which departures are measured.
type Target struct {
	White             Range // cd/m²
	WhitePoint        Range // K
	Surround          Range // luminance relative to the screen's white
	Room              Lux   // upper limit at the screen's face
	RecalibrateDays   float64
	ReferenceWhite    Luminance
	ReferencePoint    Kelvin
	ReferenceRoom     Lux
	ReferenceSurround float64
	WhiteStated       bool // the profile states White or ReferenceWhite itself
}

// darkestRoom is how much of its upper limit the room's light has to be: the
// profile gives that limit, but in a room much darker the screen looks
// brighter than it is and the surround is black (common practice, no source;
// ISO 3664's monitor condition wants at most 32 lx, from memory).
const darkestRoom = 1.0 / 4

// room is the room light that is in target, in lux at the screen's face; its own
// reference is, also where a profile puts that below.
func (t Target) room() Range {
	return Range{min(darkestRoom*float64(t.Room), float64(t.ReferenceRoom)), float64(t.Room)}
}

// Middle is the geometric middle of a range of positive values: the reference where a
// profile states none. The middle, since at an end of two ranges at once a desk that is
// in target would count as far off.
func (r Range) Middle() float64 { return math.Sqrt(r.Low * r.High) }

// RoomRange is the room light that is in target for an upper limit, lx at the screen.
func RoomRange(limit Lux) Range { return Range{darkestRoom * float64(limit), float64(limit)} }

// Surround is the area of the screen around the picture, as the editor is set.
type Surround struct {
	RelativeY Given[float64] // luminance relative to the screen's white, 0..1
	Name      string         // how the profile put it: "mid grey", "L* 50"; may be empty
	Backdrop  Given[Backdrop]
	Share     Given[float64] // the picture's share of the field, 0..1
}

// Backdrop is the wall and the things behind the display.
type Backdrop string

// The backdrops a profile can name.
const (
	NeutralBackdrop   Backdrop = "neutral"
	ColourfulBackdrop Backdrop = "colourful"
)

// Room is the light at the desk.
type Room struct {
	ReadingLife      time.Duration // how long a reading stays good
	Lamps            Given[Kelvin]
	MeterUncertainty float64 // relative, one standard deviation
	LightFolder      string  // where photographs of LightOf are dropped to be read as light; absolute and clean; empty: none
	LightOf          Subject // what they show: OfPaper or OfGreyCard
	Sensor           bool    // the machine's ambient light sensor is read, too
}

// Place is where a reading was taken.
type Place string

// The places of a reading.
const (
	AtScreen Place = "screen" // at the screen's face, looking out
	OnDesk   Place = "desk"   // flat on the desk
	AtPrint  Place = "print"  // at the print, facing it
)

// MostLux is the brightest reading anyone can mean: noon in the sun, outdoors.
const MostLux = 200_000

// MostWhite is the brightest white a display can have, cd/m²: that of outdoor signs.
const MostWhite = 10_000

// The temperatures that a room's light can have: candles, and the sky on the
// north side.
const CoolestLamp, BluestSky = 1700, 25000

// Reading is one logged measurement of room light.
type Reading struct {
	At     time.Time
	Light  Lux
	Place  Place
	Kelvin Kelvin  // colour temperature of the light; 0: not read
	Sigma  float64 // relative standard uncertainty; 0: that of the profile's meter
	Note   string  // whatever whoever took it wants to remember, in one line
	Source Source
}

// Paper is the sheet.
type Paper struct {
	Name  string
	White Given[float64] // luminous reflectance of the blank sheet, 0..1
	DMax  Given[float64] // density of its deepest black, D = -log10 of its reflectance
	ICC   string         // path of its colour profile, or empty
}

// Mat is what lies around a hanging print.
type Mat string

// The mats a profile can name.
const (
	WhiteMat Mat = "white"
	CreamMat Mat = "cream"
	GreyMat  Mat = "grey"
	BlackMat Mat = "black"
	NoMat    Mat = "none"
)

// Glazing is what lies in front of a hanging print.
type Glazing string

// The glazings a profile can name.
const (
	NoGlazing     Glazing = "none"
	GlassGlazing  Glazing = "glass"
	CoatedGlazing Glazing = "coated"
)

// Viewing is the light, mat and glazing in which a print is looked at.
type Viewing struct {
	Name    string
	Light   Given[Lux] // on the print
	Lamps   Given[Kelvin]
	Mat     Given[Mat]
	Glazing Given[Glazing]
}

// Purpose is what a folder's exports are for.
type Purpose string

// The purposes of exports.
const (
	ForPrint  Purpose = "print"
	ForScreen Purpose = "screen"
)

// Folder is one watched folder. Path is absolute and clean.
type Folder struct {
	Path    string
	Purpose Purpose
	Match   []string // patterns of file names, compared without regard to case
	Paper   string   // name of a paper of the profile; empty: assumed
	Viewing string   // where it hangs: name of a viewing of the profile or of StandardViewing; empty: assumed
	Proof   string   // where it is judged first, likewise; empty: nobody has said

	Short, Long float64 // sides of the printed picture, cm; 0: they vary

	Subfolders bool          // what lies below the folder counts, too
	Poll       time.Duration // how often it is looked through besides listening to it; 0: where listening is not enough
}

// Quiet holds the rules of when to speak, and the steps that matter.
type Quiet struct {
	Noticeable  Stops   // a shift of the whole picture that a person notices
	Clear       Stops   // a shift of the shadows that is clear
	Colourful   float64 // colourfulness ratio below which a print looks drab
	Contrast    float64 // contrast ratio below which it looks flat, which is drab, too
	StepsLost   float64 // share of shadow steps lost above which it looks drab
	Probability float64 // how sure before it speaks
	Gap         time.Duration
}

// EditingDisplay is the display on which pictures for print are judged.
func (p *Profile) EditingDisplay() Display {
	for _, d := range p.Displays {
		if d.Edits {
			return d
		}
	}
	return p.Displays[0]
}
