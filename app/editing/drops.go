package editing

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/survey"
	"pegpour/storage"
)

// StepDrops asks for more places under the string line.
const StepDrops = survey.GroundLevelsDrops

// leastDrops make a plane; fewer leave one fall unknown.
const leastDrops = 3

// leastPoints make an edge.
const leastPoints = 2

// withPlaces puts the step that asks for more places of a list behind the last of
// them, where they are asked for.
func (s *Site) withPlaces(steps []string, list string, asked bool) []string {
	for i := len(steps) - 1; asked && i >= 0; i-- {
		if step := steps[i]; strings.HasPrefix(step, list+".") || list == StepDrops && step == survey.GroundLevelsString {
			return append(steps[:i+1:i+1], append([]string{list}, steps[i+1:]...)...)
		}
	}
	return steps
}

// addFirstDrops makes sure that there are places to ask for.
func (s *Site) addFirstDrops(ctx app.Context) {
	for n := len(s.Doc.Survey.Ground.Levels.Drops); n < leastDrops; n++ {
		if !s.AddDrop(ctx) {
			return
		}
	}
}

// AddDrop adds a place under the string line; false when there is no room for more.
func (s *Site) AddDrop(ctx app.Context) bool {
	before := len(s.Doc.Survey.Ground.Levels.Drops)
	e, err := storage.AddEntry(s.Doc, "Add a place under the string", StepDrops, survey.StringDrop{})
	s.Commit(ctx, e, err)
	return len(s.Doc.Survey.Ground.Levels.Drops) > before
}

// PlaceBefore is the offset of the place before, where this one's is still open:
// places under a string line stand at one offset, row by row.
func (s *Site) PlaceBefore(f survey.Field) (survey.Value, bool) {
	i := DropOf(f.Path)
	if i < 1 || !strings.HasSuffix(f.Path, ".offset") || f.Value(&s.Doc.Survey).Known() {
		return survey.Value{}, false
	}
	if _, drafted := s.drafts[f.Path]; drafted {
		return survey.Value{}, false
	}
	v := s.Doc.Survey.Ground.Levels.Drops[i-1].Offset
	return v, v.Known()
}

// DropOf is the place under the string line that a reading's path belongs to; −1 where
// it is none of its three readings.
func DropOf(path string) int {
	rest, isDrop := strings.CutPrefix(path, StepDrops+".")
	at, column, _ := strings.Cut(rest, ".")
	i, err := strconv.Atoi(at)
	if !isDrop || err != nil || column != "along" && column != "offset" && column != "down" {
		return -1
	}
	return i
}

// LevelBook is where the rows of the level book stand in the survey.
const LevelBook = survey.GroundLevelsBook + "."

// BookCell takes the path of a cell of the level book apart.
func BookCell(path string) (row int, column string, ok bool) {
	rest, found := strings.CutPrefix(path, LevelBook)
	index, column, cut := strings.Cut(rest, ".")
	row, err := strconv.Atoi(index)
	return row, column, found && cut && err == nil
}
