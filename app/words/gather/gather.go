// Package gather finds every text that reaches a user: it follows what is given
// to Say, SayCount and their like back to the literals in the source, through
// parameters, struct fields, tables and results.
package gather

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
)

// Key is one text of the catalogue.
type Key struct {
	Text    string   // the English words
	Counted bool     // said of more things than one: {0} is how many
	Where   []string // file:line of the literal
	Way     []string // from the literal to where it is said
}

// Report is what was found.
type Report struct {
	Keys []Key // by Text
	// Faults are texts that cannot be translated as they stand: put together
	// from pieces, or of unknown origin.
	Faults []string
}

// Programs are the packages whose texts users see.
var Programs = []string{"./app", "./app/office", "./app/passing", "./app/quoting", "./app/shoprules", "./app/papers/press", "./web"}

// notWords are fields that hold what a person typed, a path, a code or a datum
// of a published source: they are shown as they stand.
var notWords = [][3]string{
	{"engine/survey", "Field", "Path"}, {"engine/survey", "Option", "Value"},
	{"engine/survey", "Site", "Name"}, {"engine/survey", "Site", "Address"},
	{"engine/survey", "Site", "Notes"}, {"engine/survey", "Site", "MeasuredBy"},
	{"engine/practice", "Rule", "Key"}, {"engine/plan", "Check", "Code"}, {"engine/plan", "Check", "Field"},
	{"engine/input", "FieldError", "Name"}, {"engine/input", "FieldError", "Path"},
	{"engine/steel", "Section", "Name"}, {"engine/plan", "PostBending", "Section"},
	{"engine/refusal", "Arg", "Typed"}, {"engine/refusal", "Arg", "Unit"},
}

// gathering goes from place to place until no new one is met.
type gathering struct {
	*flows
	keys   map[string]*Key
	faults map[string]bool
	seen   map[any]bool
	todo   []any
	from   map[any]any // the place for whose sake another one was looked at
	now    any
}

// Gather reads the module at root.
func Gather(root string) (*Report, error) {
	root, err := filepath.Abs(root)
	if err != nil {
		return nil, err
	}
	s, err := load(root, Programs...)
	if err != nil {
		return nil, err
	}
	g := &gathering{flows: s.flows(), keys: map[string]*Key{}, faults: map[string]bool{}, seen: map[any]bool{},
		from: map[any]any{}}
	for _, f := range notWords {
		g.seen[g.field(f[0], f[1], f[2])] = true
	}
	for _, file := range s.files {
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				g.root(call)
			}
			return true
		})
	}
	g.enqueue(g.field("engine/text", "Text", "Format"))
	g.demos()
	g.screens()
	for len(g.todo) > 0 {
		place := g.todo[len(g.todo)-1]
		g.todo = g.todo[:len(g.todo)-1]
		g.now = place
		g.resolvePlace(place)
	}
	r := &Report{Faults: slices.Sorted(maps.Keys(g.faults))}
	if err := g.loader(); err != nil {
		return nil, err
	}
	for _, text := range slices.Sorted(maps.Keys(g.keys)) {
		k := g.keys[text]
		slices.Sort(k.Where)
		k.Where = slices.Compact(k.Where)
		r.Keys = append(r.Keys, *k)
	}
	return r, nil
}

// demos gathers the names and addresses of the demo sites, which are kept in the
// language of the first start.
func (g *gathering) demos() {
	for _, field := range [...][2]string{{"Site", "Name"}, {"Site", "Address"}, {"Site", "Notes"}, {"Site", "MeasuredBy"},
		{"Obstruction", "Name"}, {"BookRow", "Station"}, {"StringDrop", "Name"},
		{"NetworkPeg", "Thing"}} {
		for _, v := range g.into[g.field("engine/survey", field[0], field[1])] {
			if e, ok := v.(ast.Expr); ok && strings.HasPrefix(g.at(e.Pos()), filepath.Join("storage", "demo")) {
				g.resolve(e)
			}
		}
	}
}

// field is a field of a struct of the module.
func (g *gathering) field(pkg, name, field string) any {
	room := g.packages[module+"/"+pkg]
	if room == nil || room.Scope().Lookup(name) == nil {
		panic("gather: no type " + pkg + "." + name)
	}
	s := room.Scope().Lookup(name).Type().Underlying().(*types.Struct)
	for i := range s.NumFields() {
		if s.Field(i).Name() == field {
			return s.Field(i)
		}
	}
	panic("gather: no field " + field)
}

// root follows the arguments of Say, SayCount and their like.
func (g *gathering) root(call *ast.CallExpr) {
	name := calledName(call)
	switch {
	case g.refuses(call):
		for _, a := range call.Args {
			g.resolve(a) // of another value than a text nothing comes
		}
	case (name == "say" || name == "Say" || name == "fill" || name == "Fill" || name == "SayWith") && len(call.Args) > 0:
		g.resolve(call.Args[0]) // of another fill, which takes no text, nothing comes
	case name == "Named" || name == "Numbered":
		for _, a := range call.Args {
			g.resolve(a)
		}
	case name == "In" && len(call.Args) == 1:
		if of, ok := call.Fun.(*ast.SelectorExpr); ok {
			g.resolve(of.X) // a name; of a sentence nothing comes
		}
	case (name == "SayCount" || name == "Counted") && len(call.Args) >= 3:
		one, many := g.info.Types[call.Args[1]].Value, g.info.Types[call.Args[2]].Value
		if one == nil || many == nil { // from a table
			g.resolve(call.Args[1])
			g.resolve(call.Args[2])
			return
		}
		g.key(constant.StringVal(one), call)
		g.key(constant.StringVal(many), call).Counted = true
	}
}

// refuses tells a call of the package of refusals that takes texts: a message's
// format, names, an error that says always the same.
func (g *gathering) refuses(call *ast.CallExpr) bool {
	var name *ast.Ident
	switch f := call.Fun.(type) {
	case *ast.Ident:
		name = f
	case *ast.SelectorExpr:
		name = f.Sel
	default:
		return false
	}
	o := g.info.Uses[name]
	if o == nil || o.Pkg() == nil || o.Pkg().Path() != module+"/engine/refusal" {
		return false
	}
	switch name.Name {
	case "Say", "Name", "Names", "Error":
		return true
	}
	return false
}

func calledName(call *ast.CallExpr) string {
	switch f := call.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

func (g *gathering) key(text string, n ast.Node) *Key {
	return g.keyAt(text, n.Pos())
}

func (g *gathering) keyAt(text string, pos token.Pos) *Key {
	k := g.keys[text]
	if k == nil {
		k = &Key{Text: text}
		if len(text) > 1 && strings.IndexFunc(text, unicode.IsLetter) >= 0 { // nothing to translate otherwise
			g.keys[text] = k
		}
	}
	k.Where = append(k.Where, g.at(pos))
	if k.Way == nil {
		for p := g.now; p != nil; p = g.from[p] {
			switch p := p.(type) {
			case types.Object:
				k.Way = append(k.Way, g.at(p.Pos())+" "+p.Name())
			case result:
				if f, ok := p.function.(*types.Func); ok {
					k.Way = append(k.Way, "result of "+f.Name())
				}
			}
		}
	}
	return k
}

// asItIs are texts of unknown origin that stay as they are, and why.
var asItIs = map[string]string{
	`f text s `:                                      "what a person typed",
	`f entryText s f entry `:                         "what a person typed",
	`strings Split line "\t" `:                       "what a published source says, in its own language",
	`slices Sorted maps Keys p Spots `:               "names of places, said elsewhere",
	`strings ReplaceAll s "{" strconv Itoa k "}" p `: "in the other language already",
	`practice PracticePath key `:                     "a path, of which the name is said",
	`strings Join field "." `:                        "a path, of which the name is said",
	`e Get "target" Get "value" String `:             "what a person typed",
	`fault String `:                                  "said by the program for documents, from its own source",
	`format m `:                                      "in the other language already",
	`strings CutPrefix string n typedSign `:          "what a person typed",
	`err Error `:                                     "what another program said",
	`strings NewReplacer holes Replace text `:        "in the other language already",
	`form t `:                  "in the other language already",
	`b String `:                "in the other language already",
	`strings Join names ", " `: "said before they are joined",
}

func (g *gathering) fault(n ast.Node, what string) {
	if _, text, ok := strings.Cut(what, ": "); ok && asItIs[text] != "" {
		return
	}
	g.faults[g.at(n.Pos())+": "+what] = true
}

func (g *gathering) enqueue(place any) {
	if place == nil || g.seen[place] {
		return
	}
	g.seen[place] = true
	g.from[place] = g.now
	g.todo = append(g.todo, place)
}

func (g *gathering) resolvePlace(place any) {
	for _, v := range g.into[place] {
		switch v := v.(type) {
		case tuple:
			g.resolveCall(v.call, v.index)
		case ast.Expr:
			g.resolve(v)
		}
	}
}

// holdsText tells a string and what is made of strings.
func holdsText(t types.Type) bool {
	switch t := t.Underlying().(type) {
	case *types.Basic:
		return t.Info()&types.IsString != 0
	case *types.Slice:
		return holdsText(t.Elem())
	case *types.Array:
		return holdsText(t.Elem())
	case *types.Map:
		return holdsText(t.Elem())
	case *types.Pointer:
		return holdsText(t.Elem())
	case *types.Tuple:
		return true
	}
	return false
}

// resolve follows an expression whose value is, or holds, texts.
func (g *gathering) resolve(e ast.Expr) {
	e = ast.Unparen(e)
	tv := g.info.Types[e]
	if tv.Type != nil && !holdsText(tv.Type) {
		return
	}
	if tv.Value != nil && tv.Value.Kind() == constant.String {
		if text := constant.StringVal(tv.Value); text != "" {
			g.key(text, e)
		}
		return
	}
	switch e := e.(type) {
	case *ast.Ident, *ast.SelectorExpr:
		g.enqueue(g.place(e))
	case *ast.IndexExpr:
		g.resolve(e.X)
	case *ast.SliceExpr:
		g.resolve(e.X)
	case *ast.StarExpr:
		g.resolve(e.X)
	case *ast.UnaryExpr:
		g.resolve(e.X)
	case *ast.CompositeLit:
		for _, v := range e.Elts {
			if pair, ok := v.(*ast.KeyValueExpr); ok {
				v = pair.Value
			}
			g.resolve(v)
		}
	case *ast.CallExpr:
		g.resolveCall(e, 0)
	case *ast.BinaryExpr:
		if e.Op == token.ADD {
			if e, ok := g.marked(e); ok {
				g.resolve(e) // "~" and a number
				return
			}
			g.fault(e, "put together from pieces: "+g.text(e))
		}
	}
}

// marked is the text of a sum with one sign that has no letters.
func (g *gathering) marked(e *ast.BinaryExpr) (ast.Expr, bool) {
	if g.isSign(e.X) {
		return e.Y, true
	}
	return e.X, g.isSign(e.Y)
}

func (g *gathering) isSign(e ast.Expr) bool {
	v := g.info.Types[e].Value
	return v != nil && v.Kind() == constant.String && strings.IndexFunc(constant.StringVal(v), unicode.IsLetter) < 0
}

func (g *gathering) text(e ast.Node) string {
	var b strings.Builder
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BasicLit:
			b.WriteString(n.Value + " ")
		case *ast.Ident:
			b.WriteString(n.Name + " ")
		}
		return true
	})
	return b.String()
}

// resolveCall follows one result of a call.
func (g *gathering) resolveCall(call *ast.CallExpr, index int) {
	if tv := g.info.Types[call.Fun]; tv.IsType() {
		g.resolveConversion(call)
		return
	}
	if id, ok := call.Fun.(*ast.Ident); ok {
		switch g.info.Uses[id] {
		case types.Universe.Lookup("append"):
			for _, a := range call.Args {
				g.resolve(a)
			}
			return
		case types.Universe.Lookup("make"):
			return
		}
	}
	switch name := calledName(call); name {
	case "say", "Say", "SayCount", "SayWith", "Sentences", "moreNames":
		return // followed from there
	case "TypedName", "TypedNames":
		return // what a person typed
	case "fill", "Fill", "fillHoles", "Named", "Numbered":
		for _, a := range call.Args {
			g.resolve(a)
		}
		return
	}
	if literals := g.literalsCalled(call); len(literals) > 0 {
		for _, lit := range literals {
			g.enqueue(result{lit, index})
		}
		return
	}
	fn := g.called(call)
	if fn == nil {
		g.fault(call, "of unknown origin: "+g.text(call))
		return
	}
	if fn.Pkg() == nil || g.packages[fn.Pkg().Path()] == nil {
		switch fn.FullName() {
		case "strings.TrimSpace", "strings.TrimPrefix", "strings.TrimSuffix", "slices.Concat", "cmp.Or":
			for _, a := range call.Args {
				g.resolve(a)
			}
			return
		case "strconv.Itoa", "strconv.FormatFloat", "strconv.FormatInt":
			return // a number
		}
		g.fault(call, "of unknown origin: "+g.text(call))
		return
	}
	g.enqueue(result{fn, index})
}

// resolveConversion follows string(x): of a type of its own, all its constants
// are texts.
func (g *gathering) resolveConversion(call *ast.CallExpr) {
	named, ok := g.info.Types[call.Args[0]].Type.(*types.Named)
	if !ok || named.Obj().Pkg() == nil || named.Obj().Name() == "Name" || g.packages[named.Obj().Pkg().Path()] == nil {
		g.resolve(call.Args[0])
		return
	}
	scope := named.Obj().Pkg().Scope()
	for _, name := range scope.Names() {
		if c, ok := scope.Lookup(name).(*types.Const); ok && types.Identical(c.Type(), named) {
			if text := constant.StringVal(c.Val()); text != "" {
				g.keyAt(text, c.Pos())
			}
		}
	}
}

// Key is the key with its English words; false when there is none.
func (r *Report) Key(text string) (*Key, bool) {
	i, ok := slices.BinarySearchFunc(r.Keys, text, func(k Key, t string) int { return strings.Compare(k.Text, t) })
	if !ok {
		return nil, false
	}
	return &r.Keys[i], true
}

// String lists what is to be mended.
func (r *Report) String() string {
	return fmt.Sprintf("%d texts, %d faults", len(r.Keys), len(r.Faults))
}
