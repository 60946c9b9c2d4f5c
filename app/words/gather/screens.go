package gather

import (
	"go/ast"
	"go/constant"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// plainWords are what may stand on a screen without the catalogue.
var plainWords = map[string]bool{"Pegpour": true, "mm": true, "ABCDE-FGHJK": true}

// showing are the methods of an element that put a text before the user, with
// the place of the text among their arguments.
var showing = map[string]int{"Text": 0, "Title": 0, "Placeholder": 0, "Alt": 0, "Aria": 1}

// showingElement are the functions of the package element that do.
var showingElement = map[string]int{"Text": 2, "Region": 2, "Status": 3, "Link": 2, "Button": 1, "Doing": 2,
	"Known": 4, "Acting": 3, "Label": 1}

// spokenAria are the attributes that are read out.
var spokenAria = map[string]bool{"label": true, "description": true, "valuetext": true, "roledescription": true,
	"placeholder": true}

// screens looks for texts of the screens that pass the catalogue by, and for
// sentences glued from what it says.
func (g *gathering) screens() {
	for _, file := range g.files {
		name := g.set.Position(file.Pos()).Filename
		if !strings.HasPrefix(name, filepath.Join(g.source.root, "app")+string(filepath.Separator)) {
			continue
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CallExpr:
				g.shown(n)
			case *ast.BinaryExpr:
				if n.Op == token.ADD {
					g.glued(n)
					return false
				}
			}
			return true
		})
	}
}

// shown looks at what a method of an element is given.
func (g *gathering) shown(call *ast.CallExpr) {
	method, ok := call.Fun.(*ast.SelectorExpr)
	if !ok {
		return
	}
	at, ok := showing[method.Sel.Name]
	if of, _ := method.X.(*ast.Ident); of != nil && of.Name == "element" {
		at, ok = showingElement[method.Sel.Name]
	}
	if !ok || len(call.Args) <= at {
		return
	}
	if method.Sel.Name == "Aria" && !spokenAria[g.constant(call.Args[0])] {
		return
	}
	if text := g.constant(call.Args[at]); strings.IndexFunc(text, unicode.IsLetter) >= 0 && !plainWords[text] {
		g.fault(call.Args[at], "shown without Say: "+strconv.Quote(text))
	}
}

func (g *gathering) constant(e ast.Expr) string {
	if v := g.info.Types[e].Value; v != nil && v.Kind() == constant.String {
		return constant.StringVal(v)
	}
	return ""
}

// glued looks at a sum of texts in which one was said: nothing but signs may
// stand beside it.
func (g *gathering) glued(sum *ast.BinaryExpr) {
	said, beside := false, false
	var look func(e ast.Expr)
	look = func(e ast.Expr) {
		e = ast.Unparen(e)
		if b, ok := e.(*ast.BinaryExpr); ok && b.Op == token.ADD {
			look(b.X)
			look(b.Y)
			return
		}
		if call, ok := e.(*ast.CallExpr); ok {
			switch calledName(call) {
			case "Say", "SayWith", "SayCount":
				said = true
				return
			}
		}
		if !g.isSign(e) {
			beside = true
		}
	}
	look(sum)
	if said && beside {
		g.fault(sum, "glued to what was said: "+g.text(sum))
	}
}

var saidByLoader = regexp.MustCompile(`say\("([^"]+)"`)

// loader gathers what the page's loader says before the program runs.
func (g *gathering) loader() error {
	files, err := filepath.Glob(filepath.Join(g.source.root, "web/assets/loader/*.js"))
	if err != nil {
		return err
	}
	for _, file := range files {
		source, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		for _, m := range saidByLoader.FindAllStringSubmatch(string(source), -1) {
			k := g.keys[m[1]]
			if k == nil {
				k = &Key{Text: m[1]}
				g.keys[m[1]] = k
			}
			k.Where = append(k.Where, "web/assets/loader/"+filepath.Base(file))
		}
	}
	return nil
}
