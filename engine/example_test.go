package engine_test

import (
	"encoding/json"
	"go/constant"
	"go/token"
	"go/types"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// TestWorkedExample reads the page of the example worked out by hand: each line
// of arithmetic must hold to the last digit printed, and each value of the last
// table must be what the engine gives for the survey beside it, volumes to the
// millilitre.
func TestWorkedExample(t *testing.T) {
	page, err := os.ReadFile("../testdata/example/EXAMPLE.md")
	require.NoError(t, err)
	file, err := os.ReadFile("../testdata/example/survey.json")
	require.NoError(t, err)
	var document struct{ Survey survey.Survey }
	require.NoError(t, json.Unmarshal(file, &document))
	plan, err := engine.Design(document.Survey, practice.DefaultPractice())
	require.NoError(t, err)

	sums, figures := 0, 0
	for line := range strings.Lines(string(page)) {
		line = strings.TrimRight(line, "\n")
		if sum, ok := strings.CutPrefix(line, "    "); ok && strings.Contains(sum, " = ") {
			sums++
			left, right, _ := strings.Cut(sum, " = ")
			want, digits := printed(t, right)
			assert.InDelta(t, want, calculate(t, left), 0.51*digits, "%s", sum)
		}
		if part := strings.Split(line, " | "); len(part) == 4 && strings.Contains(part[0], ".") {
			figures++
			id := strings.TrimPrefix(part[0], "| ")
			f, ok := plan.Figure(id)
			require.True(t, ok, id)
			want, digits := printed(t, part[2])
			got := f.Value
			if f.Dimension == text.Volume {
				got /= 1e6 // litres
				digits = math.Min(digits, 0.001)
			}
			assert.EqualValues(t, f.Name, part[1])
			assert.InDelta(t, want, got, 0.51*digits, id)
		}
	}
	assert.Greater(t, sums, 40)
	assert.Equal(t, 14, figures)
}

// printed reads a number and the worth of its last digit.
func printed(t *testing.T, text string) (value, digit float64) {
	t.Helper()
	value, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	_, decimals, _ := strings.Cut(text, ".")
	return value, math.Pow(10, -float64(len(decimals)))
}

var wholeNumber = regexp.MustCompile(`(^|[ (])(\d+)($|[ )])`)

// calculate works out an expression of numbers, + − × ÷ and brackets, as exact
// constants of the language.
func calculate(t *testing.T, expression string) float64 {
	t.Helper()
	text := wholeNumber.ReplaceAllString(expression, "$1$2.0$3")
	text = strings.NewReplacer("−", "-", "×", "*", "÷", "/").Replace(text)
	got, err := types.Eval(token.NewFileSet(), nil, token.NoPos, text)
	require.NoError(t, err, expression)
	value, _ := constant.Float64Val(got.Value)
	return value
}
