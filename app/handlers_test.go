package app

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// go-app keeps the first handler of an element as long as the next one comes
// from the same line of code and has the same scope: a closure over anything
// that changes from render to render must name it as scope, or the old value
// goes on being used.
func TestHandlersNameWhatTheyCapture(t *testing.T) {
	files := sourcesOfRooms(t)
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
			lasting := lastingIn(f)
			ast.Inspect(f, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok || len(call.Args) == 0 {
					return true
				}
				method, ok := call.Fun.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				args := call.Args
				if of, _ := method.X.(*ast.Ident); of != nil && of.Name == "element" {
					before := map[string]int{"Button": 2, "Doing": 3}[method.Sel.Name]
					if before == 0 {
						return true
					}
					args = args[before:]
				} else if !strings.HasPrefix(method.Sel.Name, "On") {
					return true
				}
				seen++
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
	if seen < 150 {
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

// lastingIn names the variables of f that are the same at each render: its
// receiver, and the nouns of the program, of which there is one.
func lastingIn(f *ast.FuncDecl) map[string]bool {
	lasting := map[string]bool{"w": true}
	if f.Recv != nil && len(f.Recv.List) > 0 && len(f.Recv.List[0].Names) > 0 {
		lasting[f.Recv.List[0].Names[0].Name] = true
	}
	for _, p := range f.Type.Params.List {
		switch typeName(p.Type) {
		case "editing.Device", "language.Speaker":
			for _, name := range p.Names {
				lasting[name.Name] = true
			}
		}
	}
	return lasting
}

// typeName is the name of a type that is pointed at.
func typeName(e ast.Expr) string {
	star, ok := e.(*ast.StarExpr)
	if !ok {
		return ""
	}
	if s, ok := star.X.(*ast.SelectorExpr); ok {
		if id, ok := s.X.(*ast.Ident); ok {
			return id.Name + "." + s.Sel.Name
		}
	}
	return ""
}

// sourcesOfRooms are the files of this package and of every room below it.
func sourcesOfRooms(t *testing.T) []string {
	t.Helper()
	var files []string
	rooms := map[string]bool{}
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && filepath.Ext(name) == ".go" && !strings.HasSuffix(name, "_test.go") {
			files = append(files, name)
			rooms[filepath.Dir(name)] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, room := range []string{".", "ui", "fieldbook", "keeping", "office", "documents", "shell", "editing"} {
		if !rooms[room] {
			t.Errorf("no source of %s: the test has lost its way", room)
		}
	}
	return files
}
