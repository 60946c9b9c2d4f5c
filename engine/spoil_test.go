package engine

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
)

// Spoil is carted by what a trailer holds and by what it may carry, whichever takes
// more loads: 1 m³ of firm clay weighs up to 20 kN, and dug loose it is 1.25 m³
// of the same weight, which is 2 boxes of 0.75 m³ and 3 times 750 kg.
func TestSpoilByPayload(t *testing.T) {
	s := enginetest.RisingSite(300, 0.03)
	s.Ground.Soil, s.Ground.Class = survey.SoilFirm, "clay"
	p := practice.DefaultPractice()
	made, err := Design(s, p)
	require.NoError(t, err)
	q := &made.Quantities
	cubic := q.DigBank / 1e9
	require.Greater(t, cubic, 2.0)
	boxes, payloads := cubic*1.25/0.75, cubic*20000/9.80665/750
	assert.Equal(t, int(math.Ceil(payloads)), q.Loads)
	assert.Greater(t, int(math.Ceil(payloads)), int(math.Ceil(boxes)))
	assert.InEpsilon(t, cubic*20000/9.80665, q.SpoilMass, 1e-9)
	how, _ := made.Figure(plan.FigureDigLoads)
	assert.Contains(t, how.How.Format, "the weight decides")
	assert.Equal(t, float64(q.Loads), how.Value)
	rows := map[string]string{}
	for _, row := range tables.English(tables.Quantities(&made)) {
		rows[row[0]] = row[1]
	}
	assert.Equal(t, strconv.Itoa(q.Loads), rows["Trailer loads"])
	assert.Equal(t, strconv.FormatFloat(cubic*20000/9.80665, 'f', 0, 64), rows["Spoil, weight at most"])

	// A truck that carries 3 t holds no more than its box of 0.75 m³ lets it.
	p.TrailerPayload = 3000
	made, err = Design(s, p)
	require.NoError(t, err)
	assert.Equal(t, int(math.Ceil(boxes)), made.Quantities.Loads)
	how, _ = made.Figure(plan.FigureDigLoads)
	assert.Contains(t, how.How.Format, "the box is full")

	// Where nobody looked the heaviest of what may be there is carted.
	s.Ground.Soil, s.Ground.Class = "", ""
	made, err = Design(s, practice.DefaultPractice())
	require.NoError(t, err)
	assert.GreaterOrEqual(t, made.Quantities.SpoilMass, made.Quantities.DigBank*20e-6/9.80665*(1-1e-9))
}
