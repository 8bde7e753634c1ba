package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"lampblack/testdata/photo"
)

// cmdPhoto is "photo FILE GREY [bare] [flash] [over] [at=CLOCK]": a photograph of
// a sheet that came out at that sRGB code, 1/30 s at f/4 and ISO 400; bare of
// EXIF, with flash, corrected by a stop, taken at 2026:03:01T09:50:12+01:00.
func cmdPhoto(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: photo FILE GREY [bare] [flash] [over] [at=CLOCK]")
	}
	grey, err := strconv.ParseUint(args[1], 10, 8)
	ts.Check(err)
	p := photo.Sheet{Aperture: [2]uint32{4, 1}, Seconds: [2]uint32{1, 30}, ISO: 400}
	for _, how := range args[2:] {
		clock, isClock := strings.CutPrefix(how, "at=")
		switch {
		case isClock:
			p.Clock, p.Zone = strings.Replace(clock[:19], "T", " ", 1), clock[19:]
		case how == "bare":
			p = photo.Sheet{}
		case how == "flash":
			p.Flash = true
		case how == "over":
			p.Compensation, p.Seconds = [2]int32{1, 1}, [2]uint32{1, 15}
		default:
			ts.Fatalf("no photograph is %q", how)
		}
	}
	p.Grey = uint8(grey)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), p.JPEG(), 0o600))
}

// TestReadmeMeterKeys holds README's table of "Light without a meter"
// against what meter prints, both ways.
func TestReadmeMeterKeys(t *testing.T) {
	documented := map[string]bool{}
	for _, row := range regexp.MustCompile("(?m)^\\| (`.*?) \\|").FindAllStringSubmatch(chapter(t, "Light without a meter"), -1) {
		for _, name := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(row[1], -1) {
			documented[name[1]] = true
		}
	}
	cmd := exec.Command("lampblack", "meter", "--json", "--aperture=4", "--time=1/30", "--iso=400")
	cmd.Env = append(cmd.Environ(), "GORACE="+hasty)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var printed map[string]any
	if err := json.Unmarshal(out, &printed); err != nil {
		t.Fatal(err)
	}
	for key := range printed {
		if !documented[key] {
			t.Errorf("meter prints %s, which README doesn't have", key)
		}
	}
	for key := range documented {
		if _, there := printed[key]; !there {
			t.Errorf("README has %s, which meter doesn't print", key)
		}
	}
}

// FuzzMeter: whatever exposure is typed, meter ends with one JSON object or with a
// sentence.
func FuzzMeter(f *testing.F) {
	f.Add("f/4", "1/30", "400", "paper", "0.9")
	f.Add("1.4", `0.5"`, "1e7", "Grey-Card", "0")
	f.Add("f/0", "1/0", "-1", "screen", "0.5")
	f.Add("512", "1e-6", "1", "dome", "")
	f.Fuzz(func(t *testing.T, aperture, time, iso, of, reflectance string) {
		var stdout, stderr strings.Builder
		code := run(t.Context(), []string{"meter", "--json", "--aperture=" + aperture, "--time=" + time, "--iso=" + iso,
			"--of=" + of, "--reflectance=" + reflectance}, os.Stdin, &stdout, &stderr)
		switch {
		case code == ok && json.Valid([]byte(stdout.String())) && strings.Count(stdout.String(), "\n") == 1:
		case code == badInput && stdout.Len() == 0 && stderr.Len() > 0:
		default:
			t.Errorf("exit status %d, stdout %q, stderr %q", code, stdout.String(), stderr.String())
		}
	})
}

// A white that is logged is one of the profile's display, and readings are told
// apart from it.
func TestMeterLogsBesideTheProfile(t *testing.T) {
	dir := t.TempDir()
	profile := filepath.Join(dir, "profile.toml")
	if err := os.WriteFile(profile, []byte("[[display]]\nname = \"north bench\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for of, want := range map[string]string{"screen": "[[white]]", "paper": "[[reading]]"} {
		var stdout, stderr strings.Builder
		args := []string{"meter", "--profile=" + profile, "--state=" + dir, "--log", "--of=" + of, "--aperture=4", "--time=1/125", "--iso=200"}
		if code := run(t.Context(), args, os.Stdin, &stdout, &stderr); code != ok {
			t.Fatalf("%s: exit status %d, %s", of, code, stderr.String())
		}
		log, err := os.ReadFile(filepath.Join(dir, "readings.toml"))
		if err != nil || !strings.Contains(string(log), want) {
			t.Errorf("%s: logged %q, %v", of, log, err)
		}
		if !strings.Contains(stdout.String(), fmt.Sprintf("Logged as the %s", map[string]string{"screen": "white", "paper": "light"}[of])) {
			t.Errorf("%s: said %q", of, stdout.String())
		}
	}
}
