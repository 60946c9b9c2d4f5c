package gather

import (
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

const module = "pegpour"

// source is the module's own packages, parsed and typed together, so that one
// struct field or parameter is one object wherever it is used.
type source struct {
	set      *token.FileSet
	files    []*ast.File
	info     *types.Info
	packages map[string]*types.Package
	root     string
}

type listed struct {
	ImportPath, Dir, Export string
	GoFiles, Imports        []string
	Standard                bool
}

// load reads the packages named and everything of the module below them.
// Other packages are taken as the compiler left them.
func load(root string, patterns ...string) (*source, error) {
	command := exec.Command("go",
		append([]string{"list", "-buildvcs=false", "-deps", "-export",
			"-json=ImportPath,Dir,Export,GoFiles,Imports,Standard"}, patterns...)...)
	command.Dir, command.Stderr = root, os.Stderr
	out, err := command.Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w", err)
	}
	s := &source{set: token.NewFileSet(), packages: map[string]*types.Package{}, root: root,
		info: &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{},
			Uses: map[*ast.Ident]types.Object{}, Selections: map[*ast.SelectorExpr]*types.Selection{}}}
	exports := map[string]string{}
	var own []listed
	for decoder := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		if err := decoder.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		exports[p.ImportPath] = p.Export
		if p.ImportPath == module || strings.HasPrefix(p.ImportPath, module+"/") {
			own = append(own, p) // those that others import come first
		}
	}
	foreign := importer.ForCompiler(s.set, "gc",
		func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	resolve := importerFunc(func(path string) (*types.Package, error) {
		if p := s.packages[path]; p != nil {
			return p, nil
		}
		return foreign.Import(path)
	})
	for _, p := range own {
		var files []*ast.File
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(s.set, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution|parser.ParseComments)
			if err != nil {
				return nil, err
			}
			files = append(files, f)
		}
		config := types.Config{Importer: resolve}
		if s.packages[p.ImportPath], err = config.Check(p.ImportPath, s.set, files, s.info); err != nil {
			return nil, err
		}
		s.files = append(s.files, files...)
	}
	return s, nil
}

type importerFunc func(string) (*types.Package, error)

func (f importerFunc) Import(path string) (*types.Package, error) { return f(path) }

// at is a place as file:line below the module's root.
func (s *source) at(pos token.Pos) string {
	p := s.set.Position(pos)
	if name, err := filepath.Rel(s.root, p.Filename); err == nil {
		p.Filename = name
	}
	return fmt.Sprintf("%s:%d", p.Filename, p.Line)
}
