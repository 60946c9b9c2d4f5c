package app

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"testing"
)

// What changes while the program runs belongs to the program that was started, not
// to a package: two of them, as in tests, must not meet. Tables and errors may stand
// at a package; nobody writes to them.
func TestNoPackageHoldsState(t *testing.T) {
	rooms := map[string][]*ast.File{}
	set := token.NewFileSet()
	for _, name := range sourcesOfRooms(t) {
		file, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		rooms[filepath.Dir(name)] = append(rooms[filepath.Dir(name)], file)
	}
	for _, fault := range stateIn(set, rooms) {
		t.Error(fault)
	}
}

// The search finds what it is to find.
func TestStateOfAPackageIsFound(t *testing.T) {
	for source, faults := range map[string]int{
		`package a; const limit = 3; var table = []string{"a"}; var err = errors.New("x")`: 0,
		`package a; var pattern = regexp.MustCompile("a"); var files embed.FS`:             0,
		`package a; var current *workspace`:                                                1,
		`package a; var current = newWorkspace()`:                                          1,
		`package a; var open func() error`:                                                 1,
		`package a; var one, two int`:                                                      2,
		`package a; var table = map[string]int{}; func f() { table["a"] = 1 }`:             1,
		`package a; var table = []int{1}; func f() { table = append(table, 2) }`:           1,
		`package a; var count = [1]int{}; func f() { count[0]++ }`:                         1,
		`package a; var press = printing{}; func f() { press.last = 1 }`:                   1,
		`package a; var press = printing{}; func f() { start(&press) }`:                    1,
		`package a; var table = []int{1}; func f(table []int) { table[0] = 2 }`:            1, // a name for two things
		`package a; var table = []int{1}; func f() { for range table { println(table) } }`: 0,
	} {
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, "a.go", source, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		if found := stateIn(set, map[string][]*ast.File{"a": {file}}); len(found) != faults {
			t.Errorf("%s: found %v", source, found)
		}
	}
}

// stateIn names the variables of packages that hold more than a table or an error,
// or are written to.
func stateIn(set *token.FileSet, rooms map[string][]*ast.File) []string {
	var faults []string
	for _, files := range rooms {
		variables := map[string]token.Pos{}
		for _, file := range files {
			for _, d := range file.Decls {
				g, ok := d.(*ast.GenDecl)
				if !ok || g.Tok != token.VAR {
					continue
				}
				for _, spec := range g.Specs {
					v := spec.(*ast.ValueSpec)
					for i, name := range v.Names {
						variables[name.Name] = name.Pos()
						if !(i < len(v.Values) && isTable(v.Values[i])) && !isFiles(v.Type) {
							faults = append(faults, set.Position(name.Pos()).String()+": "+name.Name+" is no table")
						}
					}
				}
			}
		}
		for _, file := range files {
			ast.Inspect(file, func(n ast.Node) bool {
				var written []ast.Expr
				switch n := n.(type) {
				case *ast.AssignStmt:
					if n.Tok != token.DEFINE {
						written = n.Lhs
					}
				case *ast.IncDecStmt:
					written = []ast.Expr{n.X}
				case *ast.UnaryExpr:
					if n.Op == token.AND {
						written = []ast.Expr{n.X}
					}
				}
				for _, e := range written {
					if name := rootOf(e); name != nil {
						if _, ok := variables[name.Name]; ok {
							faults = append(faults, set.Position(e.Pos()).String()+": "+name.Name+" is written to")
						}
					}
				}
				return true
			})
		}
	}
	return faults
}

// isTable tells a table, or what is made once of constants.
func isTable(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.CompositeLit:
		return true
	case *ast.CallExpr:
		switch name := calledName(e); name {
		case "errors.New", "refusal.Error", "regexp.MustCompile":
			return true
		case "error":
			return len(e.Args) == 1 && isTable(e.Args[0])
		case "strings.NewReplacer":
			return true
		}
	}
	return false
}

// isFiles tells files that the compiler put in.
func isFiles(e ast.Expr) bool {
	s, ok := e.(*ast.SelectorExpr)
	return ok && s.Sel.Name == "FS"
}

func calledName(call *ast.CallExpr) string {
	switch f := call.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		if id, ok := f.X.(*ast.Ident); ok {
			return id.Name + "." + f.Sel.Name
		}
	}
	return ""
}

// rootOf is the variable that a place is part of.
func rootOf(e ast.Expr) *ast.Ident {
	switch e := e.(type) {
	case *ast.Ident:
		return e
	case *ast.SelectorExpr:
		return rootOf(e.X)
	case *ast.IndexExpr:
		return rootOf(e.X)
	case *ast.StarExpr:
		return rootOf(e.X)
	case *ast.ParenExpr:
		return rootOf(e.X)
	}
	return nil
}
