package drawing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// areasOf are the areas of an owner's view by their names; each must have a material and a
// light.
func areasOf(t *testing.T, p *plan.Plan, o OwnerOptions) map[string][]draw.Region {
	t.Helper()
	scene, err := OwnerViewScene(p, o)
	require.NoError(t, err)
	all := map[string][]draw.Region{}
	for _, s := range []*draw.Scene{scene, OwnerPlanScene(p, o)} {
		for _, e := range s.Elements {
			if r, ok := e.(draw.Region); ok {
				require.NotEqual(t, draw.MaterialNone, r.Material, r.ID)
				require.NotEqual(t, draw.LightNone, r.Light, r.ID)
				all[r.ID] = append(all[r.ID], r)
			}
		}
	}
	return all
}

// The drive is of what was found there, with its grain, from everywhere.
func TestOwnerSeesTheSurface(t *testing.T) {
	for surface, want := range map[string]draw.Material{survey.SurfaceConcrete: draw.MaterialConcrete,
		survey.SurfacePavers: draw.MaterialPavers, survey.SurfaceBitumen: draw.MaterialBitumen,
		survey.SurfaceGravel: draw.MaterialGravel, survey.SurfaceEarth: draw.MaterialEarth} {
		for name, s := range map[string]survey.Survey{"level": enginetest.SquareSite(),
			"sloping": enginetest.SlopingSite(0.03, -0.02)} {
			s.Drive.Surface = surface
			made := designs.Of(t, s)
			for _, inside := range []bool{false, true} {
				drive := areasOf(t, &made, OwnerOptions{Inside: inside})["owner.drive"]
				require.GreaterOrEqual(t, len(drive), 2, name)
				for _, r := range drive {
					assert.Equal(t, want, r.Material, "%s %s", name, surface)
					assert.Equal(t, surfaceHatch(surface), r.Hatch, "%s %s", name, surface)
				}
			}
		}
	}
}

// Battens and boards are timber, what else fills the frame is steel as the frame is; the
// front of the gate is lit from whichever side one looks.
func TestOwnerSeesWhatTheLeafIsMadeOf(t *testing.T) {
	for kind, want := range map[string]draw.Material{survey.InfillBattens: draw.MaterialTimber,
		survey.InfillBoards: draw.MaterialTimber, survey.InfillUprights: draw.MaterialSteel,
		survey.InfillSheet: draw.MaterialSteel, survey.InfillMesh: draw.MaterialSteel} {
		s := enginetest.SquareSite()
		s.Gate.Infill = kind
		made := designs.Of(t, s)
		for _, inside := range []bool{false, true} {
			areas := areasOf(t, &made, OwnerOptions{Inside: inside})
			require.NotEmpty(t, areas["owner.cladding"], kind)
			lit := 0
			for _, r := range areas["owner.cladding"] {
				assert.Equal(t, want, r.Material, kind)
				if r.Light == draw.LightHalf {
					lit++
				}
			}
			assert.Positive(t, lit, kind)
			for _, r := range areas["owner.leaf"] {
				assert.Equal(t, draw.MaterialSteel, r.Material)
			}
		}
	}
}

// Level ground has shadows, within the ground shown, and under all that stands on it; ground
// that is not level has them on each of its faces that the sun reaches.
func TestOwnerShadowsLieOnTheGround(t *testing.T) {
	made := designs.Of(t, enginetest.SquareSite())
	for _, inside := range []bool{false, true} {
		scene, err := OwnerViewScene(&made, OwnerOptions{Inside: inside, Figures: true})
		require.NoError(t, err)
		ground, standing, shadows := draw.EmptyBox(), false, 0
		for _, e := range scene.Elements {
			r, ok := e.(draw.Region)
			if !ok {
				continue
			}
			switch r.ID {
			case "owner.ground":
				for _, q := range r.Outer {
					ground.Grow(q)
				}
			case "owner.shadow":
				shadows++
				assert.False(t, standing, "painted over what stands there")
				assert.Greater(t, len(r.Holes), 20)
				for _, ring := range append(r.Holes, r.Outer) {
					for _, q := range ring {
						assert.True(t, ground.Min.X-1e-3 <= q.X && q.X <= ground.Max.X+1e-3 && ground.Min.Y-1e-3 <= q.Y &&
							q.Y <= ground.Max.Y+1e-3, "%v lies off the ground", q)
					}
				}
			case "owner.drive", "owner.poured":
			default:
				standing = true
			}
		}
		assert.Equal(t, 1, shadows)
		assert.True(t, standing)
	}
	for name, s := range slopedSites() {
		sloping := designs.Of(t, s)
		for _, inside := range []bool{false, true} {
			areas := areasOf(t, &sloping, OwnerOptions{Figures: true, Inside: inside})
			dark := 0.0
			for _, r := range areas["owner.shadow"] {
				for _, ring := range append(r.Holes, r.Outer) {
					dark += turned(ring)
					require.Positive(t, turned(ring), name)
				}
			}
			assert.Greater(t, dark, 0.5e6, name) // half a square metre of the drawing at least
		}
	}
}

// turned is the area of a ring, over 0 where it turns anticlockwise.
func turned(ring draw.Ring) (area float64) {
	for i, q := range ring {
		r := ring[(i+1)%len(ring)]
		area += (q.X*r.Y - r.X*q.Y) / 2
	}
	return area
}
