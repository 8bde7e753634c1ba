package config

import (
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"lampblack/rules"
)

func TestExampleIsTheOneAtTheTop(t *testing.T) {
	top, err := os.ReadFile("../config.example.toml")
	if err != nil {
		t.Fatal(err)
	}
	if string(top) != Example {
		t.Error("config.example.toml and config/example.toml differ; make them the same again")
	}
}

func TestExampleLoads(t *testing.T) {
	p, doubts, err := Parse("config.example.toml", []byte(Example), "/home/anna")
	if err != nil || len(doubts) > 0 {
		t.Fatal(err, doubts)
	}
	if p.EditingDisplay().Name != "north bench" || len(p.Displays) != 2 || len(p.Papers) != 2 || len(p.Viewings) != 2 || len(p.Folders) != 2 {
		t.Errorf("got %+v", p)
	}
	want := defaultTarget
	want.ReferenceWhite, want.ReferenceRoom, want.WhiteStated = 95, 48, true // which Tidemark has of its own
	if p.Target != want {
		t.Errorf("the example's target is %+v, want the default but for its references, %+v", p.Target, want)
	}
	if p.Quiet != Default().Quiet || p.Room.ReadingLife != Default().Room.ReadingLife {
		t.Error("the example's [quiet] or [room] is not the default")
	}
}

// What stands for a reference that is left out is what the example says of it: the
// geometric middle of its range, and of the room's from a quarter of its limit.
func TestReferencesLeftOut(t *testing.T) {
	p, _, err := Parse("desk.toml", []byte("[target]\nwhite_cd_m2 = [80, 125]\nroom_lx = 100\nsurround = [0.3, 0.4]\n"), "/home/anna")
	if err != nil {
		t.Fatal(err)
	}
	if g := p.Target; g.ReferenceWhite != 100 || g.ReferenceRoom != 50 || g.ReferenceSurround != 0.3 || g.ReferencePoint != 6000 {
		t.Errorf("the references are %+v", g)
	}
	if d := Default().Target; math.Abs(float64(d.ReferenceWhite)-104) > 0.5 || d.ReferenceRoom != 32 {
		t.Errorf("without a target the references are %+v, want 104 cd/m² and 32 lx", d)
	}
	for text, stated := range map[string]bool{"room_lx = 64": false, "white_cd_m2 = [90, 120]": true, "reference_cd_m2 = 100": true} {
		p, _, err := Parse("desk.toml", []byte("[target]\n"+text), "/home/anna")
		if err != nil || p.Target.WhiteStated != stated {
			t.Errorf("%s: the white is stated: %v, %v", text, p.Target.WhiteStated, err)
		}
	}
}

// A display is not assumed to be brighter than it can be.
func TestAssumedWhiteIsWithinReach(t *testing.T) {
	for text, want := range map[string]rules.Given[rules.Luminance]{
		"most_cd_m2 = 120": rules.Assume(rules.Luminance(120)), "most_cd_m2 = 500": rules.Assume(rules.Luminance(160)),
		"most_cd_m2 = 120\nwhite_cd_m2 = 100": rules.Stated(rules.Luminance(100)),
	} {
		p, _, err := Parse("desk.toml", []byte("[[display]]\nname = 'north bench'\n"+text), "/home/anna")
		if err != nil || p.Displays[0].White != want {
			t.Errorf("%s: the white is %+v, %v, want %+v", text, p.Displays[0].White, err, want)
		}
	}
}

var (
	exampleHeader = regexp.MustCompile(`^\[+(\w+)\]+$`)
	exampleKey    = regexp.MustCompile(`^(?:# )?(\w+) = [^#]+(#.*)?`)
)

// documented are the keys of the example, by "table.key", with their comments.
func documented() map[string]string {
	found := map[string]string{}
	table := ""
	for line := range strings.Lines(Example) {
		if m := exampleHeader.FindStringSubmatch(strings.TrimSpace(line)); m != nil {
			table = m[1]
		} else if m := exampleKey.FindStringSubmatch(line); m != nil {
			name := table + "." + m[1]
			found[name] = max(found[name], m[2])
		}
	}
	return found
}

// namesItself are the keys that need no words.
var namesItself = map[string]bool{
	"display.name": true, "paper.name": true, "viewing.name": true, "folder.path": true,
	"target.reference_k": true, "target.reference_surround": true,
}

func TestExampleDocumentsEveryKey(t *testing.T) {
	found := documented()
	for _, table := range schema {
		for _, k := range table.keys {
			name := table.name + "." + k.name
			comment, there := found[name]
			if !there {
				t.Errorf("%s is not in the example", name)
			} else if comment == "" && !namesItself[name] {
				t.Errorf("%s has no comment in the example", name)
			}
			delete(found, name)
		}
	}
	for name := range found {
		t.Errorf("the example has %s, which is no key", name)
	}
}

// The lines that are commented out are alternatives: uncommented one at a time,
// in the place of what they exclude, they load.
func TestExampleAlternatives(t *testing.T) {
	lines := strings.Split(Example, "\n")
	tried := 0
	for i, line := range lines {
		m := regexp.MustCompile(`^# (\w+) = `).FindStringSubmatch(line)
		if m == nil {
			continue
		}
		tried++
		changed := append([]string(nil), lines...)
		changed[i] = strings.TrimPrefix(line, "# ")
		_, _, err := Parse("x.toml", []byte(strings.Join(changed, "\n")), "/home/anna")
		mistakes, _ := err.(Mistakes)
		for _, mistake := range mistakes {
			if !strings.Contains(mistake.Text, "which say the same thing") {
				t.Errorf("%s: %v", line, mistake)
			}
		}
	}
	if tried < 6 {
		t.Errorf("only %d alternatives in the example", tried)
	}
}
