package rules

import (
	"slices"
	"strings"
)

// RoomLook is a room light that can be told by eye: about how many lux reach the
// face of a screen in it. A guess is better than none, and a reading better yet.
type RoomLook struct {
	Name  string // short, to be typed; empty: a step between two that have one
	Words string // what it looks like, as the menu has it
	Light Lux
}

// ByEye is the relative standard uncertainty of a light that was told by a look.
// Exposure tables give a kind of room two or three EV; within two, with all as
// likely, the deviation is 2·ln 2/√12.
const ByEye = 0.4

// From dark to light. The steps between those with a name are common practice, no
// source.
var roomLooks = []RoomLook{
	{"dark", "only the screens glow", 5}, // common practice, no source
	{"", "dusk in the room", 16},
	{"dim lamp", "one small lamp, turned away", 32}, // common practice, no source
	{"", "a shaded lamp nearby", 48},
	{"quiet light", "quiet working light", 64}, // the room that sRGB is encoded for (IEC 61966-2-1)
	{"", "evening living room", 100},
	{"ordinary room light", "room lamps on", 150}, // exposure tables' homes: EV 5 to 7, which is 80 to 320 lx
	{"", "a bright room", 250},
	{"bright office", "office light", 400},         // exposure tables' offices: EV 7 to 8, 320 to 640 lx
	{"by a window", "daylight near a window", 700}, // common practice, no source; it changes with every cloud
}

// RoomSteps are the room lights that can be picked, from dark to light.
func RoomSteps() []RoomLook { return slices.Clone(roomLooks) }

// RoomLooks are those of the steps that have a name.
func RoomLooks() []RoomLook {
	return slices.DeleteFunc(RoomSteps(), func(l RoomLook) bool { return l.Name == "" })
}

// RoomWords says what a room of that light looks like: the words of the step that is
// nearest by ratio, of two as near the lighter.
func RoomWords(light Lux) string {
	for i, next := range roomLooks[1:] {
		if light*light < roomLooks[i].Light*next.Light {
			return roomLooks[i].Words
		}
	}
	return roomLooks[len(roomLooks)-1].Words
}

// RoomsLike are those of the looks that a description may mean: the one of that
// name, or all in which the description occurs.
func RoomsLike(description string) []RoomLook {
	d := strings.ToLower(strings.Join(strings.Fields(description), " "))
	if d == "" {
		return nil
	}
	var like []RoomLook
	for _, l := range RoomLooks() {
		if d == l.Name || d == l.Words {
			return []RoomLook{l}
		}
		if strings.Contains(l.Name, d) || strings.Contains(l.Words, d) {
			like = append(like, l)
		}
	}
	return like
}

// namedSurround is a surround that can be told by eye.
type namedSurround struct {
	name      string
	relativeY float64 // luminance relative to the screen's white
}

// From dark to light. The figures are common practice, no source: what the
// greys that editors offer come to on an sRGB-like screen. No editor's black is without
// light, and no page's white fills its pixel.
var namedSurrounds = []namedSurround{
	{"black", 0.003},
	{"dark grey", 0.05},
	{"mid grey", 0.20},
	{"light grey", 0.50},
	{"white", 0.95},
}

// SurroundNames are the surrounds that can be told by eye, from dark to light.
func SurroundNames() []string {
	var names []string
	for _, s := range namedSurrounds {
		names = append(names, s.name)
	}
	return names
}

// SurroundNamed is the luminance, relative to the screen's white, of a surround
// told by eye; false when there is none of that name.
func SurroundNamed(name string) (relativeY float64, ok bool) {
	i := slices.IndexFunc(namedSurrounds, func(s namedSurround) bool { return s.name == name })
	if i < 0 {
		return 0, false
	}
	return namedSurrounds[i].relativeY, true
}
