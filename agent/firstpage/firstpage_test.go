package firstpage

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"lampblack/config"
	"lampblack/rules"
)

func pageOf(t *testing.T, profile, text string) string {
	t.Helper()
	b, err := Page{Profile: profile, Text: text, Lines: config.StarterLines(text)}.render()
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// rows are the page's table rows: number, text and what to do.
func rows(page string) (all [][3]string) {
	row := regexp.MustCompile(`<tr><td>(.*?)</td><td><code>(.*?)</code></td><td>(.*?)</td></tr>`)
	for _, m := range row.FindAllStringSubmatch(page, -1) {
		all = append(all, [3]string{m[1], html.UnescapeString(m[2]), m[3]})
	}
	return all
}

// Each line that the page sends to is the line of the file that was written.
func TestLinesAreThoseOfTheFile(t *testing.T) {
	text := config.Starter(config.Answers{})
	lines := strings.Split(text, "\n")
	all := rows(pageOf(t, "/home/anna/profile.toml", text))
	if len(all) != 16 {
		t.Fatalf("%d rows, want 5 for the screen, 6 for the room, 3 for the exports, 2 for how prints are judged", len(all))
	}
	for _, r := range all {
		var n int
		if _, err := fmt.Sscan(r[0], &n); err != nil || lines[n-1] != "# "+r[1] || !strings.HasPrefix(r[2], "delete the #") {
			t.Errorf("line %s is to be %q (%s); the file has %q", r[0], r[1], r[2], lines[n-1])
		}
	}
	for _, want := range []string{"[[display]]", "white_cd_m2 = ", "measured = ", "held = ", "lx = ", "reading_hours = ", "[[folder]]", "path = ", "[desk]", "prints_judged = "} {
		if !strings.Contains(fmt.Sprint(all), want) {
			t.Errorf("no row is about %s", want)
		}
	}
}

// The page says what is counted from where the file is silent.
func TestReferencesAreTold(t *testing.T) {
	target := config.Default().Target
	page := strings.Join(strings.Fields(pageOf(t, "/p.toml", config.Starter(config.Answers{}))), " ")
	for _, want := range []string{
		fmt.Sprintf("has %g to %g cd/m²; unless the file says otherwise, shifts are counted from the geometric middle, %.0f.",
			target.White.Low, target.White.High, float64(target.ReferenceWhite)),
		fmt.Sprintf("%g to %g lx are right; shifts are counted from the geometric middle, %.0f.",
			rules.RoomRange(target.Room).Low, rules.RoomRange(target.Room).High, float64(target.ReferenceRoom)),
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page doesn't say %q", want)
		}
	}
}

// A profile that somebody has edited already: what stands in it is not sent to
// again as commented out, what is missing is to be written.
func TestEditedProfile(t *testing.T) {
	all := rows(pageOf(t, "/p.toml", "[[display]]\nname = 'a'\n# white_cd_m2 = 100\n"))
	want := [][3]string{
		{"1", "[[display]]", "is there already"}, {"2", "name = 'a'", "put in your own value"},
		{"3", "white_cd_m2 = 100", "delete the # and put in your own value"}, {"new", "measured = …", "write it"},
	}
	if room := [3]string{"new", "[room]", "write it"}; len(all) < 6 || all[5] != room {
		t.Errorf("the rows are %v, want %v among them", all, room)
	}
	if len(all) < 4 || fmt.Sprint(all[:4]) != fmt.Sprint(want) {
		t.Errorf("the rows are %v, want %v", all, want)
	}
}

// Nothing in the page runs, is fetched or comes from the file as markup.
func TestPageIsClosed(t *testing.T) {
	page := pageOf(t, `/home/"><script>alert(1)</script>/p.toml`, "[[folder]]\npath = '<img src=x onerror=y>' # \u202e\n")
	for _, bad := range []string{"<script", "<img", "src=", "http:", "https:", "url(", "@import", " style=", "<link"} {
		if strings.Contains(strings.ReplaceAll(page, "&lt;img src=x onerror=y&gt;", ""), bad) {
			t.Errorf("the page has %q in it", bad)
		}
	}
	policy := regexp.MustCompile(`default-src 'none'; style-src '(sha256-[^']+)'`).FindStringSubmatch(html.UnescapeString(page))
	style := regexp.MustCompile(`(?s)<style>(.*)</style>`).FindStringSubmatch(page)
	if policy == nil || style == nil {
		t.Fatalf("no policy or no style:\n%s", page)
	}
	sum := sha256.Sum256([]byte(style[1]))
	if want := "sha256-" + base64.StdEncoding.EncodeToString(sum[:]); policy[1] != want {
		t.Errorf("the policy lets %s through, the style is %s", policy[1], want)
	}
}

// The page is well formed: each element that is opened is closed.
func TestPageIsWellFormed(t *testing.T) {
	d := xml.NewDecoder(strings.NewReader(pageOf(t, "/p.toml", config.Starter(config.Answers{}))))
	d.Strict, d.AutoClose, d.Entity = false, []string{"meta"}, xml.HTMLEntity
	for {
		_, err := d.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

func TestWrite(t *testing.T) {
	path := filepath.Join(t.TempDir(), "state", "begin.html")
	for range 2 { // the second replaces the first
		if err := Write(path, Page{Profile: "/p.toml"}); err != nil {
			t.Fatal(err)
		}
	}
	if left, err := os.ReadDir(filepath.Dir(path)); err != nil || len(left) != 1 {
		t.Errorf("%d files are left, %v", len(left), err)
	}
	blocked := filepath.Join(t.TempDir(), "begin.html")
	if err := os.Mkdir(blocked, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := Write(blocked, Page{}); err == nil {
		t.Error("a page was written over a folder")
	}
	if left, err := os.ReadDir(filepath.Dir(blocked)); err != nil || len(left) != 1 {
		t.Errorf("what could not be written has left %d files, %v", len(left), err)
	}
}

// A link where the page belongs is replaced, and what it leads to stays as it is.
func TestLinkIsReplaced(t *testing.T) {
	dir := t.TempDir()
	victim, path := filepath.Join(dir, "victim"), filepath.Join(dir, "state", "begin.html")
	for _, err := range []error{
		os.WriteFile(victim, []byte("precious"), 0o600), os.Mkdir(filepath.Dir(path), 0o700), os.Symlink(victim, path), Write(path, Page{}),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if text, err := os.ReadFile(victim); err != nil || string(text) != "precious" {
		t.Errorf("the link's end holds %q, %v", text, err)
	}
	if text, err := os.ReadFile(path); err != nil || !strings.Contains(string(text), "<html") {
		t.Errorf("the page is %q, %v", text, err)
	}
}
