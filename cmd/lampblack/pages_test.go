package main

import (
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

// pages are the project's pages, by their path from its root.
func pages(t *testing.T) map[string]string {
	t.Helper()
	root := filepath.Join("..", "..")
	found := map[string]string{}
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() && d.Name() == ".git" {
			return filepath.SkipDir
		}
		if err != nil || filepath.Ext(name) != ".md" {
			return err
		}
		text, err := os.ReadFile(name)
		relative, _ := filepath.Rel(root, name)
		found[filepath.ToSlash(relative)] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, there := range []string{"README.md", "DEVELOPERS.md", "cmd/lampblack/README.md", "rules/README.md", "agent/picture/README.md"} {
		if found[there] == "" {
			t.Fatalf("there is no %s", there)
		}
	}
	return found
}

// TestLinks: what a page links to is there, and the headings that it links to, too.
func TestLinks(t *testing.T) {
	all := pages(t)
	links := 0
	for page, text := range all {
		for _, link := range regexp.MustCompile(`\]\(([^)\s]+)\)`).FindAllStringSubmatch(text, -1) {
			if strings.Contains(link[1], "://") {
				continue
			}
			links++
			target, heading, _ := strings.Cut(link[1], "#")
			file := page
			if target != "" {
				file = filepath.ToSlash(filepath.Join(filepath.Dir(filepath.FromSlash(page)), filepath.FromSlash(target)))
			}
			if _, err := os.Stat(filepath.Join("..", "..", filepath.FromSlash(file))); err != nil {
				t.Errorf("%s links to %s, which is not there", page, link[1])
			}
			if heading != "" && !slices.Contains(anchors(all[file]), heading) {
				t.Errorf("%s links to %s, and %s has no such heading", page, link[1], file)
			}
		}
	}
	if links < 10 {
		t.Errorf("only %d links were found", links)
	}
}

// TestMap: every room of the house is on the map in DEVELOPERS.md, and no other. A room
// has a line, or is named as below another: "values/".
func TestMap(t *testing.T) {
	_, drawn, _ := strings.Cut(pages(t)["DEVELOPERS.md"], "## Map of the rooms\n\n```\n")
	drawn, _, _ = strings.Cut(drawn, "```")
	rooms := map[string]bool{}
	for arrow := range roomsImported(t, filepath.Join("..", "..")) {
		rooms[arrow[0]], rooms[arrow[1]] = true, true
	}
	for room := range rooms {
		below := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(path.Dir(room)) + `/.*\b` + regexp.QuoteMeta(path.Base(room)) + `/`)
		if !strings.Contains("\n"+drawn, "\n"+room+"/ ") && !below.MatchString(drawn) {
			t.Errorf("%s is not on the map", room)
		}
	}
	for _, line := range regexp.MustCompile(`(?m)^[\w./]+`).FindAllString(drawn, -1) {
		if info, err := os.Stat(filepath.Join("..", "..", filepath.FromSlash(line))); err != nil || !info.IsDir() {
			t.Errorf("%s is on the map, and is not there", line)
		}
	}
	if len(rooms) < 20 {
		t.Errorf("only %d rooms were found", len(rooms))
	}
}

// anchors are the names by which the headings of a page are linked to: in lower case,
// with dashes for spaces, without punctuation.
func anchors(text string) []string {
	var names []string
	for _, heading := range regexp.MustCompile(`(?m)^#+ (.*)$`).FindAllStringSubmatch(text, -1) {
		name := regexp.MustCompile(`[^\pL\pN_ -]`).ReplaceAllString(strings.ToLower(heading[1]), "")
		names = append(names, strings.ReplaceAll(name, " ", "-"))
	}
	return names
}

// shown are the command lines of this program on a page: the lines of its blocks of
// code, and what begins with the program's name in code quotes. They come as words.
func shown(text string) (lines [][]string) {
	code := ""
	for i, part := range strings.Split(text, "```") {
		if i%2 == 1 {
			code += part
			continue
		}
		for _, quoted := range regexp.MustCompile("`(lampblack [^`]+)`").FindAllStringSubmatch(part, -1) {
			code += "\n" + quoted[1]
		}
	}
	for _, line := range regexp.MustCompile(`(?m)^(?:(?:\./)?lampblack|go run \./cmd/lampblack)(?: +.*)?$`).FindAllString(code, -1) {
		words := typed(line)
		at := 1
		if words[0] == "go" {
			at = 3
		}
		lines = append(lines, words[at:])
	}
	return lines
}

// typed is a command line as a shell takes it apart, up to a comment or a file that its
// output goes to.
func typed(line string) (words []string) {
	for _, w := range regexp.MustCompile(`(?:'[^']*'|"[^"]*"|[^\s'"])+`).FindAllString(line, -1) {
		if w == ">" || strings.HasPrefix(w, "#") {
			break
		}
		words = append(words, strings.NewReplacer("'", "", `"`, "").Replace(w))
	}
	return words
}

// asks are the commands that go on, open something, or ask.
var asks = []string{"watch", "begin", "rehearse", "autostart", "page"}

// harmless tells a command line that can be run. A command alone is only named, and words
// to fill in are no files.
func harmless(line []string) bool {
	return len(line) > 1 && !slices.Contains(asks, line[0]) && !slices.ContainsFunc(line, func(w string) bool {
		return slices.Contains([]string{"FILE", "DIR", "COMMAND"}, w)
	})
}

// TestCommandLines: every command line that a page shows is one that the program takes.
// Where that does no harm it is run: a file that is not there is no fault of the line.
func TestCommandLines(t *testing.T) {
	dir, tried, played := t.TempDir(), 0, 0
	if err := os.WriteFile(filepath.Join(dir, "P.toml"), []byte("[[display]]\nname = \"north bench\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for page, text := range pages(t) {
		for _, line := range shown(text) {
			tried++
			if err := parses(line); err != nil {
				t.Errorf("%s: lampblack %s: %v", page, strings.Join(line, " "), err)
			}
			if !harmless(line) {
				continue
			}
			played++
			cmd := exec.Command("lampblack", line...)
			cmd.Dir = dir
			cmd.Env = append(cmd.Environ(), "GORACE="+hasty, "HOME="+dir, "XDG_CONFIG_HOME=", "XDG_STATE_HOME=", "AppData="+dir, "LocalAppData="+dir)
			out, _ := cmd.CombinedOutput()
			if cmd.ProcessState.ExitCode() == badInput {
				t.Errorf("%s: lampblack %s: %s", page, strings.Join(line, " "), out)
			}
		}
	}
	if tried < 30 || played < 20 {
		t.Errorf("only %d command lines were found, and %d of them run", tried, played)
	}
}

// parses tells whether the program takes a command line.
func parses(args []string) error {
	var cl line
	helped := false
	parser := kong.Must(&cl, kong.Name("lampblack"), helpWords, kong.Writers(io.Discard, io.Discard), kong.Exit(func(int) { helped = true }))
	words, err := arrange(parser.Model, slices.DeleteFunc(slices.Clone(args), func(w string) bool { return w == "COMMAND" }))
	if err != nil {
		return err
	}
	if _, err = parser.Parse(words); helped {
		return nil
	}
	return err
}

// TestShown: what the test of the command lines looks at is all of it.
func TestShown(t *testing.T) {
	got := shown("Try `lampblack desk --json`, or `desk`:\n\n```\n./lampblack light 48   # log it\ngo run ./cmd/lampblack rehearse\ngo test ./...\n" +
		"lampblack journal '*.tif' --where 'room > 100' --csv > 2026.csv\nlampblack\n```\n\nlampblack light 5\n")
	want := [][]string{{"desk", "--json"}, {"light", "48"}, {"rehearse"}, {"journal", "*.tif", "--where", "room > 100", "--csv"}, {}}
	if !slices.EqualFunc(got, want, slices.Equal) {
		t.Errorf("got %q, want %q", got, want)
	}
	if parses([]string{"light", "--nonsense"}) == nil || parses([]string{"page", "-o"}) == nil {
		t.Error("nonsense is taken for a command line")
	}
}
