package survey_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// declaring are the files in which paths and keys stand as they are written.
var declaring = regexp.MustCompile(`/(fieldtable\w*|rules\w*|practice)\.go$`)

// Fields and rules are named by their declared constants, so that a slip of the
// pen does not compile. A literal that is the code of a check, the identity of a
// figure or the name of a question too may stand.
func TestFieldsAndRulesAreNamedByHandles(t *testing.T) {
	literals, others := map[token.Position]string{}, map[string]bool{"leaf.height": true} // of the leaf's drawing
	for _, root := range []string{"../../engine", "../../app", "../../storage", "../../web"} {
		require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") ||
				declaring.MatchString("/"+path) {
				return err
			}
			files := token.NewFileSet()
			tree, err := parser.ParseFile(files, path, nil, 0)
			if err != nil {
				return err
			}
			ast.Inspect(tree, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.ImportSpec:
					return false
				case *ast.KeyValueExpr:
					key, isName := n.Key.(*ast.Ident)
					value, isLiteral := n.Value.(*ast.BasicLit)
					if isName && isLiteral && (key.Name == "ID" || key.Name == "Code") {
						others[unquoted(value)] = true
						return false
					}
				case *ast.ValueSpec:
					if name := n.Names[0].Name; strings.HasPrefix(name, "Figure") || strings.HasPrefix(name, "Question") {
						for _, v := range n.Values {
							if value, ok := v.(*ast.BasicLit); ok {
								others[unquoted(value)] = true
							}
						}
					}
				case *ast.BasicLit:
					literals[files.Position(n.Pos())] = unquoted(n)
				}
				return true
			})
			return nil
		}))
	}
	for at, literal := range literals {
		key, ofPractice := strings.CutPrefix(literal, practice.PracticePath)
		_, rule := practice.RuleByKey(key)
		_, field := survey.FieldAt(literal)
		named := field && !others[literal] || rule && (ofPractice || !others[literal]) || literal == practice.PracticePath
		assert.False(t, named, "%s: %q has a declared name", at, literal)
	}
}

func unquoted(l *ast.BasicLit) string {
	s, err := strconv.Unquote(l.Value)
	if err != nil {
		return ""
	}
	return s
}
