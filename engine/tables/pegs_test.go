package tables_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/tables"
)

// The points lie as far from both posts as the tapes of the pegs say, and the frame is not
// turned over, whichever way the gate runs.
func TestPegsAsPoints(t *testing.T) {
	left, levelled := 0, 0
	for i, s := range enginetest.RandomSites(80) {
		made, _ := engine.Design(s, practice.DefaultPractice())
		rows := tables.Pegs(&made)
		require.Len(t, rows, 3+len(made.Pegs), i)
		number := func(row, column int) float64 {
			v, err := strconv.ParseFloat(rows[row][column], 64)
			require.NoError(t, err)
			return 1000 * v
		}
		right := number(2, 1)
		assert.InDelta(t, made.Opening, math.Abs(right), 0.1)
		assert.Equal(t, made.Mirrored(), right < 0)
		if right < 0 {
			left++
		}
		for k, g := range made.Pegs {
			x, y := number(3+k, 1), number(3+k, 2)
			assert.InDelta(t, g.FromLatch, math.Hypot(x, y), 0.2)
			assert.InDelta(t, g.FromRunBack, math.Hypot(x-right, y), 0.2)
			if g.Levelled {
				levelled++
				assert.InDelta(t, g.Level, number(3+k, 3), 0.1)
			} else {
				assert.Empty(t, rows[3+k][3])
			}
		}
	}
	assert.Positive(t, left)
	assert.Positive(t, levelled)
}
