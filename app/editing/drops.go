package editing

import (
	"math"
	"slices"
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

// GuessOf is what a field is likely to be, while nothing stands there: a laser's second
// number; as at the last site what a shop builds alike; and where a place under the string
// lies: row by row, the first from post to post by way of the middle, the others at both
// ends. Along is a guess, and taken as one by eye; the offset is that of the place before,
// which the string was stretched at.
func (s *Site) GuessOf(f survey.Field) (survey.Value, bool) {
	if v, offered := s.secondFor(f); offered {
		return v, true
	}
	i := DropOf(f.Path)
	_, drafted := s.drafts[f.Path]
	if s.last != nil && !drafted && f.Numeric() && mayBeGuessed(f.Path) && !f.Value(&s.Doc.Survey).Known() {
		v := f.Value(&s.last.Survey)
		return survey.Measured(v.Size, survey.ByEstimate), v.Known()
	}
	drops := s.Doc.Survey.Ground.Levels.Drops
	if i < 0 || i >= len(drops) || drafted || f.Value(&s.Doc.Survey).Known() {
		return survey.Value{}, false // also of a place that an old address names
	}
	switch {
	case strings.HasSuffix(f.Path, ".along"):
		return s.alongGuess(i)
	case i > 0 && strings.HasSuffix(f.Path, ".offset"):
		v, along := drops[i-1].Offset, drops[i].Along
		if !along.Known() {
			along, _ = s.alongGuess(i)
		}
		for _, d := range drops[:i] {
			if along.Known() && d.Along.Size == along.Size && d.Offset.Size == v.Size {
				return v, false // taken already: another row begins
			}
		}
		return v, v.Known()
	}
	return survey.Value{}, false
}

func (s *Site) alongGuess(i int) (survey.Value, bool) {
	taken, drops := &s.Doc.Survey, s.Doc.Survey.Ground.Levels.Drops
	end := taken.Opening.Width.Size
	if taken.Ground.Shape != survey.GroundSlopes || !taken.Opening.Width.Known() || i > 0 && !drops[i-1].Along.Known() {
		return survey.Value{}, false // ground that bends is taken where it bends
	}
	at := end
	switch {
	case i == 0:
		at = 0
	case drops[i-1].Along.Size >= end:
		at = drops[0].Along.Size
	case i == 1:
		at = math.Round(end/200) * 100
	}
	return survey.Measured(at, survey.ByEstimate), true
}

// takeGuess writes what is guessed of a field, where something is; run is the run of
// edits that it belongs to.
func (s *Site) takeGuess(ctx app.Context, f survey.Field, run string) {
	if v, guessed := s.GuessOf(f); guessed {
		e, err := storage.SetValue(s.Doc, f.Path, v)
		e.Run = run
		s.Commit(ctx, e, err)
	}
}

// takePlace writes where a place is guessed to lie, once its drop is typed.
func (s *Site) takePlace(ctx app.Context, f survey.Field) {
	if place, isDown := strings.CutSuffix(f.Path, ".down"); isDown && DropOf(f.Path) >= 0 {
		for _, column := range []string{".along", ".offset"} {
			at, _ := survey.FieldAt(place + column)
			s.takeGuess(ctx, at, "typing "+f.Path)
		}
	}
}

// GuessedDrops are the places under the string, the one that is asked about where it is
// guessed to lie.
func (s *Site) GuessedDrops() []survey.StringDrop {
	drops := slices.Clone(s.Doc.Survey.Ground.Levels.Drops)
	if i := DropOf(s.Asked); i >= 0 && i < len(drops) && !drops[i].Along.Known() {
		drops[i].Along, _ = s.alongGuess(i)
	}
	return drops
}

// PassGuesses goes on from a place that is guessed to what is taped there.
func (s *Site) PassGuesses() {
	for DropOf(s.Asked) > 0 {
		f, _ := survey.FieldAt(s.Asked)
		if _, guessed := s.GuessOf(f); !guessed {
			return
		}
		steps := s.Steps()
		s.Asked = steps[slices.Index(steps, s.Asked)+1]
	}
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
