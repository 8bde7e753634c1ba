package agent

import (
	"errors"
	"go/ast"
	"go/build"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"slices"
	"testing"
)

// floors are the files of the loop, from the top: a function is called in its own file,
// or from a floor above. Those of one group call nothing of another group.
var floors = [][]string{
	{"agent.go"},
	{"loop.go"},
	{"turns.go"},
	{"lookout.go", "openpage.go", "openprofile.go"},
	{"tell.go"},
	{"desk.go", "exports.go", "voice.go"},
	{"lightfolder.go", "clicks.go", "journaling.go", "notices.go", "prints.go"},
	{"facts.go", "queue.go"},
	{"inforce.go", "folders.go", "summary.go"},
	{"profile.go", "photographs.go"},
	{"papers.go", "sensing.go", "outcomes.go", "state.go"},
	{"tidings.go"},
	{"troubles.go", "waits.go", "errand.go"},
}

var groups = map[string][]string{
	"desk": {"desk.go", "lightfolder.go", "clicks.go", "facts.go", "inforce.go", "profile.go", "papers.go", "sensing.go",
		"outcomes.go", "photographs.go"},
	"exports": {"exports.go", "journaling.go", "queue.go", "folders.go"},
	"voice":   {"voice.go", "notices.go", "prints.go", "summary.go"},
}

// floorOf is the floor of a file, −1 for one that stands beside.
func floorOf(file string) int {
	return slices.IndexFunc(floors, func(files []string) bool { return slices.Contains(files, file) })
}

func groupOf(file string) string {
	for group, files := range groups {
		if slices.Contains(files, file) {
			return group
		}
	}
	return ""
}

// imports gives nothing of other packages: which function of this one is called can be
// told without.
type imports struct{}

func (imports) Import(string) (*types.Package, error) { return nil, errors.New("left out") }

// isAbstract tells the methods of interfaces: what they call is given from outside.
func isAbstract(f *types.Func) bool {
	of := f.Signature().Recv()
	return of != nil && types.IsInterface(of.Type())
}

// TestArrowsRunDown holds the files to what the head of agent.go says of them.
func TestArrowsRunDown(t *testing.T) {
	here, err := build.ImportDir(".", 0)
	mustNot(t, err)
	files, set := []*ast.File{}, token.NewFileSet()
	for _, name := range here.GoFiles {
		f, err := parser.ParseFile(set, name, nil, 0)
		mustNot(t, err)
		files = append(files, f)
	}
	info := &types.Info{Uses: map[*ast.Ident]types.Object{}}
	lenient := types.Config{Importer: imports{}, Error: func(error) {}}
	_, _ = lenient.Check("agent", set, files, info)
	fileOf := func(p token.Pos) string { return filepath.Base(set.Position(p).Filename) }
	calls := 0
	for ident, used := range info.Uses {
		f, isFunc := used.(*types.Func)
		if !isFunc || f.Pkg() == nil || f.Pkg().Name() != "agent" || isAbstract(f) {
			continue
		}
		from, to := fileOf(ident.Pos()), fileOf(used.Pos())
		if from == to || floorOf(from) < 0 || floorOf(to) < 0 {
			continue
		}
		calls++
		if floorOf(to) <= floorOf(from) {
			t.Errorf("%s: calls %s, which is in %s, not below", set.Position(ident.Pos()), used.Name(), to)
		}
		if a, b := groupOf(from), groupOf(to); a != "" && b != "" && a != b {
			t.Errorf("%s: a file of the %s calls %s, of the %s", set.Position(ident.Pos()), a, used.Name(), b)
		}
	}
	if calls < 100 {
		t.Errorf("only %d calls from one file to another were found", calls)
	}
}
