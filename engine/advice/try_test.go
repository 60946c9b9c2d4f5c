package advice

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// A change of what is not there is refused, and panics never.
func TestChangesOfUnknownPaths(t *testing.T) {
	s, p := enginetest.SquareSite(), practice.DefaultPractice()
	for _, path := range []string{"", ".", "opening", "opening.widht", "opening.width.", "practice.strip.widht",
		string(survey.RunBackObstructions), "runBack.obstructions.", "runBack.obstructions..along",
		"runBack.obstructions.*.along",
		"runBack.obstructions.50.along", "runBack.obstructions.-1.along", "runBack.obstructions.0",
		"runBack.obstructions.0.along.x",
		"drive.latchEdge.points.20.along", "ground.levels.book.100.back", "network.pegs.22.name"} {
		_, _, ok := With(s, p, []plan.Change{{Path: path, Value: 1, Words: "x"}})
		assert.False(t, ok, path)
	}
}
