package config

import (
	"slices"
	"testing"

	"lampblack/rules"
)

func TestRoomsLike(t *testing.T) {
	for description, want := range map[string][]rules.Lux{
		"dark": {5}, " Dim  Lamp ": {32}, "office": {400}, "window": {700}, "by a window": {700}, "room lamps on": {150},
		"ordinary": {150}, "lamp": {32, 150}, "light": {64, 150, 400, 700}, "": nil, " ": nil, "moon": nil,
	} {
		var got []rules.Lux
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
