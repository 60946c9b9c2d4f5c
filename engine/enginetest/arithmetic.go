package enginetest

import (
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
)

// ByHand is a line of a table of figures worked out by hand.
type ByHand struct {
	ID, Name string
	Want     float64
	Digit    float64 // worth of its last digit
}

// WorkedPage reads a page worked out by hand: each line of arithmetic, set in by four
// spaces, must hold to the last digit printed. It returns how many there are, and the
// lines of its tables whose first word has a point in it.
func WorkedPage(t testing.TB, file string) (sums int, figures []ByHand) {
	t.Helper()
	page, err := os.ReadFile(file)
	require.NoError(t, err)
	for line := range strings.Lines(string(page)) {
		line = strings.TrimRight(line, "\n")
		if sum, ok := strings.CutPrefix(line, "    "); ok && strings.Contains(sum, " = ") {
			sums++
			left, right, _ := strings.Cut(sum, " = ")
			want, digit := printed(t, right)
			assert.InDelta(t, want, calculate(t, left), 0.51*digit, "%s", sum)
		}
		if part := strings.Split(line, " | "); len(part) == 4 && strings.Contains(part[0], ".") {
			f := ByHand{ID: strings.TrimPrefix(part[0], "| "), Name: part[1]}
			f.Want, f.Digit = printed(t, part[2])
			figures = append(figures, f)
		}
	}
	return sums, figures
}

// printed reads a number and the worth of its last digit.
func printed(t testing.TB, text string) (value, digit float64) {
	t.Helper()
	value, err := strconv.ParseFloat(strings.ReplaceAll(text, "−", "-"), 64)
	require.NoError(t, err)
	_, decimals, _ := strings.Cut(text, ".")
	return value, math.Pow(10, -float64(len(decimals)))
}

var wholeNumber = regexp.MustCompile(`(^|[ (−])(\d+)($|[ )])`)

// calculate works out an expression of numbers, + − × ÷ and brackets, as exact
// constants of the language.
func calculate(t testing.TB, expression string) float64 {
	t.Helper()
	text := wholeNumber.ReplaceAllString(expression, "$1$2.0$3")
	text = strings.NewReplacer("−", "-", "×", "*", "÷", "/").Replace(text)
	got, err := types.Eval(token.NewFileSet(), nil, token.NoPos, text)
	require.NoError(t, err, expression)
	value, _ := constant.Float64Val(got.Value)
	return value
}
