package app

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

// go-app keeps the first handler of an element as long as the next one comes
// from the same line of code and has the same scope: a closure over anything
// that changes from render to render must name it as scope, or the old value
// goes on being used.
func TestHandlersNameWhatTheyCapture(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, name := range files {
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, decl := range file.Decls {
			f, ok := decl.(*ast.FuncDecl)
			if !ok || f.Body == nil {
				continue
			}
			lasting := map[string]bool{"w": true}
			if f.Recv != nil && len(f.Recv.List) > 0 && len(f.Recv.List[0].Names) > 0 {
				lasting[f.Recv.List[0].Names[0].Name] = true
			}
			ast.Inspect(f, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok || len(call.Args) == 0 {
					return true
				}
				method, ok := call.Fun.(*ast.SelectorExpr)
				if !ok || !strings.HasPrefix(method.Sel.Name, "On") {
					return true
				}
				seen++
				args := call.Args
				if method.Sel.Name == "On" && len(args) > 1 {
					args = args[1:] // after the event's name
				}
				scope := map[string]bool{}
				for _, a := range args[1:] {
					ast.Inspect(a, func(n ast.Node) bool {
						if id, ok := n.(*ast.Ident); ok {
							scope[id.Name] = true
						}
						return true
					})
				}
				for _, captured := range capturedBy(args[0], f) {
					if !lasting[captured] && len(scope) == 0 {
						t.Errorf("%s: %s captures %s and names no scope", set.Position(call.Pos()), method.Sel.Name, captured)
					}
				}
				return true
			})
		}
	}
	if seen < 20 {
		t.Errorf("only %d handlers found: the test has lost its way", seen)
	}
}

// capturedBy names the variables of f that a handler uses.
func capturedBy(handler ast.Expr, f *ast.FuncDecl) []string {
	var names []string
	ast.Inspect(handler, func(n ast.Node) bool {
		id, ok := n.(*ast.Ident)
		if !ok || id.Obj == nil || id.Obj.Kind != ast.Var {
			return true
		}
		at := id.Obj.Pos()
		if at >= f.Pos() && at < f.End() && !(at >= handler.Pos() && at < handler.End()) {
			names = append(names, id.Name)
		}
		return true
	})
	return names
}
