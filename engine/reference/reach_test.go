package reference

import (
	"encoding/json"
	"errors"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// mathsRooms hold the formulas; every other room of the engine composes them.
var mathsRooms = []string{
	"anchor", "concrete", "geom", "levels", "motion", "photo", "slab", "soil", "steel", "tape", "wind",
}

// byScreens is the room whose values stand on every screen that takes or shows
// a number: a design is given millimetres and asks for nothing of it.
const byScreens = "units"

// reached are the functions of the maths rooms that a design calls, straight
// from the rooms that compose or through one another, as "steel.Hollow" and
// "steel.Post.Check". The engine's sources are read for it, tests left out.
func reached(t *testing.T) map[string]bool {
	t.Helper()
	type room struct {
		ImportPath, Dir, Export string
		GoFiles                 []string
	}
	cmd := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles", "./...")
	cmd.Dir = ".."
	out, err := cmd.Output()
	require.NoError(t, err)
	exports := map[string]string{}
	var rooms []room
	for in := json.NewDecoder(strings.NewReader(string(out))); ; {
		var r room
		if err := in.Decode(&r); errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		exports[r.ImportPath] = r.Export
		if name, ours := strings.CutPrefix(r.ImportPath, "pegpour/engine"); ours && !strings.HasPrefix(name, "/reference") {
			rooms = append(rooms, r)
		}
	}
	files := token.NewFileSet()
	from := importer.ForCompiler(files, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	calls := map[string][]string{}
	var todo []string
	for _, r := range rooms {
		var sources []*ast.File
		for _, name := range r.GoFiles {
			f, err := parser.ParseFile(files, filepath.Join(r.Dir, name), nil, parser.SkipObjectResolution)
			require.NoError(t, err)
			sources = append(sources, f)
		}
		info := types.Info{Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}}
		_, err := (&types.Config{Importer: from}).Check(r.ImportPath, files, sources, &info)
		require.NoError(t, err)
		composes := !slices.Contains(mathsRooms, path.Base(r.ImportPath))
		for _, f := range sources {
			for _, d := range f.Decls {
				owner := ""
				if fn, ok := d.(*ast.FuncDecl); ok {
					owner = nameOf(info.Defs[fn.Name])
				}
				ast.Inspect(d, func(n ast.Node) bool {
					if id, ok := n.(*ast.Ident); ok {
						if used := nameOf(info.Uses[id]); used != "" && used != owner {
							// What stands in a variable of a package counts as called.
							if composes || owner == "" {
								todo = append(todo, used)
							}
							calls[owner] = append(calls[owner], used)
						}
					}
					return true
				})
			}
		}
	}
	is := map[string]bool{}
	for len(todo) > 0 {
		name := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if !is[name] {
			is[name] = true
			todo = append(todo, calls[name]...)
		}
	}
	return is
}

// nameOf names a function or method of a maths room, "" for anything else.
func nameOf(o types.Object) string {
	f, ok := o.(*types.Func)
	if !ok || f.Pkg() == nil || !strings.HasPrefix(f.Pkg().Path(), "pegpour/engine/") {
		return ""
	}
	room := path.Base(f.Pkg().Path())
	if !slices.Contains(mathsRooms, room) {
		return ""
	}
	if of := f.Signature().Recv(); of != nil {
		kind := of.Type()
		if pointer, ok := kind.(*types.Pointer); ok {
			kind = pointer.Elem()
		}
		if named, ok := kind.(*types.Named); ok {
			return room + "." + named.Obj().Name() + "." + f.Name()
		}
	}
	return room + "." + f.Name()
}

// formulas are the functions that the cases of a topic check, by subject and
// topic. Where a topic has several, each case names its own.
var formulas = map[string]string{
	"anchor/anchor edge":                  "anchor.Group.edge",
	"anchor/anchor group":                 "anchor.Group.Check",
	"anchor/anchor thread":                "anchor.MetricThread",
	"anchor/anchor pull-out":              "anchor.Group.pullOut",
	"concrete/age by temperature":         "concrete.AgeRate",
	"concrete/bag count":                  "concrete.Bags",
	"concrete/bag count imperial":         "concrete.Bags",
	"concrete/bag yield":                  "concrete.BagYield",
	"concrete/circular segment":           "concrete.CircularCrown",
	"concrete/concrete mix":               "concrete.MixByVolume",
	"concrete/laps":                       "concrete.LapRun",
	"concrete/pour":                       "geom.UnionArea",
	"concrete/reinforcement":              "concrete.BarMass",
	"concrete/reinforcement rule":         "concrete.BarMassByRule",
	"concrete/spoil":                      "concrete.Loose",
	"concrete/strength by age":            "concrete.StrengthShare",
	"geom/centroid":                       "geom.Centroid",
	"geom/distance":                       "geom.Distance",
	"geom/polygon area":                   "geom.Polygon.Area",
	"geom/polygon union":                  "geom.Union",
	"levels/level adjustment":             "levels.Close",
	"levels/levelling":                    "levels.Reduce",
	"levels/levelling network":            "levels.AdjustHeights",
	"levels/line fit":                     "levels.FitLine",
	"levels/plane fit":                    "levels.FitPlane",
	"levels/slope":                        "levels.OneIn",
	"motion/stop":                         "motion.Impact.Buffered",
	"motion/motion":                       "motion.Roll.Pull",
	"motion/wheel":                        "motion.WheelResistance",
	"motion/wheels":                       "motion.Wheels",
	"photo/camera":                        "photo.Camera",
	"photo/photo":                         "photo.Homography",
	"slab/beam on elastic foundation":     "slab.Strip.At",
	"slab/beam on elastic foundation end": "slab.Strip.AtFromEnd",
	"slab/least steel":                    "slab.Reinforced.LeastSteel",
	"slab/reinforced section":             "slab.Reinforced.Moment",
	"slab/shear":                          "slab.Reinforced.Shear",
	"slab/wheels on a strip":              "slab.Strip.Worst",
	"soil/bearing capacity":               "soil.Footing.Bearing",
	"soil/block":                          "soil.Block.Stands",
	"soil/earth pressure":                 "soil.Active",
	"soil/embedded post":                  "soil.EmbeddedPost.Nonconstrained",
	"soil/falling ground":                 "soil.FallingGround",
	"soil/layered pressure":               "soil.Layers.Push",
	"soil/least earth pressure":           "soil.LeastActive",
	"soil/passive pressure":               "soil.Passive",
	"soil/posted wall":                    "soil.PostedWall",
	"soil/retaining wall":                 "soil.Wall.Stability",
	"soil/sides of a dig":                 "soil.DigSide.LaidBack",
	"soil/sliding footing":                "soil.Class.HoldsAlong",
	"soil/soil table":                     "soil.ClassOf",
	"soil/tilt":                           "soil.Tilt",
	"soil/wall friction":                  "soil.Face.Active",
	"soil/wall friction passive":          "soil.Face.coefficient",
	"steel/amplifier":                     "steel.Amplifier",
	"steel/anchors":                       "steel.BasePlate.Demand",
	"steel/angle":                         "steel.Angle",
	"steel/beam":                          "steel.Bar.Under",
	"steel/cantilever":                    "steel.Cantilever",
	"steel/continuous beam":               "steel.Bar.Under",
	"steel/girder":                        "steel.Girder.Under",
	"steel/hollow section in full":        "steel.Hollow",
	"steel/kipping":                       "steel.Kipping.Strength",
	"steel/overhang":                      "steel.Overhang.Nose",
	"steel/two carriages":                 "steel.TwoCarriages.Carried",
	"steel/moving load":                   "steel.Bar.Moving",
	"steel/pipe":                          "steel.Pipe",
	"steel/steel section":                 "steel.Hollow",
	"tape/tape corrections":               "tape.Tape.Correct",
	"tape/tape network":                   "tape.Network.Adjust",
	"tape/trilateration":                  "tape.Network.Adjust",
	"wind/exposure":                       "wind.Terrain.Exposure",
	"wind/gust":                           "wind.GustPressure",
	"wind/lattice":                        "wind.LatticeCoefficient",
	"wind/leaf":                           "wind.Leaf.Hold",
	"wind/terrain":                        "wind.TerrainOf",
	"wind/wind":                           "wind.BasicPressure",
	"wind/zones":                          "wind.Zones",
}

// formulaOfCase names the function that a case checks.
func formulaOfCase(t *testing.T, subject string, c published) string {
	t.Helper()
	name := formulas[subject+"/"+c.Topic]
	if c.Calls != "" {
		name = subject + "." + c.Calls
	}
	if name == "" {
		t.Errorf("%s %s: name the function that topic %q checks, in formulas or as the case's \"calls\"", subject, c.ID, c.Topic)
	}
	return name
}

// TestFormulasAreChecked holds the names in formulas and in the cases against
// the rooms: each is a function there that the room's own reference tests call.
func TestFormulasAreChecked(t *testing.T) {
	called, declared := map[string]map[string][]string{}, map[string]map[string]bool{}
	for _, file := range casesOf(t) {
		for _, c := range file.cases {
			if file.subject == byScreens {
				continue
			}
			name := formulaOfCase(t, file.subject, c)
			room, function, _ := strings.Cut(name, ".")
			if called[room] == nil {
				declared[room] = functionsOf(t, room)
				calls := callsOfTests(t, filepath.Join("..", room), filepath.Join("..", file.subject))
				called[room] = map[string][]string{}
				maps.Copy(called[room], calls.functions)
				maps.Copy(called[room], calls.methods)
			}
			require.True(t, declared[room][function], "%s: there is no %s", c.ID, name)
			if at := strings.LastIndex(function, "."); at >= 0 {
				function = function[at+1:]
			}
			if name != "concrete.LapRun" { // its laps are constants, which stand in no call
				require.NotEmpty(t, called[room][function], "%s: no test calls %s", c.ID, name)
			}
		}
	}
}

// functionsOf are the functions and methods that a room declares, as "Hollow" and
// "Post.Check".
func functionsOf(t *testing.T, room string) map[string]bool {
	t.Helper()
	all := map[string]bool{}
	for _, name := range goFiles(t, filepath.Join("..", room), false) {
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			if fn.Recv == nil {
				all[fn.Name.Name] = true
				continue
			}
			of := fn.Recv.List[0].Type
			if pointer, ok := of.(*ast.StarExpr); ok {
				of = pointer.X
			}
			if named, ok := of.(*ast.Ident); ok {
				all[named.Name+"."+fn.Name.Name] = true
			}
		}
	}
	return all
}
