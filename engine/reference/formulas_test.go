package reference

import (
	"fmt"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
	"pegpour/storage/demo"
)

const formulaPage = folder + "FORMULAS.md"

// formulaPackages hold the maths, in the order of the page.
var formulaPackages = []string{"geom", "levels", "tape", "photo", "motion", "steel", "anchor", "wind", "soil", "slab",
	"concrete"}

// engineRooms hold the tests of plans: what is designed, and all that is made
// of it. The maths packages are looked at one by one.
var engineRooms = []string{
	"..", "../survey", "../plan", "../ground", "../network", "../advice", "../drawing", "../tables",
}

// TestFormulas writes down every formula with its source and the tests that
// hold it. A formula without a source of its own, or that no test calls, fails.
func TestFormulas(t *testing.T) {
	var page strings.Builder
	page.WriteString("# Every formula, its source and its check\n\n" +
		"Made by `go test ./engine/reference -update` from the comments of the code, from the figures of the demo sites and from the tests; the test holds it against them. " +
		"The published values that the checks use stand in [TABLE.md](TABLE.md), a whole site worked out by hand in [the example](../example/EXAMPLE.md). " +
		"Units: mm, N, MPa, N·mm, kg, rad unless a line says otherwise. A source marked memory was recalled, not read.\n\n" +
		"## Figures of a plan\n\nEach as one of the demo sites has it. A figure of the trade's own has no published source and says so.\n\n" +
		"| figure | formula, with the numbers of a demo site | source | checked by |\n|---|---|---|---|\n")
	inEngine := callsOfTests(t, engineRooms...)
	for _, f := range everyFigure(t) {
		tests := namesOf(inEngine.strings, stem(f.ID))
		tests = append(tests, namesOf(inEngine.strings, f.ID)...)
		var by []string
		if topics := Topics(f.ID); len(topics) > 0 {
			by = append(by, "published values: "+strings.Join(topics, ", "))
		}
		slices.Sort(tests)
		if tests = slices.Compact(tests); len(tests) > 0 {
			by = append(by, strings.Join(tests, ", "))
		}
		assert.NotEmpty(t, by, "nothing checks %s", f.ID)
		assert.NotEmpty(t, f.Source, f.ID)
		fmt.Fprintf(&page, "| %s (`%s`) | %s = %s | %s | %s |\n", f.Name, stem(f.ID),
			text.PlainArg(text.Arg{Value: f.Value, Dimension: f.Dimension}),
			clean(f.How.String()), clean(f.Source), strings.Join(by, "; "))
	}
	for _, name := range formulaPackages {
		formulasOf(t, &page, name, inEngine)
	}
	if *update {
		require.NoError(t, os.WriteFile(formulaPage, []byte(page.String()), 0o644))
	}
	have, err := os.ReadFile(formulaPage)
	require.NoError(t, err)
	assert.Equal(t, string(have), page.String(), "run go test ./engine/reference -update")
}

var digits = regexp.MustCompile(`\.\d+`)

// stem is a figure's ID without the number of its part.
func stem(id string) string { return digits.ReplaceAllString(id, "") }

// everyFigure returns one figure of each kind that the demo sites have.
func everyFigure(t *testing.T) []plan.Figure {
	t.Helper()
	var all []plan.Figure
	seen := map[string]bool{}
	for _, site := range demo.Sites() {
		plan, err := engine.Design(site.Survey, practice.DefaultPractice())
		require.NoError(t, err)
		for _, f := range plan.Figures {
			if strings.HasPrefix(f.ID, "other.") {
				continue // the other of two leaves has the same formulas
			}
			if !seen[stem(f.ID)] {
				seen[stem(f.ID)] = true
				all = append(all, f)
			}
		}
	}
	require.Greater(t, len(all), 50)
	return all
}

// formulasOf writes the formulas of one maths package: the functions whose
// comment sets one off or names a source.
func formulasOf(t *testing.T, page *strings.Builder, name string, inEngine calls) {
	t.Helper()
	dir := filepath.Join("..", name)
	files := token.NewFileSet()
	var sources []*ast.File
	for _, file := range goFiles(t, dir, false) {
		f, err := parser.ParseFile(files, file, nil, parser.ParseComments)
		require.NoError(t, err)
		sources = append(sources, f)
	}
	pkg, err := doc.NewFromFiles(files, sources, "pegpour/engine/"+name)
	require.NoError(t, err)
	own := callsOfTests(t, dir)
	fmt.Fprintf(page, "\n## %s\n\n| function | what it finds | formula | source | checked by |\n|---|---|---|---|---|\n",
		name)
	functions := slices.Clone(pkg.Funcs)
	for _, kind := range pkg.Types {
		functions = append(functions, kind.Funcs...)
		functions = append(functions, kind.Methods...)
	}
	rows := 0
	for _, f := range functions {
		formula, source := formulaOf(f.Doc), sourceOf(f.Doc)
		if formula == "" && source == "" {
			continue
		}
		rows++
		tests := append(namesOf(own.functions, f.Name), namesOf(inEngine.functions, name+"."+f.Name)...)
		tests = append(tests, namesOf(own.functions, name+"."+f.Name)...)
		if f.Recv != "" {
			tests = append(tests, namesOf(own.methods, f.Name)...)
		}
		slices.Sort(tests)
		tests = slices.Compact(tests)
		assert.NotEmpty(t, tests, "no test calls %s.%s", name, f.Name)
		if source == "" {
			source = "derived; plain geometry or statics"
		}
		if len(tests) > 6 {
			tests = append(tests[:6], "…")
		}
		fmt.Fprintf(page, "| `%s` | %s | %s | %s | %s |\n", f.Name, clean(firstSentence(f.Doc)), formula, clean(source),
			strings.Join(tests, ", "))
	}
	assert.NotZero(t, rows, name)
}

// formulaOf returns the lines that a comment sets off by a tab.
func formulaOf(comment string) string {
	var lines []string
	for line := range strings.Lines(comment) {
		if set, ok := strings.CutPrefix(line, "\t"); ok {
			lines = append(lines, "`"+clean(set)+"`")
		}
	}
	return strings.Join(lines, "<br>")
}

// sourceOf returns the paragraph that names the source.
func sourceOf(comment string) string {
	_, after, found := strings.Cut(comment, "Source:")
	if !found {
		return ""
	}
	after, _, _ = strings.Cut(after, "\n\n")
	return strings.Join(strings.Fields(after), " ")
}

func firstSentence(comment string) string {
	paragraph, _, _ := strings.Cut(comment, "\n\n")
	text := strings.Join(strings.Fields(paragraph), " ")
	if end := strings.Index(text, ". "); end > 0 {
		text = text[:end+1]
	}
	return text
}

// calls tells which tests of folders name a function, and which hold a text.
type calls struct{ functions, methods, strings map[string][]string }

// standard reports whether a selection is from a package of the standard
// library whose names are like ours.
func standard(x ast.Expr) bool {
	of, ok := x.(*ast.Ident)
	return ok && (of.Name == "math" || of.Name == "strconv" || of.Name == "slices" || of.Name == "strings" ||
		of.Name == "errors")
}

func callsOfTests(t *testing.T, folders ...string) calls {
	t.Helper()
	c, names := calls{map[string][]string{}, map[string][]string{}, map[string][]string{}}, declaredNames(t)
	var files []string
	for _, folder := range folders {
		files = append(files, goFiles(t, folder, true)...)
	}
	for _, file := range files {
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		require.NoError(t, err)
		for _, d := range f.Decls {
			test, ok := d.(*ast.FuncDecl)
			if !ok || test.Recv != nil || !strings.HasPrefix(test.Name.Name, "Test") &&
				!strings.HasPrefix(test.Name.Name, "Fuzz") {
				continue
			}
			ast.Inspect(test, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.SelectorExpr:
					// A function of another package, or a method: known by both names.
					if of, ok := n.X.(*ast.Ident); ok {
						c.functions[of.Name+"."+n.Sel.Name] = append(c.functions[of.Name+"."+n.Sel.Name],
							test.Name.Name)
					}
					if name := names[n.Sel.Name]; name != "" {
						c.strings[name] = append(c.strings[name], test.Name.Name)
					}
					if !standard(n.X) {
						c.methods[n.Sel.Name] = append(c.methods[n.Sel.Name], test.Name.Name)
					}
				case *ast.CallExpr:
					if called, ok := n.Fun.(*ast.Ident); ok {
						c.functions[called.Name] = append(c.functions[called.Name], test.Name.Name)
					}
				case *ast.BasicLit:
					if n.Kind == token.STRING {
						text := strings.Trim(n.Value, "\"`")
						c.strings[text] = append(c.strings[text], test.Name.Name)
					}
				}
				return true
			})
		}
	}
	return c
}

// declaredNames are the identities of figures, and the keys of the rules that
// some of them share, by the constants that name them.
func declaredNames(t *testing.T) map[string]string {
	t.Helper()
	rules, err := filepath.Glob("../practice/rules*.go")
	require.NoError(t, err)
	names := map[string]string{}
	for _, file := range append(rules, "../plan/figure_ids.go") {
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		require.NoError(t, err)
		ast.Inspect(f, func(n ast.Node) bool {
			if c, ok := n.(*ast.ValueSpec); ok && len(c.Values) == 1 {
				if name, ok := c.Values[0].(*ast.BasicLit); ok {
					names[c.Names[0].Name] = strings.Trim(name.Value, "\"")
				}
			}
			return true
		})
	}
	require.Greater(t, len(names), 100)
	return names
}

func namesOf(by map[string][]string, key string) []string { return slices.Clone(by[key]) }

// goFiles lists the sources of a folder, or its tests.
func goFiles(t *testing.T, dir string, tests bool) []string {
	t.Helper()
	all, err := filepath.Glob(filepath.Join(dir, "*.go"))
	require.NoError(t, err)
	return slices.DeleteFunc(all, func(name string) bool { return strings.HasSuffix(name, "_test.go") != tests })
}
