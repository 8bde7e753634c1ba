package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"lampblack/agent"
	"lampblack/agent/journal"
)

// Keys are written like "prediction.targets.curve.Y": what is in the objects of
// a list counts as in the list.

// TestReadmeKeys holds the table of "A result for programs" in this room's README
// against what explain prints, both ways: no key that is documented is missing, and none is
// there that isn't documented. Where README names an object without listing any
// of its keys, only the object is looked for.
func TestReadmeKeys(t *testing.T) {
	documented, actual := readmeKeys(t, "A result for programs"), printedKeys(t)
	if len(documented) < 40 {
		t.Fatalf("only %d keys were found in README's table", len(documented))
	}
	for key := range documented {
		if actual[key] == nil {
			t.Errorf("README has %s, which explain doesn't print", key)
		}
	}
	for key := range actual {
		if !documented[key] && (parent(key) == "" || listed(documented, parent(key))) {
			t.Errorf("explain prints %s, which README doesn't have", key)
		}
	}
}

// TestKinds: each key has the JSON types that a program may rely on, and is null
// only where README allows for it.
func TestKinds(t *testing.T) {
	actual := printedKeys(t)
	for kind, keys := range map[string]string{
		"bool": `picture.assumed_profile conditions.in_target conditions.assumed`,
		"string": `file at purpose prints_judged paper viewing verdict unsettled picture.profile conditions.name
			conditions.unit conditions.source conditions.doubt causes.name remedy.text remedy.unit`,
		"number": `picture.width picture.height picture.depth picture.mean_Y picture.black_share picture.white_share
			prediction.targets.shift_stops.whole prediction.viewing.shift_stops.whole
			prediction.targets.curve.Y prediction.viewing.curve.Y learnt.unabsorbed
			prediction.targets.white_change_stops prediction.viewing.white_change_stops
			prediction.targets.unabsorbed_stops prediction.viewing.unabsorbed_stops
			prediction.targets.spread.desk_share prediction.targets.spread.model_share
			prediction.targets.lost_share prediction.viewing.lost_share
			prediction.shadow_steps.screen prediction.shadow_steps.screen_at_targets prediction.shadow_steps.print
			causes.stops remedy.value`,
		"null|number": `picture.ppi conditions.value conditions.age_hours conditions.lives conditions.uncertainty
			prediction.targets.shift_stops.shadows prediction.targets.curve.shift prediction.viewing.curve.shift
			prediction.targets.contrast_ratio prediction.viewing.contrast_ratio
			prediction.targets.colourfulness_ratio prediction.viewing.colourfulness_ratio`,
		"list":        `conditions conditions.target causes notes prediction.targets.curve prediction.viewing.curve`,
		"object":      `picture prediction prediction.targets prediction.viewing prediction.shadow_steps`,
		"null|object": `remedy`,
	} {
		for key := range strings.FieldsSeq(keys) {
			if got := strings.Join(slices.Sorted(maps.Keys(actual[key])), "|"); got != kind {
				t.Errorf("%s is %q, want %q", key, got, kind)
			}
		}
	}
}

// kinds are the JSON types that a key was seen with.
type kinds map[string]bool

// TestCausesAddUp: the shares of the causes are all of the shift, as README says.
func TestCausesAddUp(t *testing.T) {
	for _, report := range someReports(t) {
		whole, err := at(report, "prediction.targets.shift_stops.whole")
		if err != nil {
			t.Fatal(err)
		}
		causes, err := at(report, "causes")
		if err != nil {
			t.Fatal(err)
		}
		var sum float64
		for _, cause := range causes.([]any) {
			sum += cause.(map[string]any)["stops"].(float64)
		}
		if math.Abs(sum-whole.(float64)) > 1e-9 {
			t.Errorf("%v: the causes add up to %v stops of %v", report.(map[string]any)["file"], sum, whole)
		}
	}
}

// printedKeys are the keys of someReports with their JSON types.
func printedKeys(t *testing.T) map[string]kinds {
	t.Helper()
	keys := map[string]kinds{}
	for _, report := range someReports(t) {
		collect(keys, "", report)
	}
	return keys
}

// someReports are results of all sorts: files with and without a profile of
// their own, bare tones, a desk at its targets, one about which nothing is known,
// and a person of whom something is learnt.
func someReports(t *testing.T) []any {
	t.Helper()
	const pictures = "../../testdata/exports/"
	unknown := filepath.Join(t.TempDir(), "unknown.toml")
	atTargets := filepath.Join(t.TempDir(), "at-targets.toml")
	good := curveDesk{white: 95, lux: 48, diffuse: 0.0025, surround: 0.2, lamps: 4000, kelvin: 6000}
	for path, profile := range map[string]string{unknown: "", atTargets: good.profile("")} {
		if err := os.WriteFile(path, []byte(profile), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	learnt := t.TempDir()
	told := journal.Outcome{At: time.Now(), Path: "/prints/fog.tif", Predicted: 0.2, Found: 0.4}
	if err := journal.AppendOutcome(agent.JournalDir(learnt), told); err != nil {
		t.Fatal(err)
	}
	var reports []any
	for _, args := range [][]string{
		{"--profile", unknown, "--state", learnt, pictures + "portrait.jpg"},
		{"--profile", unknown, pictures + "portrait.jpg", pictures + "harbour-noon.jpg"},
		{"--profile", atTargets, pictures + "fog.tif", pictures + "quay-at-dusk.tif"},
		{"--profile", atTargets, "--tones", "0,0.005,0.18"}, // black has no shift
		{"--profile", atTargets, "--tones", "0.18"},         // and one tone no contrast
	} {
		reports = append(reports, explained(t, args...)...)
	}
	return reports
}

// explained is what explain --json prints, decoded. The program is started as
// such, since it starts itself again to read a picture.
func explained(t *testing.T, args ...string) []any {
	t.Helper()
	cmd := exec.Command("lampblack", append([]string{"explain", "--json", "--at", "2026-03-01T10:00:00Z"}, args...)...)
	home := t.TempDir() // whoever runs this may have a journal of their own
	cmd.Env = append(cmd.Environ(), "GORACE="+hasty, "HOME="+home, "XDG_CONFIG_HOME=", "XDG_STATE_HOME=", "LocalAppData="+home)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%q: %v", args, err)
	}
	var reports []any
	for decoder := json.NewDecoder(bytes.NewReader(out)); decoder.More(); {
		var r any
		if err := decoder.Decode(&r); err != nil {
			t.Fatal(err)
		}
		reports = append(reports, r)
	}
	return reports
}

// collect notes the JSON type of every key in v, which is at path.
func collect(into map[string]kinds, path string, v any) {
	switch v := v.(type) {
	case map[string]any:
		for key, item := range v {
			key = strings.TrimPrefix(path+"."+key, ".")
			if into[key] == nil {
				into[key] = kinds{}
			}
			into[key][kindOf(item)] = true
			collect(into, key, item)
		}
	case []any:
		for _, item := range v {
			collect(into, path, item)
		}
	}
}

func kindOf(v any) string {
	switch v.(type) {
	case bool:
		return "bool"
	case float64:
		return "number"
	case string:
		return "string"
	case []any:
		return "list"
	case map[string]any:
		return "object"
	}
	return "null"
}

// parent is the key of the object or list that a key is in.
func parent(key string) string {
	return key[:max(0, strings.LastIndexByte(key, '.'))]
}

// listed tells whether any key of the object is documented.
func listed(documented map[string]bool, object string) bool {
	for key := range documented {
		if parent(key) == object {
			return true
		}
	}
	return false
}

// chapter is a chapter of this room's README.
func chapter(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, section, found := strings.Cut(string(text), "\n## "+name+"\n")
	if !found {
		t.Fatalf("README has no chapter %q", name)
	}
	section, _, _ = strings.Cut(section, "\n## ")
	return section
}

// readmeKeys reads the keys out of the table in a chapter of README, whose rows
// are keys and what they hold.
func readmeKeys(t *testing.T, name string) map[string]bool {
	t.Helper()
	documented := map[string]bool{}
	var before string // what the row before holds
	for _, row := range regexp.MustCompile("(?m)^\\| (`.*?) \\| (.*) \\|$").FindAllStringSubmatch(chapter(t, name), -1) {
		names, holds := quotedKeys("", row[1]), row[2]
		var missing []string
		if _, without, same := strings.Cut(holds, "the same, without"); same {
			holds, missing = before, quotedKeys(names[0], without)
		}
		before = holds
		keys := names
		if names[0] != "verdict" && names[0] != "unread_code" { // which hold one of some words
			keys = append(keys, quotedKeys(names[0], holds)...)
		}
		keys = slices.DeleteFunc(keys, func(key string) bool { return within(missing, key) })
		for _, key := range keys {
			for ; key != ""; key = parent(key) {
				documented[key] = true
			}
		}
	}
	if len(documented) < 3 {
		t.Fatalf("only %d keys were found in the table of %q", len(documented), name)
	}
	return documented
}

// within tells whether key is one of the objects, or in one of them.
func within(objects []string, key string) bool {
	return slices.ContainsFunc(objects, func(o string) bool { return key == o || strings.HasPrefix(key, o+".") })
}

// quotedKeys are the keys in text, which stand in code quotes; {...} are around
// the keys of the one before. All of them are in the object path.
func quotedKeys(path, text string) []string {
	var keys []string
	around, last := []string{path}, path
	for _, token := range regexp.MustCompile("`[^`]+`|[{}]").FindAllString(text, -1) {
		switch token {
		case "{":
			around = append(around, last)
		case "}":
			around = around[:len(around)-1]
		default:
			name := strings.TrimSuffix(strings.Trim(token, "`"), "[]")
			last = strings.TrimPrefix(around[len(around)-1]+"."+name, ".")
			keys = append(keys, last)
		}
	}
	return keys
}
