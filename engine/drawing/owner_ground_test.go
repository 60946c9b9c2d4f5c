package drawing

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw/solid"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// slopedView is the owner's view of a site as bodies, by their names.
type slopedView struct {
	*ownerView
	ground, standing map[string][]solid.Body
	bottom           float64
}

func viewOf(t *testing.T, s survey.Survey, o OwnerOptions) slopedView {
	t.Helper()
	made := designs.Of(t, s)
	v := &ownerView{p: &made, o: &o, s: nil}
	ground, _ := v.build()
	require.NoError(t, v.err)
	all := slopedView{ownerView: v, ground: map[string][]solid.Body{}, standing: map[string][]solid.Body{},
		bottom: math.Inf(1)}
	for _, b := range ground {
		all.ground[b.Tag().ID] = append(all.ground[b.Tag().ID], b)
		for _, q := range b.Corners() {
			all.bottom = math.Min(all.bottom, q.Z)
		}
	}
	for _, b := range v.bodies {
		all.standing[b.Tag().ID] = append(all.standing[b.Tag().ID], b)
	}
	return all
}

func slopedSites() map[string]survey.Survey {
	tilted := enginetest.RisingSite(60, 0.1)
	for i := range tilted.Ground.Levels.Drops { // a drive that climbs 1 in 50 too
		d := &tilted.Ground.Levels.Drops[i]
		d.Down = survey.Measured(d.Down.Size-0.02*d.Along.Size, survey.ByString)
	}
	return map[string]survey.Survey{"sloping": enginetest.SlopingSite(0.03, -0.02),
		"falling grade": enginetest.SlopingSite(-0.05, 0.01), "rising": enginetest.RisingSite(80, 0.12),
		"rising on a grade": tilted, "falling": enginetest.FallingSite()}
}

// Every corner of the ground is at a level of the plan: the drive on the plane
// of the track, the ground beside it as it was read or dug for the strip, the
// wall at the wall's top, the pad at the pad's.
func TestOwnerGroundIsThePlans(t *testing.T) {
	for name, s := range slopedSites() {
		t.Run(name, func(t *testing.T) {
			v := viewOf(t, s, OwnerOptions{})
			g := v.p.Ground
			require.NotEmpty(t, v.ground["owner.drive"])
			require.NotEmpty(t, v.ground["owner.ground"])
			for _, b := range v.ground["owner.drive"] {
				for _, q := range b.Corners() {
					if q.Z > v.bottom+1e-6 {
						require.InDelta(t, g.SurfaceLevel(q.X, q.Y), q.Z, 1e-6)
					}
				}
			}
			for _, b := range v.ground["owner.ground"] {
				for _, q := range b.Corners() {
					if q.Z <= v.bottom+1e-6 {
						continue
					}
					level, _ := g.GroundLevel(q.X, q.Y)
					dug := g.SurfaceLevel(q.X, q.Y) - underStrip
					require.True(t, math.Abs(q.Z-level) < 1e-6 || math.Abs(q.Z-dug) < 1e-6, "%v: ground %g, dug %g", q, level, dug)
				}
			}
			if r := g.Rising; r != nil {
				require.NotEmpty(t, v.ground["owner.wall"])
				for _, b := range v.ground["owner.wall"] {
					for _, q := range b.Corners() {
						if q.Z <= v.bottom+1e-6 {
							continue
						}
						assert.True(t, hasTop(r.Wall, q.Z) || hasTop(r.EndWall, q.Z), "%v", q)
					}
				}
			}
			if g.Pad != nil && g.Pad.HasLevel {
				found := false
				for _, b := range v.ground["owner.poured"] {
					top := math.Inf(-1)
					for _, q := range b.Corners() {
						top = math.Max(top, q.Z)
					}
					found = found || top == g.Pad.Level
				}
				assert.True(t, found, "no pad at %g", g.Pad.Level)
			}
		})
	}
}

func hasTop(sections []plan.WallSection, z float64) bool {
	for i := range sections {
		if math.Abs(sections[i].Top-z) < 1e-6 {
			return true
		}
	}
	return false
}

// The leaf runs along the grade wherever it stands: every corner of it keeps
// its height over the track, and so does the track.
func TestOwnerLeafRunsAlongTheGrade(t *testing.T) {
	for name, s := range slopedSites() {
		for _, open := range []float64{0, 0.3, 1} {
			v := viewOf(t, s, OwnerOptions{Open: open})
			g := v.p.Ground
			heights := map[float64]bool{}
			for _, b := range append(v.standing["owner.leaf"], v.standing["owner.cladding"]...) {
				for _, q := range b.Corners() {
					heights[math.Round((q.Z-g.TrackLevel(q.X))*1e3)/1e3] = true
				}
			}
			// Battens lie: each has an underside and a top of its own, and runs along the grade.
			assert.LessOrEqual(t, len(heights), 4+2*len(v.standing["owner.cladding"]), "%s: %v", name, heights)
			assert.Contains(t, heights, v.high(), name)
			for _, b := range v.standing["owner.track"] {
				for _, q := range b.Corners() {
					over := q.Z - g.TrackLevel(q.X)
					assert.True(t, math.Abs(over) < 1e-6 || math.Abs(over-railHigh) < 1e-6, "%s: track %g over its grade", name, over)
				}
			}
		}
	}
}

// The car's wheels are on the drive, the person's feet and the fence's posts on
// the ground.
func TestOwnerFiguresStandOnTheGround(t *testing.T) {
	for name, s := range slopedSites() {
		v := viewOf(t, s, OwnerOptions{Figures: true})
		g := v.p.Ground
		for _, wheel := range v.standing["owner.wheel"] {
			low := math.Inf(1)
			for _, q := range wheel.Corners() {
				low = math.Min(low, q.Z-g.SurfaceLevel(q.X, q.Y))
			}
			assert.InDelta(t, 0, low, 1e-6, name)
		}
		feet := math.Inf(1)
		for _, b := range v.standing["owner.person"] {
			for _, q := range b.Corners() {
				feet = math.Min(feet, q.Z-v.groundAt(q.X, q.Y))
			}
		}
		assert.InDelta(t, 0, feet, 20, name) // upright on a fall
		posts := 0
		for _, b := range v.standing["owner.fence"] {
			low, high := math.Inf(1), math.Inf(-1)
			for _, q := range b.Corners() {
				low, high = math.Min(low, q.Z-v.groundAt(q.X, q.Y)), math.Max(high, q.Z-v.groundAt(q.X, q.Y))
			}
			if high-low > v.high()*0.7 {
				posts++
				assert.InDelta(t, 0, low, 8, name) // over the width of a post the ground may bend
			}
		}
		assert.Greater(t, posts, 2, name)
	}
}

// groundAt is the level of the ground at a place of the view.
func (v slopedView) groundAt(x, y float64) float64 { return v.ownerView.standing(x, y) }
