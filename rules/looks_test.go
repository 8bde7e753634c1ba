package rules

import (
	"slices"
	"testing"
)

func TestRoomsLike(t *testing.T) {
	for description, want := range map[string][]Lux{
		"dark": {5}, " Dim  Lamp ": {32}, "office": {400}, "window": {700}, "by a window": {700}, "room lamps on": {150},
		"ordinary": {150}, "lamp": {32, 150}, "light": {64, 150, 400, 700}, "": nil, " ": nil, "moon": nil,
	} {
		var got []Lux
		for _, l := range RoomsLike(description) {
			got = append(got, l.Light)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%q may mean %v lx, want %v", description, got, want)
		}
	}
}

func TestRoomLooks(t *testing.T) {
	looks := RoomLooks()
	if !slices.IsSortedFunc(looks, func(a, b RoomLook) int { return int(a.Light - b.Light) }) {
		t.Errorf("the looks are not in order of their light: %v", looks)
	}
	for _, l := range looks {
		if like := RoomsLike(l.Name); len(like) != 1 || like[0] != l {
			t.Errorf("%q means %v", l.Name, like)
		}
	}
}

// The bounds are halfway, by ratio, between the lights that the words describe.
func TestRoomWords(t *testing.T) {
	for light, want := range map[Lux]string{
		0: "only the screens glow", 8.9: "only the screens glow", 9: "dusk in the room", 16: "dusk in the room",
		79.9: "quiet working light", 80: "evening living room", 528: "office light", 530: "daylight near a window", 1e5: "daylight near a window",
	} {
		if got := RoomWords(light); got != want {
			t.Errorf("%v lx is %q, want %q", light, got, want)
		}
	}
	for _, l := range RoomSteps() {
		if got := RoomWords(l.Light); got != l.Words {
			t.Errorf("%v lx is %q, want %q", l.Light, got, l.Words)
		}
	}
}

func TestSurroundNames(t *testing.T) {
	last := 0.0
	for _, name := range SurroundNames() {
		y, ok := SurroundNamed(name)
		if !ok || y <= last || y >= 1 {
			t.Errorf("%s is %v, %v; want it between %v and 1", name, y, ok, last)
		}
		last = y
	}
	if _, ok := SurroundNamed("blue"); ok {
		t.Error("there is a blue surround")
	}
}
