package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
)

// A point is one place in a file and what would stand there instead.
type point struct {
	pkg      string // import path
	file     string // beside the module's root, with slashes
	from, to int    // bytes of the source that are replaced
	with     string
	line     int
	old, new string // the line before and after, without its indentation
}

func (p point) String() string { return fmt.Sprintf("%s:%d", p.file, p.line) }

// mutated is the source with the point's mutation.
func (p point) mutated(source []byte) []byte {
	return []byte(string(source[:p.from]) + p.with + string(source[p.to:]))
}

// lister collects the points of one file, in the order of its text.
type lister struct {
	pkg, name string
	source    []byte
	file      *token.File
	results   [][]ast.Expr // the result types of the functions around
	points    []point
}

// pointsOf lists the points of a file. Whether a mutation compiles is not known yet.
func pointsOf(pkg, name string, source []byte) ([]point, error) {
	fset := token.NewFileSet()
	tree, err := parser.ParseFile(fset, name, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	l := &lister{pkg: pkg, name: name, source: source, file: fset.File(tree.FileStart)}
	for _, d := range tree.Decls {
		ast.Walk(l, d)
	}
	return l.points, nil
}

// replace notes a mutation of the text from one position to another.
func (l *lister) replace(from, to token.Pos, with string) {
	p := point{pkg: l.pkg, file: l.name, from: l.file.Offset(from), to: l.file.Offset(to), with: with}
	p.line = l.file.Line(from)
	p.old = lineOf(l.source, p.line)
	p.new = lineOf(p.mutated(l.source), p.line)
	if p.old != p.new {
		l.points = append(l.points, p)
	}
}

func lineOf(source []byte, line int) string {
	lines := strings.SplitN(string(source), "\n", line+1)
	return strings.TrimSpace(lines[line-1])
}

func (l *lister) text(n ast.Node) string {
	return string(l.source[l.file.Offset(n.Pos()):l.file.Offset(n.End())])
}

// Visit notes the mutations of a node and decides what is looked at below it.
func (l *lister) Visit(n ast.Node) ast.Visitor {
	switch n := n.(type) {
	case *ast.FuncDecl:
		return l.within(n.Type)
	case *ast.FuncLit:
		return l.within(n.Type)
	case *ast.ImportSpec, *ast.ArrayType, *ast.Field:
		return nil // a length or a tag is no behaviour
	case *ast.BinaryExpr:
		for _, op := range swaps[n.Op] {
			l.replace(n.OpPos, n.OpPos+token.Pos(len(n.Op.String())), op.String())
		}
	case *ast.AssignStmt:
		for _, op := range swaps[n.Tok] {
			l.replace(n.TokPos, n.TokPos+token.Pos(len(n.Tok.String())), op.String())
		}
	case *ast.IncDecStmt:
		l.replace(n.TokPos, n.TokPos+2, swaps[n.Tok][0].String())
	case *ast.UnaryExpr:
		if n.Op == token.NOT {
			l.replace(n.OpPos, n.OpPos+1, "")
		}
	case *ast.IfStmt:
		l.negate(n.Cond)
	case *ast.ForStmt:
		l.negate(n.Cond)
	case *ast.BasicLit:
		l.number(n)
	case *ast.CallExpr:
		return l.call(n)
	case *ast.ExprStmt:
		l.forget(n)
	case *ast.ReturnStmt:
		l.returned(n)
	}
	return l
}

// within is the lister of a function's body.
func (l *lister) within(f *ast.FuncType) ast.Visitor {
	var types []ast.Expr
	if f.Results != nil {
		for _, field := range f.Results.List {
			for range max(1, len(field.Names)) {
				types = append(types, field.Type)
			}
		}
	}
	return &inFunc{l, types}
}

// inFunc is a lister that knows what the function around returns.
type inFunc struct {
	*lister
	types []ast.Expr
}

func (f *inFunc) Visit(n ast.Node) ast.Visitor {
	f.results = append(f.results, f.types)
	next := f.lister.Visit(n)
	f.results = f.results[:len(f.results)-1]
	if next == ast.Visitor(f.lister) {
		return f
	}
	return next
}

// swaps are the operators that an operator is exchanged for: of a comparison, its
// boundary and its contrary.
var swaps = map[token.Token][]token.Token{
	token.LSS: {token.LEQ, token.GEQ}, token.LEQ: {token.LSS, token.GTR},
	token.GTR: {token.GEQ, token.LEQ}, token.GEQ: {token.GTR, token.LSS},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL},
	token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD: {token.SUB}, token.SUB: {token.ADD},
	token.MUL: {token.QUO}, token.QUO: {token.MUL}, token.REM: {token.MUL},
	token.SHL: {token.SHR}, token.SHR: {token.SHL},
	token.AND: {token.OR}, token.OR: {token.AND}, token.XOR: {token.AND}, token.AND_NOT: {token.AND},
	token.ADD_ASSIGN: {token.SUB_ASSIGN}, token.SUB_ASSIGN: {token.ADD_ASSIGN},
	token.MUL_ASSIGN: {token.QUO_ASSIGN}, token.QUO_ASSIGN: {token.MUL_ASSIGN},
	token.AND_ASSIGN: {token.OR_ASSIGN}, token.OR_ASSIGN: {token.AND_ASSIGN},
	token.INC: {token.DEC}, token.DEC: {token.INC},
}

// negate turns a condition round, where that isn't what a swap does already.
func (l *lister) negate(cond ast.Expr) {
	switch c := cond.(type) {
	case nil, *ast.UnaryExpr:
		return
	case *ast.BinaryExpr:
		if c.Op != token.LAND && c.Op != token.LOR {
			return
		}
	}
	l.replace(cond.Pos(), cond.End(), "!("+l.text(cond)+")")
}

// number makes a number one more, and nothing.
func (l *lister) number(n *ast.BasicLit) {
	switch n.Kind {
	case token.INT:
		v, err := strconv.ParseInt(n.Value, 0, 64)
		if err != nil {
			return
		}
		l.replace(n.Pos(), n.End(), strconv.FormatInt(v+1, 10))
		if v != 0 {
			l.replace(n.Pos(), n.End(), strconv.FormatInt(v-1, 10))
		}
	case token.FLOAT:
		v, err := strconv.ParseFloat(n.Value, 64)
		if err != nil {
			return
		}
		l.replace(n.Pos(), n.End(), fmt.Sprintf("(%s + 1)", n.Value))
		if v != 0 {
			l.replace(n.Pos(), n.End(), "0.0")
		}
	}
}

// call leaves out how much room a slice or channel is given, which only costs time.
func (l *lister) call(n *ast.CallExpr) ast.Visitor {
	made, ok := n.Fun.(*ast.Ident)
	if !ok || made.Name != "make" {
		return l
	}
	if _, channel := n.Args[0].(*ast.ChanType); !channel && len(n.Args) == 2 {
		return l
	}
	return nil
}

// forget leaves out a call that is made for what it does, so that all that it is
// given stays used.
func (l *lister) forget(n *ast.ExprStmt) {
	if _, ok := n.X.(*ast.CallExpr); ok {
		l.replace(n.Pos(), n.End(), "if false { "+l.text(n)+" }")
	}
}

// returned makes each value that is returned its contrary or the zero of its type.
func (l *lister) returned(n *ast.ReturnStmt) {
	if len(l.results) == 0 {
		return
	}
	types := l.results[len(l.results)-1]
	if len(types) != len(n.Results) {
		return
	}
	for i, value := range n.Results {
		with := "*new(" + l.text(types[i]) + ")"
		switch l.text(types[i]) {
		case "bool":
			with = "!(" + l.text(value) + ")"
		case "error":
			with = "nil"
		}
		if !l.isZero(value) || with[0] == '!' {
			l.replace(value.Pos(), value.End(), with)
		}
	}
}

// isZero tells what is a zero value by its looks.
func (l *lister) isZero(value ast.Expr) bool {
	switch text := l.text(value); text {
	case "nil", `""`, "0":
		return true
	default:
		return strings.HasSuffix(text, "{}") && !strings.Contains(text, "(")
	}
}
