package engine

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// Ground that falls off the edge is asked for its fall, in words without signs, and is
// the same ground as one read with signs, as surveys used to be.
func TestFallIsAskedWithoutSigns(t *testing.T) {
	signed := enginetest.FallingSite()
	s := enginetest.FallingSite()
	s.Ground.Levels.BankStep, s.Ground.Levels.BankAlong = survey.Value{}, survey.Value{}
	s.Ground.Levels.FallStep, s.Ground.Levels.FallAlong = survey.Measured(300, survey.ByTape),
		survey.Measured(0.125, survey.ByStaff)
	a, b := design(t, signed), design(t, s)
	for i := range b.Ground.Readings {
		if q := &b.Ground.Readings[i]; strings.Contains(q.Path, "fall") {
			q.Path = strings.Replace(q.Path, "fall", "bank", 1)
		}
	}
	assert.Equal(t, a.Ground, b.Ground)
	assert.Equal(t, a.Quantities, b.Quantities)
	asked := func(s *survey.Survey) (paths []string) {
		for _, f := range survey.Fields(s) {
			if f.Needed(s) && (strings.Contains(f.Path, "bank") || strings.Contains(f.Path, "fall")) {
				paths = append(paths, f.Path)
				words := strings.ToLower(f.Name.String() + " " + f.Help)
				if strings.Contains(f.Path, "fall") {
					assert.NotContains(t, words, "minus")
					assert.NotContains(t, words, "plus")
					assert.Zero(t, f.Low)
				}
			}
		}
		return paths
	}
	assert.Equal(t, []string{survey.GroundLevelsBankStep, survey.GroundLevelsBankAlong}, asked(&signed))
	assert.Equal(t, []string{survey.GroundLevelsFallStep, survey.GroundLevelsFallAlong}, asked(&s))
	// What was read while the ground was said to rise is no fall.
	s.Ground.Levels.BankStep = survey.Measured(200, survey.ByTape)
	assert.Equal(t, []string{survey.GroundLevelsFallStep, survey.GroundLevelsFallAlong}, asked(&s))
	assert.Equal(t, a.Quantities, design(t, s).Quantities)
	// Nor does a slope with a sign take the place of a fall that was measured.
	s.Ground.Levels.BankAlong = survey.Measured(-0.2, survey.ByTape)
	assert.Equal(t, []string{survey.GroundLevelsFallStep, survey.GroundLevelsFallAlong}, asked(&s))
	assert.Equal(t, a.Quantities, design(t, s).Quantities)
	// An older survey that lacks the sign keeps its readings, and is questioned.
	bare := s.Clone()
	bare.Ground.Levels.FallStep, bare.Ground.Levels.FallAlong = survey.Value{}, survey.Value{}
	bare.Ground.Levels.BankAlong = survey.Measured(0.1, survey.ByTape)
	assert.Equal(t, []string{survey.GroundLevelsBankStep, survey.GroundLevelsBankAlong}, asked(&bare))
	questioned := false
	for _, k := range design(t, bare).Checks {
		questioned = questioned || k.Question == plan.QuestionGroundShape && k.Severity == plan.Warning
	}
	assert.True(t, questioned)
	s.Ground.Shape = survey.GroundRises
	assert.Equal(t, []string{survey.GroundLevelsBankStep, survey.GroundLevelsBankAlong}, asked(&s))
}

// A shape that its readings contradict is questioned, with the one they tell of; one
// that they bear out is not.
func TestShapeThatItsReadingsContradict(t *testing.T) {
	rising, falling, sloping := enginetest.RisingSite(300, 0.1), enginetest.RisingSite(-300, -0.1), enginetest.RisingSite(0, 0)
	for _, c := range []struct {
		site       survey.Survey
		said, then string
	}{
		{rising, survey.GroundRises, ""}, {rising, survey.GroundFalls, survey.GroundRises},
		{rising, survey.GroundSlopes, survey.GroundRises}, {falling, survey.GroundFalls, ""},
		{falling, survey.GroundRises, survey.GroundFalls}, {sloping, survey.GroundSlopes, ""},
		{sloping, survey.GroundFalls, survey.GroundSlopes}, {sloping, survey.GroundRises, survey.GroundSlopes},
	} {
		s := c.site.Clone()
		s.Ground.Shape = c.said
		said := ""
		for _, k := range design(t, s).Checks {
			if k.Question == plan.QuestionGroundShape {
				said = k.Remedies[0].Changes[0].Words
				assert.Equal(t, plan.Warning, k.Severity)
			}
		}
		assert.Equal(t, c.then, said, c.said)
	}
}
