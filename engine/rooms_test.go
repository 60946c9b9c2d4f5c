package engine_test

import (
	"bytes"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// floors are the rooms from the ground up. What ends in "/..." stands for all
// below it too. Imports point down, or stay on their floor.
var floors = [][]string{
	{"engine/refusal", "engine/words", "engine/units", "engine/elementary", "engine/sorting", "engine/spoken"},
	{"engine/geom", "engine/levels", "engine/tape", "engine/photo", "engine/steel", "engine/anchor",
		"engine/soil", "engine/slab", "engine/wind", "engine/motion", "engine/concrete"}, // maths: knows no gates
	{"engine/draw/..."},
	{"engine/text"},
	{"engine/input"},
	{"engine/practice"},
	{"engine/survey"},
	{"engine/enginetest"},
	{"engine/plan"},
	{"engine/ground", "engine/network", "engine/pegs"},
	{"engine/stages"},
	{"engine"},
	{"engine/enginetest/designs"},
	{"engine/advice"},
	{"engine/casting"},
	{"engine/learned"},
	{"engine/drawing"},
	{"engine/handover"},
	{"engine/progress"},
	{"engine/quote"},
	{"engine/tables"},
	{"engine/sheets"},
	{"engine/reference/..."}, // judge the rooms below
	{"storage/..."},
	{"app/..."},
	{"web/..."},
}

// floorOf is the floor of a room, below 0 when it stands on none.
func floorOf(room string) int {
	return slices.IndexFunc(floors, func(rooms []string) bool {
		return slices.ContainsFunc(rooms, func(name string) bool {
			below, whole := strings.CutSuffix(name, "/...")
			return room == name || whole && (room == below || strings.HasPrefix(room, below+"/"))
		})
	})
}

// roomsOfModule are the folders with Go files, and what each imports of the
// module outside its tests, whatever it is built for.
func roomsOfModule(t *testing.T) map[string][]string {
	t.Helper()
	rooms := map[string][]string{}
	for _, root := range []string{"engine", "storage", "app", "web"} {
		require.NoError(t, filepath.WalkDir(filepath.Join("..", root), func(file string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() {
				if name := d.Name(); name == "testdata" || name == "node_modules" || name[0] == '_' {
					return filepath.SkipDir
				}
				return nil
			}
			if !strings.HasSuffix(file, ".go") {
				return nil
			}
			room := strings.TrimPrefix(path.Dir(filepath.ToSlash(file)), "../")
			imports := rooms[room]
			if !strings.HasSuffix(file, "_test.go") {
				tree, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
				if err != nil {
					return err
				}
				for _, spec := range tree.Imports {
					name, err := strconv.Unquote(spec.Path.Value)
					if err != nil {
						return err
					}
					if of, own := strings.CutPrefix(name, "pegpour/"); own {
						imports = append(imports, of)
					}
				}
			}
			rooms[room] = imports
			return nil
		}))
	}
	require.Greater(t, len(rooms), 50)
	return rooms
}

func TestImportsPointDown(t *testing.T) {
	for room, imports := range roomsOfModule(t) {
		floor := floorOf(room)
		assert.GreaterOrEqual(t, floor, 0, "%s stands on no floor", room)
		for _, of := range imports {
			assert.LessOrEqual(t, floorOf(of), floor, "%s imports %s, which stands above it", room, of)
		}
	}
}

// The map in DEVELOPERS.md has every room and no other folder than there is: one
// line a folder, two spaces further in for each folder it stands in.
func TestMapIsTheRooms(t *testing.T) {
	guide, err := os.ReadFile("../DEVELOPERS.md")
	require.NoError(t, err)
	_, section, found := strings.Cut(string(guide), "\n## Map\n")
	require.True(t, found)
	_, block, found := strings.Cut(section, "\n```\n")
	require.True(t, found, "no fenced block")
	block, _, found = strings.Cut(block, "\n```\n")
	require.True(t, found, "the fenced block has no end")

	mapped := map[string]bool{}
	var within []string
	for line := range strings.Lines(block) {
		entry := strings.TrimLeft(line, " ")
		in := (len(line) - len(entry)) / 2
		name, words, found := strings.Cut(strings.TrimSpace(entry), "/ ")
		require.True(t, found && strings.TrimSpace(words) != "", "no folder and words: %q", line)
		require.LessOrEqual(t, in, len(within), "too far in: %q", line)
		within = append(within[:in], name)
		folder := strings.Join(within, "/")
		assert.False(t, mapped[folder], "%s stands twice", folder)
		mapped[folder] = true
		at, err := os.Stat(filepath.Join("..", folder))
		assert.True(t, err == nil && at.IsDir(), "no folder %s", folder)
	}
	for room := range roomsOfModule(t) {
		assert.True(t, mapped[room], "%s is not on the map", room)
	}
}

// The server and the databases are in no program for a browser.
func TestBrowserKnowsNoServer(t *testing.T) {
	list := func(format string, of ...string) []string {
		command := exec.Command("go", append([]string{"list", "-buildvcs=false", "-f", format}, of...)...)
		command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
		var refused bytes.Buffer
		command.Stderr = &refused
		out, err := command.Output()
		require.NoError(t, err, refused.String())
		return strings.Fields(string(out))
	}
	programs := list(`{{if eq .Name "main"}}{{.ImportPath}}{{end}}`, "pegpour/app/browser", "pegpour/app/office/desk", "pegpour/app/papers")
	require.Len(t, programs, 3)
	for _, of := range list("{{.ImportPath}}", append([]string{"-deps"}, programs...)...) {
		assert.NotEqual(t, "database/sql", of)
		for _, kept := range []string{"pegpour/web", "pegpour/storage/yard", "modernc.org/sqlite", "github.com/jackc/pgx"} {
			assert.False(t, of == kept || strings.HasPrefix(of, kept+"/"), "%s is in a program for a browser", of)
		}
	}
}
