package engine

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
)

// A sliver is no piece: the one that is left is the part, without a number. Two
// real pieces keep theirs.
func TestSliverHidesNoPiece(t *testing.T) {
	real := geom.RectangleOf(4000, 0, 8000, 200).Ring()
	for name, sliver := range map[string]geom.Polygon{
		"less than a square millimetre": geom.RectangleOf(4000, 0, 4000.001, 200).Ring(),
		"narrower than a tape can tell": geom.RectangleOf(4000, 0, 8000, 0.2).Ring(),
		"the same, as a wedge":          {{X: 4000, Y: 0}, {X: 8000, Y: 0}, {X: 4000, Y: 0.4}},
	} {
		var list stages.OutlineList
		list.Add(plan.Outline{Kind: plan.PartRunBackStrip}, []geom.Polygon{sliver, real})
		made := plan.Plan{Outlines: list}
		strip, ok := made.Part(plan.PartRunBackStrip, 1)
		require.True(t, ok, name)
		assert.Equal(t, "strip", strip.ID, name)
		assert.InDelta(t, 4000*200, strip.Area, 1e-6, name)
	}
	var list stages.OutlineList
	list.Add(plan.Outline{Kind: plan.PartRunBackStrip}, []geom.Polygon{real, geom.RectangleOf(4000, 300, 4001, 301).Ring()})
	require.Len(t, list, 2)
	assert.Equal(t, "strip.1", list[0].ID)
	assert.Equal(t, "strip.2", list[1].ID)
}

// inPieces designs a site whose parts of a kind come in two pieces, cut along a
// line out from the fence through their middle.
func inPieces(t *testing.T, s survey.Survey, kinds ...plan.PartKind) plan.Plan {
	t.Helper()
	sketch, err := Begin(s, practice.DefaultPractice())
	require.NoError(t, err)
	var parts stages.OutlineList
	for _, o := range sketch.parts {
		split := false
		for _, kind := range kinds {
			split = split || o.Kind == kind
		}
		if !split {
			parts = append(parts, o)
			continue
		}
		low, high := o.Ring.Bounds()
		middle := (low.X + high.X) / 2
		var halves []geom.Polygon
		for _, half := range []geom.Rectangle{geom.RectangleOf(low.X, low.Y, middle, high.Y), geom.RectangleOf(middle, low.Y, high.X, high.Y)} {
			cut, err := geom.Intersect([]geom.Region{o.Ring.Region()}, []geom.Region{half.Ring().Region()})
			require.NoError(t, err)
			for _, r := range cut {
				halves = append(halves, r.Outer)
			}
		}
		require.Len(t, halves, 2, o.ID)
		parts.Add(o, halves)
	}
	sketch.parts = parts
	return *sketch.Finish()
}

// A pad, a strip and a hole in two pieces are found by all that tells of them, as
// if they were in one.
func TestPartsInPieces(t *testing.T) {
	s := enginetest.RisingSite(100, 0.02)
	s.Gate.Guide, s.Ground.Soil = survey.GuideCastIn, survey.SoilRock
	one := inPieces(t, s)
	two := inPieces(t, s, plan.PartPad, plan.PartRunBackStrip, plan.PartPostHole)
	_, whole := two.Part(plan.PartPad, 1)
	require.False(t, whole)
	assert.InEpsilon(t, one.Quantities.Concrete, two.Quantities.Concrete, 1e-6)
	assert.InEpsilon(t, one.Quantities.DigBank, two.Quantities.DigBank, 1e-6)

	assert.Equal(t, drawing.Spoken(&one, drawing.SceneOptions{}), drawing.Spoken(&two, drawing.SceneOptions{}))
	assert.Contains(t, drawing.Spoken(&two, drawing.SceneOptions{}), "motor pad")
	assert.Equal(t, drawing.OwnerFacts(&one), drawing.OwnerFacts(&two))
	assert.Equal(t, tables.Steel(&one, false), tables.Steel(&two, false))
	assert.Contains(t, strings.Join(column(tables.Steel(&two, false), 1), ";"), "in the ground at most")
	p := practice.DefaultPractice()
	assert.Equal(t, tables.PourChecklist(&one, &p)[0].Items[2:], tables.PourChecklist(&two, &p)[0].Items[2:])
	names := func(made *plan.Plan) (all []string) {
		for _, c := range drawing.CrossSections(made) {
			all = append(all, c.ID)
		}
		return all
	}
	assert.Equal(t, names(&one), names(&two))

	spots := make([]drawing.PhotoSpot, 0, 4)
	for _, at := range []geom.Point{{X: 0, Y: 0}, {X: 9000, Y: 0}, {X: 9000, Y: 3000}, {X: 0, Y: 3000}, {X: 4000, Y: 1500}} {
		spots = append(spots, drawing.PhotoSpot{At: at, U: at.X / 10, V: 500 - at.Y/10})
	}
	over, err := drawing.Overlay(&two, spots, drawing.PhotoFrame{}, p)
	require.NoError(t, err)
	assert.Greater(t, over.Uncertainty, 0.0)

	pieces := 0
	for _, c := range two.Checks {
		for _, id := range c.Where {
			if _, known := two.Outline(id); !known {
				_, inOne := one.Outline(id)
				assert.False(t, inOne, "%s: nothing is drawn at %s", c.Code, id)
			} else if strings.HasPrefix(id, "pad.") || strings.HasPrefix(id, "hole.") {
				pieces++
			}
		}
	}
	assert.Greater(t, pieces, 2)
}

func column(rows [][]string, k int) (cells []string) {
	for _, row := range rows {
		cells = append(cells, row[k])
	}
	return cells
}

// Over falling ground the pad, or the plate, in two pieces is drawn in both, and
// the steel of the plate is bought for both.
func TestPiecesOverFallingGround(t *testing.T) {
	for on, kind := range map[string]plan.PartKind{survey.PadConcrete: plan.PartPad, survey.PadSteel: plan.PartPadPlate} {
		s := enginetest.FallingSite()
		s.Gate.Guide, s.Gate.PadOn = survey.GuideCastIn, on
		one, two := inPieces(t, s), inPieces(t, s, kind)
		assert.InEpsilon(t, one.Steel.Mass, two.Steel.Mass, 1e-9, on)
		assert.InEpsilon(t, one.Quantities.Concrete, two.Quantities.Concrete, 1e-6, on)
		drawn := 0
		for _, e := range drawing.FallingScene(&two, drawing.SceneOptions{}).Elements {
			if id := draw.TagOf(e).ID; id == kind.ID(1)+".1" || id == kind.ID(1)+".2" {
				drawn++
			}
		}
		assert.Equal(t, 2, drawn, on)
	}
}

// Of one point there is one peg, and none stands twice.
func TestOnePointOnePeg(t *testing.T) {
	look := func(name string, s survey.Survey) {
		made, err := Design(s, practice.DefaultPractice())
		require.NoError(t, err)
		for i, a := range made.Pegs {
			for _, b := range made.Pegs[:i] {
				if !strings.HasPrefix(a.Of, "footing.") {
					assert.Greater(t, math.Max(math.Abs(a.Chainage-b.Chainage), math.Abs(a.Offset-b.Offset)), plan.Tolerance,
						"%s: pegs %d and %d", name, b.Number, a.Number)
				}
			}
		}
		for _, d := range made.Diagonals {
			a, b := made.Pegs[d.From-1], made.Pegs[d.To-1]
			assert.InDelta(t, math.Hypot(a.Chainage-b.Chainage, a.Offset-b.Offset), d.Length, 2*plan.Tolerance, name)
			assert.NotEqual(t, d.From, d.To, name)
		}
	}
	look("angled", enginetest.AngledSite())
	for i := range 100 {
		look("by chance", enginetest.RandomSite(rand.New(rand.NewPCG(uint64(i), 11))))
	}
}

// What is poured under a pad that lies lower than the strip is counted once: the
// sum of the parts is the concrete of all places, each from its top down to the
// deepest bottom asked of it, summed over cells of a grid.
func TestLoweredPadCountedOnce(t *testing.T) {
	s := enginetest.SlopingSite(-0.10, 0)
	s.Gate.Guide, s.Ground.Channel = survey.GuideCastIn, survey.Yes
	p := practice.DefaultPractice()
	p.RackHeight = 70
	made, err := Design(s, p)
	require.NoError(t, err)
	pad, ok := made.Part(plan.PartPad, 1)
	require.True(t, ok)
	require.Greater(t, pad.Top, 10.0, "the pad lies lower")
	require.Greater(t, pad.Depth, 130.0)
	low, high := geom.Point{X: math.Inf(1), Y: math.Inf(1)}, geom.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, o := range made.Outlines {
		if o.Concrete {
			a, b := o.Ring.Bounds()
			low.X, low.Y, high.X, high.Y = math.Min(low.X, a.X), math.Min(low.Y, a.Y), math.Max(high.X, b.X), math.Max(high.Y, b.Y)
		}
	}
	const cell = 2.5
	poured, dug := 0.0, 0.0
	for x := low.X + cell/2; x < high.X; x += cell {
		for y := low.Y + cell/2; y < high.Y; y += cell {
			top, bottom, first := 0.0, 0.0, true
			for i := range made.Outlines {
				o := &made.Outlines[i]
				if !o.Concrete || !o.Ring.Contains(geom.Point{X: x, Y: y}) {
					continue
				}
				if first && o.Kind != plan.PartPostHole { // beside the footing it is poured from the ground
					top, first = o.Top, false
				}
				if o.Kind != plan.PartPad || bottom == 0 {
					bottom = math.Max(bottom, o.Depth)
				}
			}
			poured += cell * cell * (bottom - top)
			dug += cell * cell * bottom
		}
	}
	assert.InEpsilon(t, poured, made.Quantities.Concrete, 0.002)
	assert.InEpsilon(t, dug, made.Quantities.DigBank-made.Ground.Cut-made.Ground.Bedding, 0.005)
}
