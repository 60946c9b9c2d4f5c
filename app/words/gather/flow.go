package gather

import (
	"go/ast"
	"go/types"
)

// result is one result of a function, as a place texts flow into.
type result struct {
	function any // *types.Func or *ast.FuncLit
	index    int
}

// tuple is one result of a call that gives several.
type tuple struct {
	call  *ast.CallExpr
	index int
}

// flows notes for every place that can hold a text (a variable, a parameter, a
// struct field, a function's result) the expressions that are put there. A
// container and what it holds count as one place.
type flows struct {
	*source
	into     map[any][]any // values: ast.Expr or tuple
	literals map[types.Object][]*ast.FuncLit
}

func (s *source) flows() *flows {
	f := &flows{source: s, into: map[any][]any{}, literals: map[types.Object][]*ast.FuncLit{}}
	for _, file := range s.files {
		f.literalsOf(file)
	}
	for _, file := range s.files {
		for _, d := range file.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok {
				if fn.Body != nil {
					f.body(s.info.Defs[fn.Name], fn.Type, fn.Body)
				}
				continue
			}
			f.body(nil, nil, d)
		}
	}
	return f
}

// literalsOf finds the variables that hold one function written in place.
func (f *flows) literalsOf(file *ast.File) {
	ast.Inspect(file, func(n ast.Node) bool {
		if a, ok := n.(*ast.AssignStmt); ok && len(a.Lhs) == len(a.Rhs) {
			for i := range a.Lhs {
				if lit, ok := a.Rhs[i].(*ast.FuncLit); ok {
					if id, ok := a.Lhs[i].(*ast.Ident); ok {
						f.literals[f.object(id)] = append(f.literals[f.object(id)], lit)
					}
				}
			}
		}
		return true
	})
}

func (f *flows) object(id *ast.Ident) types.Object {
	if o := f.info.Defs[id]; o != nil {
		return o
	}
	return f.info.Uses[id]
}

// place is what an expression on the left of an assignment, or one that is
// read, stands for; nil when it has no name.
func (f *flows) place(e ast.Expr) any {
	switch e := e.(type) {
	case *ast.Ident:
		return origin(f.object(e))
	case *ast.SelectorExpr:
		return origin(f.info.Uses[e.Sel])
	case *ast.IndexExpr:
		return f.place(e.X)
	case *ast.SliceExpr:
		return f.place(e.X)
	case *ast.ParenExpr:
		return f.place(e.X)
	case *ast.StarExpr:
		return f.place(e.X)
	case *ast.UnaryExpr:
		return f.place(e.X)
	}
	return nil
}

func origin(o types.Object) any {
	switch o := o.(type) {
	case *types.Var:
		return o.Origin()
	case *types.Func:
		return o.Origin()
	case nil:
		return nil
	}
	return o
}

func (f *flows) record(place any, value any) {
	if place != nil {
		f.into[place] = append(f.into[place], value)
	}
}

// body notes the flows in one function.
func (f *flows) body(function any, signature *ast.FuncType, body ast.Node) {
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			f.body(n, n.Type, n.Body)
			return false
		case *ast.AssignStmt:
			f.assign(n.Lhs, n.Rhs)
		case *ast.ValueSpec:
			left := make([]ast.Expr, len(n.Names))
			for i, name := range n.Names {
				left[i] = name
			}
			f.assign(left, n.Values)
		case *ast.RangeStmt:
			if n.Value != nil {
				f.record(f.place(n.Value), n.X)
			}
		case *ast.ReturnStmt:
			for i, v := range n.Results {
				f.record(result{originOf(function), i}, v)
			}
			if len(n.Results) == 0 && signature != nil && signature.Results != nil {
				i := 0
				for _, group := range signature.Results.List {
					for _, name := range group.Names {
						f.record(result{originOf(function), i}, ast.Expr(name))
						i++
					}
				}
			}
		case *ast.CompositeLit:
			f.literal(n)
		case *ast.CallExpr:
			f.call(n)
		}
		return true
	})
}

func originOf(function any) any {
	if fn, ok := function.(*types.Func); ok {
		return fn.Origin()
	}
	return function
}

func (f *flows) assign(left, right []ast.Expr) {
	for i := range left {
		switch {
		case len(left) == len(right):
			f.record(f.place(left[i]), right[i])
		case len(right) == 1:
			if call, ok := ast.Unparen(right[0]).(*ast.CallExpr); ok {
				f.record(f.place(left[i]), tuple{call, i})
			} else if i == 0 { // v, ok := m[k]
				f.record(f.place(left[i]), right[0])
			}
		}
	}
}

// literal notes what is put into the fields of a struct.
func (f *flows) literal(n *ast.CompositeLit) {
	t := f.info.Types[n].Type
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	s, ok := t.Underlying().(*types.Struct)
	if !ok {
		return
	}
	for i, e := range n.Elts {
		if pair, ok := e.(*ast.KeyValueExpr); ok {
			if key, ok := pair.Key.(*ast.Ident); ok {
				f.record(origin(f.info.Uses[key]), pair.Value)
			}
		} else if i < s.NumFields() {
			f.record(s.Field(i).Origin(), e)
		}
	}
}

// call notes what is given to parameters.
func (f *flows) call(n *ast.CallExpr) {
	if _, ok := f.info.Types[n.Fun].Type.(*types.Signature); !ok {
		return
	}
	if literals := f.literalsCalled(n); len(literals) > 0 {
		for _, lit := range literals {
			f.recordArguments(n, f.info.Types[lit].Type.(*types.Signature))
		}
	} else if fn := f.called(n); fn != nil {
		f.recordArguments(n, fn.Type().(*types.Signature))
	}
}

// recordArguments notes the arguments of a call at the parameters.
func (f *flows) recordArguments(n *ast.CallExpr, signature *types.Signature) {
	for i, a := range n.Args {
		p := i
		if p >= signature.Params().Len() {
			p = signature.Params().Len() - 1
		}
		if p >= 0 {
			f.record(signature.Params().At(p), a)
		}
	}
}

// called is the function of the module that is called by name.
func (f *flows) called(n *ast.CallExpr) *types.Func {
	e := ast.Unparen(n.Fun)
	if x, ok := e.(*ast.IndexExpr); ok {
		e = x.X
	}
	fn, _ := f.place(e).(*types.Func)
	return fn
}

// literalsCalled are the functions written in place that a call may mean.
func (f *flows) literalsCalled(n *ast.CallExpr) []*ast.FuncLit {
	switch e := ast.Unparen(n.Fun).(type) {
	case *ast.FuncLit:
		return []*ast.FuncLit{e}
	case *ast.Ident:
		return f.literals[f.object(e)]
	}
	return nil
}
