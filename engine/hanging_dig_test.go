package engine_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// climbs is a site whose ground climbs from the latch post on, 30 mm a metre.
func climbs(s *survey.Survey, _ *practice.Practice) {
	slope := enginetest.SlopingSite(0.03, 0)
	s.Ground.Shape, s.Ground.Levels = slope.Ground.Shape, slope.Ground.Levels
}

// By hand: the drive is highest at the run-back post, 120, so that the leaf's underside
// hangs at 180 and the ground may stand at 160: a wedge from there, or from the end of
// the block, to the end of the open leaf and 20 beyond, as wide as the beam and 20 on
// either side.
func TestDigUnderTheOpenLeaf_prism(t *testing.T) {
	made := hang(t, climbs)
	h := made.Leaf.Hanging
	require.InDelta(t, 180, h.Level-made.Ground.SurfaceLevel(0, made.Track.Offset), 1e-6)
	_, block, ok := made.Extent(plan.PartPad)
	require.True(t, ok)
	from, to, wide := math.Max(160/0.03, block.X), made.Leaf.RearOpen+20, 100.0+20+20
	high := func(x float64) float64 { return 0.03*x - 160 }
	want := wide * (to - from) * (high(from) + high(to)) / 2
	assert.InEpsilon(t, want, h.Dig, 1e-6)
	assert.Greater(t, want, 1e7, "more than ten litres")
	f, ok := made.Figure(plan.FigureHangingDig)
	assert.True(t, ok)
	assert.InDelta(t, h.Dig, f.Value, 0)
	assert.Contains(t, checkOf(t, &made, plan.QuestionHangingRunBack).Consequence.String(), "is in the quantities")

	// The order of digging is more by just that, and so is what is loaded and paid.
	priced := func(over float64) plan.Plan {
		return hang(t, func(s *survey.Survey, p *practice.Practice) {
			climbs(s, p)
			p.HangOver, p.RateDig = over, 200
		})
	}
	less, more := priced(5), priced(60)
	assert.InEpsilon(t, more.Leaf.Hanging.Dig-less.Leaf.Hanging.Dig, more.Quantities.DigBank-less.Quantities.DigBank, 1e-9)
	assert.Greater(t, more.Quantities.SpoilMass, less.Quantities.SpoilMass)
	cost := func(made *plan.Plan) float64 {
		for _, line := range made.Quantities.Lines {
			if line.Key == practice.RuleRateDig {
				return line.Cost
			}
		}
		return 0
	}
	assert.InDelta(t, 200*(more.Quantities.DigBank-less.Quantities.DigBank)/1e9, cost(&more)-cost(&less), 1e-9)
	assert.Zero(t, hang(t, nil).Leaf.Hanging.Dig, "level ground is not dug")
}

// On any ground: the same volume by adding up columns of 20 by 20 of the ground as it
// is found at their middles.
func TestDigUnderTheOpenLeafByColumns(t *testing.T) {
	p := practice.DefaultPractice()
	dug := map[string]int{}
	for seed := uint64(0); seed < 400 && dug[survey.GroundSlopes]+dug[survey.GroundRises] < 24; seed++ {
		s := enginetest.RandomGroundSite(rand.New(rand.NewPCG(seed, 31)))
		s.Gate.Carried = survey.CarriedFree
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		h, g := made.Leaf.Hanging, made.Ground
		if h.Dig == 0 || !g.Known() {
			continue
		}
		dug[g.Shape]++
		half := math.Max(p.LeafThickness, p.HangBeamWidth) / 2
		front := math.Min(made.Track.Offset-half, made.Track.Offset-p.LeafThickness/2-s.Gate.Cladding.Size)
		low, high := math.Max(0, front-p.HangOver), made.Track.Offset+half+p.HangOver
		const step = 10.0
		nx, ny := math.Ceil((made.Leaf.RearOpen+p.HangOver-made.Opening)/step), math.Ceil((high-low)/step)
		dx, dy := (made.Leaf.RearOpen+p.HangOver-made.Opening)/nx, (high-low)/ny
		var pads []geom.Polygon
		for o := range made.Parts(plan.PartPad) {
			pads = append(pads, o.Ring)
		}
		volume := 0.0
		for i := range int(nx) {
			for k := range int(ny) {
				at := geom.Point{X: made.Opening + (float64(i)+0.5)*dx, Y: low + (float64(k)+0.5)*dy}
				z, _ := g.GroundLevel(at.X, at.Y)
				if g.Shape == survey.GroundRises {
					z = math.Min(z, g.SurfaceLevel(at.X, at.Y))
				}
				inside := false
				for _, ring := range pads {
					inside = inside || ring.Contains(at)
				}
				if !inside {
					volume += math.Max(0, z-h.Level+p.HangOver) * dx * dy
				}
			}
		}
		assert.InDelta(t, volume, h.Dig, 0.02*volume+1e5, "seed %d, %s", seed, g.Shape)
	}
	assert.Greater(t, dug[survey.GroundSlopes], 5)
	assert.Greater(t, dug[survey.GroundRises], 2)
}
