package survey

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/practice"
)

// What code names must be declared; a slip of the pen is no measurement of 0.
func TestUndeclaredHandlesPanic(t *testing.T) {
	s, p := Survey{}, practice.DefaultPractice()
	r := NewReader(&s, &p)
	for _, path := range []Path{"", "opening", "opening.widht", "Opening.Width", "opening.width.sigma",
		"practice.strip.width", "strip.width",
		"runBack.obstructions", "runBack.obstructions.*.along", ObstructionAlong.At(MaxObstructions),
		ObstructionAlong.At(-1)} {
		assert.Panics(t, func() { FieldOf(path) }, path)
		assert.Panics(t, func() { r.Number(path) }, path)
		assert.Panics(t, func() { r.Choice(path) }, path)
		assert.Panics(t, func() { r.Words(path) }, path)
		assert.Panics(t, func() { r.Reading(path) }, path)
	}
	assert.Panics(t, func() { ColumnOf("ground.levels.book.*.level") })
	assert.Panics(t, func() { ColumnOf("ground.levels.book.0.back") })
	for _, key := range []string{"", "strip", "strip.widht", "practice.strip.width", OpeningWidth} {
		assert.Panics(t, func() { practice.RuleOf(key) }, key)
	}
	assert.Empty(t, r.Assumed())
	assert.Empty(t, r.Refused())
}

// What a document names may be anything; nothing of it panics.
func TestUnknownPathsOfDocuments(t *testing.T) {
	p := practice.DefaultPractice()
	for _, path := range []string{"", ".", "opening", "opening.widht", "opening.width.", "practice.strip.widht",
		"runBack.obstructions", "runBack.obstructions.",
		"runBack.obstructions..along", "runBack.obstructions.*.along", "runBack.obstructions.50.along",
		"runBack.obstructions.-1.along",
		"runBack.obstructions.0", "runBack.obstructions.0.", "runBack.obstructions.0.along.x",
		"runBack.obstructionsx.0.along",
		"drive.latchEdge.points.20.along", "ground.levels.book.100.back", "network.pegs.22.name",
		"network.tapes.9999999999999999999.length"} {
		_, ok := FieldAt(path)
		assert.False(t, ok, path)
	}
	_, ok := practice.RuleByKey("strip.widht")
	assert.False(t, ok)
	_, err := p.With(map[string]float64{"strip.widht": 1})
	require.Error(t, err)
}

// An entry is found under any spelling of its number and named by the plain one.
func TestEntryPathsArePlain(t *testing.T) {
	for path, want := range map[string]string{
		"runBack.obstructions.07.along":  "runBack.obstructions.7.along",
		"ground.levels.book.+3.back":     "ground.levels.book.3.back",
		"network.tapes.119.warmth":       "network.tapes.119.warmth",
		"drive.latchEdge.points.0.along": "drive.latchEdge.points.0.along",
	} {
		f, ok := FieldAt(path)
		assert.True(t, ok, path)
		assert.Equal(t, want, f.Path)
	}
}

// Every field and rule of a table has a declared name, and every declared name
// its row.
func TestDeclaredHandles(t *testing.T) {
	s := Survey{RunBack: RunBack{Obstructions: make([]Obstruction, 1)},
		Network: Network{Pegs: make([]NetworkPeg, 1), Tapes: make([]NetworkTape, 1)}}
	s.Build.Pegs = SetPegs{Pegs: make([]SetPeg, 1), Tapes: make([]SetTape, 1)}
	s.Drive.RunBackEdge.Points, s.Drive.LatchEdge.Points = make([]EdgePoint, 1), make([]EdgePoint, 1)
	s.Ground.Levels.Book, s.Ground.Levels.Drops = make([]BookRow, 1), make([]StringDrop, 1)
	s.Build.Casting = Casting{Tops: make([]FormTop, 1), Depths: make([]DugDepth, 1), Pour: Pour{Hours: make([]CuredAt, 1)}}
	s.Build.Poured.Levels = make([]PouredLevel, 1)
	s.Build.HandOver = HandOver{Forces: make([]EdgeForce, 1), Parts: make([]BuiltIn, 1), Services: make([]Service, 1)}
	s.Quote.Agreed = make([]Agreement, 1)
	rows := map[string]bool{}
	for _, f := range Fields(&s) {
		assert.False(t, rows[f.Path], "%s stands twice", f.Path)
		rows[f.Path] = true
	}
	for i := range lists {
		rows[lists[i].path] = true
	}
	rows[DriveRunBackEdge], rows[DriveLatchEdge] = true, true
	for path, name := range declaredConstants(t, "fieldtable*.go", "") {
		assert.True(t, rows[strings.Replace(path, "*", "0", 1)], "%s is declared and stands in no table", name)
		delete(rows, strings.Replace(path, "*", "0", 1))
	}
	for _, path := range asksOtherSide { // made of rows that have names
		assert.True(t, rows[otherSide+path], path)
		delete(rows, otherSide+path)
	}
	assert.Empty(t, rows, "without a declared name")

	keys := map[string]bool{}
	for _, r := range practice.Rules() {
		assert.False(t, keys[r.Key], "%s stands twice", r.Key)
		keys[r.Key] = true
	}
	for key, name := range declaredConstants(t, "../practice/rules*.go", "Rule") {
		assert.True(t, keys[key], "%s is declared and stands in no table", name)
		delete(keys, key)
	}
	assert.Empty(t, keys, "without a declared name")
}

// declaredConstants are the exported constants of files that are paths or keys, by
// what they stand for.
func declaredConstants(t *testing.T, files, prefix string) map[string]string {
	names, err := filepath.Glob(files)
	require.NoError(t, err)
	found := map[string]string{}
	byName := map[string]string{}
	var value func(ast.Expr) string
	value = func(e ast.Expr) string {
		switch e := e.(type) {
		case *ast.BasicLit:
			s, err := strconv.Unquote(e.Value)
			if err == nil {
				return s
			}
		case *ast.Ident:
			return byName[e.Name]
		case *ast.BinaryExpr:
			return value(e.X) + value(e.Y)
		}
		return ""
	}
	for _, name := range names {
		tree, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		for _, d := range tree.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.CONST {
				continue
			}
			for _, spec := range g.Specs {
				v := spec.(*ast.ValueSpec)
				at := value(v.Values[0])
				byName[v.Names[0].Name] = at
				if v.Names[0].IsExported() && strings.HasPrefix(v.Names[0].Name, prefix) && strings.Contains(at, ".") {
					found[at] = v.Names[0].Name
				}
			}
		}
	}
	return found
}
