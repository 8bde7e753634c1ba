package rules_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The wall around the rules: what each package may import, and why. Whoever
// wants more has to say here what for.
var allowed = map[string]map[string]string{
	".": {
		"encoding/json":                    "a prediction of an older journal: what it lacks is unknown, not 0",
		"errors":                           "sentences about a shot that tells nothing",
		"fmt":                              "sentences and errors",
		"iter":                             "values over a range, and what they would do",
		"math":                             "figures",
		"math/bits":                        "sets of causes as bit masks",
		"math/rand/v2":                     "the seeded source of the fixed set of samples",
		"path":                             "patterns of file names, the same on every system",
		"path/filepath":                    "the parts of a file's path: whose export it is, and its name for sentences",
		"slices":                           "sorted figures",
		"sort":                             "causes, tones and readings in order",
		"strconv":                          "figures as text and JSON",
		"strings":                          "sentences",
		"sync":                             "the fixed set of samples is made once",
		"unicode":                          "capitals at the beginning of sentences",
		"unicode/utf8":                     "the same, of names that begin with any letter",
		"time":                             "moments and ages; the clock itself is banned below",
		"gonum.org/v1/gonum/mat":           "the set of samples",
		"gonum.org/v1/gonum/stat":          "quantiles and correlation",
		"gonum.org/v1/gonum/stat/distuv":   "the normal quantile",
		"gonum.org/v1/gonum/stat/samplemv": "the low-discrepancy set",
		"lampblack/rules/cam16":            "appearance",
		"lampblack/rules/colour":           "chromaticities and L*",
		"lampblack/rules/light":            "luminances of screen and sheet",
	},
	"cam16": {
		"fmt":                    "errors",
		"math":                   "figures",
		"lampblack/rules/colour": "XYZ and the CAT16 matrix",
	},
	"colour": {
		"fmt":  "errors",
		"math": "figures",
	},
	"light": {
		"fmt":                    "errors",
		"math":                   "figures",
		"lampblack/rules/colour": "chromaticities of mixed whites",
	},
}

// banned are the names that would make a rule depend on more than its
// arguments; nil bans the whole package.
var banned = map[string][]string{
	"time": {"Now", "Since", "Until", "After", "AfterFunc", "Sleep", "Tick", "NewTimer", "NewTicker", "Local", "LoadLocation"},
	// The functions that draw from the global source; New, NewPCG and the types
	// are fine.
	"math/rand/v2": {"Int", "IntN", "Int32", "Int32N", "Int64", "Int64N", "Uint", "UintN", "Uint32", "Uint32N", "Uint64", "Uint64N",
		"N", "Float32", "Float64", "NormFloat64", "ExpFloat64", "Perm", "Shuffle"},
	"path/filepath": {"Abs", "EvalSymlinks", "Glob", "Walk", "WalkDir"},
	"fmt":           {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln"},
	"math/rand":     nil,
	"os":            nil,
	"io/fs":         nil,
	"net":           nil,
	"runtime":       nil,
	"unsafe":        nil,
}

// sources are the files of the rules, without tests, by package folder.
func sources(t *testing.T) map[string][]*ast.File {
	t.Helper()
	files := map[string][]*ast.File{}
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		folder := path.Dir(filepath.ToSlash(name))
		files[folder] = append(files[folder], file)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// importsOf are the imports of a file: local name to path.
func importsOf(f *ast.File) map[string]string {
	imports := map[string]string{}
	for _, spec := range f.Imports {
		full, _ := strconv.Unquote(spec.Path.Value)
		name := strings.TrimSuffix(full, "/v2")
		name = path.Base(name)
		if spec.Name != nil {
			name = spec.Name.Name
		}
		imports[name] = full
	}
	return imports
}

func TestWall(t *testing.T) {
	used := map[string]bool{}
	for folder, files := range sources(t) {
		list, ok := allowed[folder]
		if !ok {
			t.Errorf("rules/%s has no list of imports: write one here, with reasons", folder)
			continue
		}
		for _, f := range files {
			for _, full := range importsOf(f) {
				used[folder+" "+full] = true
				if list[full] == "" {
					t.Errorf("package %s in rules/%s imports %s, which is not on its list", f.Name.Name, folder, full)
				}
			}
		}
	}
	for folder, list := range allowed {
		for full := range list {
			if !used[folder+" "+full] {
				t.Errorf("rules/%s no longer imports %s: take it off the list", folder, full)
			}
		}
	}
}

func TestNoClockNoFilesNoChance(t *testing.T) {
	looked := 0
	for folder, files := range sources(t) {
		for _, f := range files {
			imports := importsOf(f)
			ast.Inspect(f, func(n ast.Node) bool {
				if sel, ok := n.(*ast.SelectorExpr); ok {
					looked++
					if what := bannedUse(imports, sel); what != "" {
						t.Errorf("rules/%s uses %s: pass it in as an argument", folder, what)
					}
				}
				return true
			})
		}
	}
	if looked < 500 {
		t.Errorf("only %d selectors were looked at", looked)
	}
}

// bannedUse is the banned thing that a selector names, or "".
func bannedUse(imports map[string]string, sel *ast.SelectorExpr) string {
	x, ok := sel.X.(*ast.Ident)
	if !ok {
		return ""
	}
	full := imports[x.Name]
	names, ok := banned[full]
	if !ok {
		return ""
	}
	for _, name := range names {
		if name == sel.Sel.Name {
			return full + "." + name
		}
	}
	if names == nil {
		return full
	}
	return ""
}

// TestBannedUse: the ban finds what it is to find.
func TestBannedUse(t *testing.T) {
	const source = `package p
import ("time"; "math/rand/v2"; clock "time"; "os")
var _ = []any{time.Now, rand.IntN, clock.Since, os.Args, time.Hour, rand.NewPCG}`
	f, err := parser.ParseFile(token.NewFileSet(), "p.go", source, 0)
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	ast.Inspect(f, func(n ast.Node) bool {
		if sel, ok := n.(*ast.SelectorExpr); ok {
			if what := bannedUse(importsOf(f), sel); what != "" {
				found = append(found, what)
			}
		}
		return true
	})
	if got := strings.Join(found, " "); got != "time.Now math/rand/v2.IntN time.Since os" {
		t.Errorf("found %q", got)
	}
}
