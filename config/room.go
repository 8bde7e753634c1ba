package config

import (
	"slices"
	"strings"

	"lampblack/rules"
)

// RoomLook is a room light that can be told by eye: about how many lux reach the
// face of a screen in it. A guess is better than none, and a reading better yet.
type RoomLook struct {
	Name  string // short, to be typed
	Words string // what it looks like, as the tray's menu has it
	Light rules.Lux
}

// ByEye is the relative standard uncertainty of a light that was told by a look.
// Exposure tables give a kind of room two or three EV; within two, with all as
// likely, the deviation is 2·ln 2/√12.
const ByEye = 0.4

// From dark to light, on the steps of the tray's menu.
var roomLooks = []RoomLook{
	{"dark", "only the screens glow", 5},            // common practice, no source
	{"dim lamp", "one small lamp, turned away", 32}, // common practice, no source
	{"quiet light", "quiet working light", 64},      // the room that sRGB is encoded for (IEC 61966-2-1)
	{"ordinary room light", "room lamps on", 150},   // exposure tables' homes: EV 5 to 7, which is 80 to 320 lx
	{"bright office", "office light", 400},          // exposure tables' offices: EV 7 to 8, 320 to 640 lx
	{"by a window", "daylight near a window", 700},  // common practice, no source; it changes with every cloud
}

// RoomLooks are the room lights that can be told by eye, from dark to light.
func RoomLooks() []RoomLook { return slices.Clone(roomLooks) }

// RoomsLike are those of the looks that a description may mean: the one of that
// name, or all in which the description occurs.
func RoomsLike(description string) []RoomLook {
	d := strings.ToLower(strings.Join(strings.Fields(description), " "))
	if d == "" {
		return nil
	}
	var like []RoomLook
	for _, l := range roomLooks {
		if d == l.Name || d == l.Words {
			return []RoomLook{l}
		}
		if strings.Contains(l.Name, d) || strings.Contains(l.Words, d) {
			like = append(like, l)
		}
	}
	return like
}
