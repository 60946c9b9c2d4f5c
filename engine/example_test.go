package engine_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// TestWorkedExample reads the page of the example worked out by hand: each line
// of arithmetic must hold to the last digit printed, and each value of the last
// table must be what the engine gives for the survey beside it, volumes to the
// millilitre.
func TestWorkedExample(t *testing.T) {
	file, err := os.ReadFile("../testdata/example/survey.json")
	require.NoError(t, err)
	var document struct{ Survey survey.Survey }
	require.NoError(t, json.Unmarshal(file, &document))
	plan, err := engine.Design(document.Survey, practice.DefaultPractice())
	require.NoError(t, err)

	sums, figures := enginetest.WorkedPage(t, "../testdata/example/EXAMPLE.md")
	for _, by := range figures {
		f, ok := plan.Figure(by.ID)
		require.True(t, ok, by.ID)
		got, digit := f.Value, by.Digit
		if f.Dimension == text.Volume {
			got /= 1e6 // litres
			digit = math.Min(digit, 0.001)
		}
		assert.EqualValues(t, f.Name, by.Name)
		assert.InDelta(t, by.Want, got, 0.51*digit, by.ID)
	}
	assert.Greater(t, sums, 40)
	assert.Len(t, figures, 14)
}
