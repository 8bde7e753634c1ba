package values

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lampblack/config"
	"lampblack/config/legible"
	"lampblack/rules"
)

func TestWhiteAnswer(t *testing.T) {
	for text, want := range map[string]rules.Luminance{
		"": 0, "  ": 0, "120": 120, "118.5": 118.5, "118,5": 118.5, "120 cd/m²": 120, "120cd/m2": 120, " About 90 NITS ": 90, "~100": 100, "1": 1, "10000": 10000,
	} {
		if got, err := WhiteAnswer(text); err != nil || got != want {
			t.Errorf("%q is %v, %v; want %v", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"0": "0 is not a screen's white: it is from 1 to 10000", "-5": "-5 is not a screen's", "10001": "is from 1 to 10000", "12O": `"12O" is not`, "1,200": `"1,200": write it 1200 or 1.200`, "0x10": "is not a luminance",
		"1e3": "is not a luminance", "inf": "is not a luminance", "NaN": "is not a luminance", "120 lx": "is not a luminance", "bright": "is not a luminance", "-": "is not a luminance",
	} {
		if got, err := WhiteAnswer(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is %v, %v; want an error with %q", text, got, err, want)
		}
	}
}

func TestDayAnswer(t *testing.T) {
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, skarvik(t))
	for text, want := range map[string]string{
		"2026-02-10": "2026-02-10", "today": "2026-03-02", "Yesterday": "2026-03-01", "3 weeks ago": "2026-02-09", "about a month ago": "2026-02-02", "2026-02": "2026-02-01",
	} {
		if got, err := DayAnswer(text, now); err != nil || got.Format(time.DateOnly) != want {
			t.Errorf("%q is %v, %v; want %s", text, got, err, want)
		}
	}
	for _, text := range []string{"", "never", " NEVER "} {
		if got, err := DayAnswer(text, now); err != nil || !got.IsZero() {
			t.Errorf("%q is %v, %v; want no day", text, got, err)
		}
	}
	for _, text := range []string{"2026-03-03", "2027", "soon", "10.02.2026"} {
		if got, err := DayAnswer(text, now); err == nil {
			t.Errorf("%q is %v", text, got)
		}
	}
}

func TestJudgedAnswer(t *testing.T) {
	for want, texts := range map[rules.Judging][]string{
		rules.Beside:       {"screen", "the screen beside it", "The Screen", "beside", "be", "s", "beside the screen", "next to the screen."},
		rules.ByItself:     {"alone", "a", "the print alone, elsewhere", "the print", "print alone", "p", "E", "elsewhere", "by itself", "only the print"},
		rules.JudgedUnsaid: {"", "  ", "both", "bo", "v", "it varies", "It Varies.", "both, it varies"},
	} {
		for _, text := range texts {
			if got, err := JudgedAnswer(text); err != nil || got != want {
				t.Errorf("%q is %q, %v; want %q", text, got, err, want)
			}
		}
	}
	for text, want := range map[string]string{
		"b": `"b" may mean the screen beside it or the print alone, elsewhere or both, it varies: say which`, "the": "say which",
		"yes": `"yes" is none of screen, alone and both`, "screen and print": "is none of", "2": "is none of", "allone": "is none of", "a\x1b[2J": "is none of",
	} {
		if got, err := JudgedAnswer(text); err == nil || got != rules.JudgedUnsaid || !strings.Contains(err.Error(), want) || strings.ContainsRune(err.Error(), 0x1b) {
			t.Errorf("%q is %q, %v; want an error with %q", text, got, err, want)
		}
	}
}

func TestYesOrNoAnswer(t *testing.T) {
	for text, want := range map[string]bool{"yes": true, " Y ": true, "true": true, "No": false, "n": false} {
		if got, err := YesOrNoAnswer(text); err != nil || got == nil || *got != want {
			t.Errorf("%q is %v, %v; want %v", text, got, err, want)
		}
	}
	if got, err := YesOrNoAnswer(" "); got != nil || err != nil {
		t.Errorf("nothing is %v, %v", got, err)
	}
	if _, err := YesOrNoAnswer("Sometimes"); err == nil || !strings.Contains(err.Error(), `"Sometimes" is neither yes nor no`) {
		t.Errorf("got %v", err)
	}
}

// TestRoomAnswer: what was told by eye is less certain than any meter, and a
// number is as certain as the profile's.
func TestRoomAnswer(t *testing.T) {
	for text, want := range map[string]rules.Reading{
		"0": {}, "48": {Light: 48}, "48 lx": {Light: 48}, "about 12,5 lux": {Light: 12.5}, "200000": {Light: 200000},
		"Bright office": {Light: 400, Sigma: rules.ByEye, Note: "by eye: bright office"},
		"window":        {Light: 700, Sigma: rules.ByEye, Note: "by eye: by a window"},
	} {
		want.Place = rules.AtScreen
		if got, err := RoomAnswer(text); err != nil || got == nil || *got != want {
			t.Errorf("%q is %+v, %v; want %+v", text, got, err, want)
		}
	}
	if got, err := RoomAnswer(" "); got != nil || err != nil {
		t.Errorf("nothing is %+v, %v", got, err)
	}
	for text, want := range map[string]string{"200001": "200001 is not a room light: a reading lies between 0 and 200000 lx", "-1": "lies between 0", "Moon": `"Moon" is neither a number of lux nor one of dark`, "light": "may mean quiet light, ordinary room light"} {
		if _, err := RoomAnswer(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

func TestFolderAnswer(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("USERPROFILE", home)
	t.Chdir(home)
	dir, file := filepath.Join(home, "to print"), filepath.Join(home, "file")
	if err := errors.Join(os.Mkdir(dir, 0o700), os.WriteFile(file, nil, 0o600)); err != nil {
		t.Fatal(err)
	}
	url := "file://" + strings.ReplaceAll(filepath.ToSlash(dir), " ", "%20")
	if filepath.Separator == '/' {
		if got, err := FolderAnswer(strings.ReplaceAll(dir, " ", `\ `)); err != nil || got.Typed != dir {
			t.Errorf("with its blanks escaped it is %+v, %v", got, err)
		}
	} else {
		url = "file:///" + strings.TrimPrefix(url, "file://")
	}
	for text, typed := range map[string]string{
		url: dir, "": "", "~/to print": "~/to print", dir: dir, " '" + dir + "' ": dir, `"` + dir + `"`: dir, "to print": dir, "./to print/": dir, "~": "~",
	} {
		got, err := FolderAnswer(text)
		if err != nil || got.Typed != typed {
			t.Errorf("%q is %+v, %v; want %q", text, got, err, typed)
		}
	}
	if got, err := FolderAnswer("nowhere"); !errors.Is(err, ErrNotThere) || got.Typed != filepath.Join(home, "nowhere") {
		t.Errorf("a folder that is not there is %+v, %v", got, err)
	}
	for _, text := range []string{file, "~anna/prints", "a\x00b", "a\tb", "\xff"} {
		if got, err := FolderAnswer(text); err == nil || errors.Is(err, ErrNotThere) {
			t.Errorf("%q is %+v, %v", text, got, err)
		}
	}
}

// FuzzAnswers: whatever is typed, each question takes it or says one line; what
// is taken makes a profile that loads and says just that.
func FuzzAnswers(f *testing.F) {
	f.Add("120 cd/m²", "3 weeks ago", "yes", "dim lamp", "~/to-print")
	f.Add("118,5", "never", "no", "48 lx", `D:\Exports`)
	f.Add("", "", "", "", "")
	f.Add("1e9", "2026-02-30", "maybe", "light", "it's a \"folder\" #\\")
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, white, measured, held, room, exports string) {
		var a config.Answers
		var errs [5]error
		a.White, errs[0] = WhiteAnswer(white)
		a.Measured, errs[1] = DayAnswer(measured, now)
		a.Held, errs[4] = YesOrNoAnswer(held)
		light, err := RoomAnswer(room)
		errs[2] = err
		dir, err := FolderAnswer(exports)
		errs[3] = err
		for _, err := range errs {
			if err != nil && !errors.Is(err, ErrNotThere) && legible.Line(err.Error()) != err.Error() {
				t.Errorf("the sentence would steer a terminal: %q", err)
			}
			if err != nil && !errors.Is(err, ErrNotThere) {
				return
			}
		}
		if light != nil && !(light.Light >= 0 && light.Light <= rules.MostLux) {
			t.Errorf("%q is %v lx", room, light.Light)
		}
		a.Exports = dir.Typed
		p, _, err := config.Parse("/home/anna/profile.toml", []byte(config.Starter(a)), "/home/anna")
		if err != nil {
			t.Fatalf("%+v makes a profile that can't be loaded: %v", a, err)
		}
		d := p.EditingDisplay()
		if d.White.Assumed != (a.White == 0) || !d.White.Assumed && math.Abs(float64(d.White.Value-a.White)) > 0 {
			t.Errorf("the white is %+v, want %v", d.White, a.White)
		}
		if d.Held.Assumed != (a.Held == nil) || a.Held != nil && d.Held.Value != *a.Held {
			t.Errorf("held is %+v of %q", d.Held, held)
		}
		if d.Measured.Assumed != a.Measured.IsZero() || len(p.Folders) > 0 != (a.Exports != "") {
			t.Errorf("measured %+v and %d folders of %+v", d.Measured, len(p.Folders), a)
		}
	})
}
