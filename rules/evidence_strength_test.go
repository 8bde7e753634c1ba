package rules

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// The strength u of the room's effect is the one figure of the model that publications
// disagree about most. These tests derive it from them once more.

// publishedRooms is what each publication found in a dim and in a dark room, in the order
// of the evidence.
func publishedRooms(t *testing.T) (situations []evidenceSituation, names []string, found map[string][2]float64) {
	t.Helper()
	found = map[string][2]float64{}
	for _, g := range evidence(t) {
		if g.Quantity != "contrast" {
			continue
		}
		situations = g.Situations
		for i, s := range g.Situations {
			for _, o := range s.Rows {
				if i == 0 {
					names = append(names, o.Name)
				}
				f := found[o.Name]
				f[i] = o.Observed
				found[o.Name] = f
			}
		}
	}
	if len(situations) != 2 || len(names) != 3 {
		t.Fatalf("%d rooms and %d publications, want a dim and a dark one of three", len(situations), len(names))
	}
	return situations, names, found
}

// contrastAt is the contrast that a picture needs in the situation's room, if the room
// acts u times as strongly as CIECAM16 has it.
func contrastAt(s evidenceSituation, u float64) float64 {
	from, to := s.looks(observer{unabsorbed: ByItself.unabsorbed().value, surround: u})
	return contrastNeeded(&from, &to)
}

// strengthFor is the u at which the model needs that contrast, by bisection.
func strengthFor(s evidenceSituation, contrast float64) float64 {
	low, high := bisect(0.01, 4, func(u float64) bool { return contrastAt(s, u) < contrast })
	return (low + high) / 2
}

// ciecam16 is the formula's own contrast in a dim and in a dark room: c of an average
// room over its c (CIE 248:2022).
var ciecam16 = [2]float64{0.69 / 0.59, 0.69 / 0.525}

// TestEvidenceStrength: with u = 1 the rooms are CIECAM16's own; and u is the geometric
// mean, its uncertainty the spread, of what it takes to meet each publication's dark room.
func TestEvidenceStrength(t *testing.T) {
	rooms, names, found := publishedRooms(t)
	for i, room := range rooms {
		near(t, room.Name+" with u = 1", contrastAt(room, 1), ciecam16[i], 0.01)
	}
	stated := map[string]float64{"Bartleson 1975": 1.5, "Baek and others 2014": 0.68, "Liu and Fairchild 2007": 0.49}
	logs := []float64{0} // CIE 248:2022 itself
	for _, name := range names {
		u := strengthFor(rooms[1], found[name][1])
		near(t, name, u, stated[name], 0.02)
		logs = append(logs, math.Log(u))
	}
	var mean, square float64
	for _, l := range logs {
		mean += l / float64(len(logs))
	}
	for _, l := range logs {
		square += (l - mean) * (l - mean)
	}
	near(t, "u", strength.value, math.Exp(mean), 0.01)
	few, many := math.Sqrt(square/4), math.Sqrt(square/3)
	if strength.sigma < few-0.01 || strength.sigma > many+0.01 {
		t.Errorf("sigma of ln u is %.2f; four publications have %.2f to %.2f", strength.sigma, few, many)
	}
}

// TestEvidenceRoomInterval: the standard uncertainty of u holds five of the eight
// contrasts that were published; two thirds of them would be 5.3.
func TestEvidenceRoomInterval(t *testing.T) {
	rooms, names, found := publishedRooms(t)
	found["CIE 248:2022"] = ciecam16
	low, high := strengthInterval()
	held := 0
	for i, room := range rooms {
		for _, name := range append(names, "CIE 248:2022") {
			if seen := found[name][i]; contrastAt(room, low) <= seen && seen <= contrastAt(room, high) {
				held++
			}
		}
	}
	if held < 5 {
		t.Errorf("%d of 8 published contrasts lie in the standard interval of ours; want 5", held)
	}
}

// strengthInterval is u less and more a standard uncertainty.
func strengthInterval() (low, high float64) {
	return strength.value * math.Exp(-strength.sigma), strength.value * math.Exp(strength.sigma)
}

// strengthTable is the rooms at several strengths, for the page.
func strengthTable(t *testing.T) string {
	t.Helper()
	rooms, names, found := publishedRooms(t)
	var b strings.Builder
	b.WriteString("| strength u | dim | dark |\n| --- | --- | --- |\n")
	low, high := strengthInterval()
	for _, row := range []struct {
		what string
		u    float64
	}{{"ours less a standard uncertainty", low}, {"ours", strength.value}, {"CIECAM16's own", 1}, {"ours and a standard uncertainty", high}} {
		fmt.Fprintf(&b, "| %.2f, %s | %.2f | %.2f |\n", row.u, row.what, contrastAt(rooms[0], row.u), contrastAt(rooms[1], row.u))
	}
	for _, name := range names {
		fmt.Fprintf(&b, "| %.2f would meet %s in the dark | seen: %.2f | seen: %.2f |\n",
			strengthFor(rooms[1], found[name][1]), name, found[name][0], found[name][1])
	}
	return b.String()
}
