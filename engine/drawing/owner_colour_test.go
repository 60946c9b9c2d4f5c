package drawing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// coloured is a site with its leaf in a colour.
func coloured(t *testing.T, infill, colour string) plan.Plan {
	s := enginetest.SquareSite()
	s.Gate.Infill, s.Gate.Colour = infill, colour
	return designs.Of(t, s)
}

// The leaf's metal is in the colour that was chosen, battens stay timber, and nothing else of
// the picture or of the plan changes; each colour looks otherwise.
func TestLeafInItsColour(t *testing.T) {
	seen := map[draw.Material]bool{}
	for _, o := range survey.FieldOf(survey.GateColour).Options {
		coat := Coat(o.Value)
		assert.False(t, seen[coat], o.Words)
		seen[coat] = true
		for _, infill := range []string{survey.InfillUprights, survey.InfillBattens} {
			plain, made := coloured(t, infill, ""), coloured(t, infill, o.Value)
			assert.Equal(t, o.Value, made.Leaf.Colour)
			assert.Equal(t, plain.Assumed, made.Assumed)
			for _, inside := range []bool{false, true} {
				a, err := OwnerViewScene(&plain, OwnerOptions{Inside: inside, Figures: true})
				require.NoError(t, err)
				b, err := OwnerViewScene(&made, OwnerOptions{Inside: inside, Figures: true})
				require.NoError(t, err)
				onlyLeafIn(t, coat, infill, append(a.Elements, OwnerPlanScene(&plain, OwnerOptions{}).Elements...),
					append(b.Elements, OwnerPlanScene(&made, OwnerOptions{}).Elements...))
			}
			made.Leaf.Colour = ""
			assert.Equal(t, plain.Leaf, made.Leaf)
		}
	}
}

// onlyLeafIn holds two pictures against each other, of which the second has its leaf in a coat.
func onlyLeafIn(t *testing.T, coat draw.Material, infill string, plain, made []draw.Element) {
	t.Helper()
	require.Len(t, made, len(plain))
	coats := 0
	for i := range made {
		tag := draw.TagOf(made[i])
		leaf := tag.ID == "owner.leaf" || tag.ID == "owner.cladding" && infill == survey.InfillUprights
		if r, ok := made[i].(draw.Region); ok && leaf {
			assert.Equal(t, coat, r.Material)
			coats++
			r.Material = draw.MaterialSteel
			made[i] = r
		}
		assert.Equal(t, plain[i], made[i])
	}
	assert.Positive(t, coats)
}

// In space, by day, at night and in a photo, the corners of the leaf take the colour in the
// light that falls on them, and all others stay.
func TestModelsLeafInItsColour(t *testing.T) {
	plain, made := coloured(t, survey.InfillUprights, ""), coloured(t, survey.InfillUprights, survey.ColourGreen)
	models := map[string]func(*plan.Plan) (*OwnerModel, error){
		"day":   func(p *plan.Plan) (*OwnerModel, error) { return NewOwnerModel(p, OwnerOptions{Figures: true}, false) },
		"night": func(p *plan.Plan) (*OwnerModel, error) { return NewOwnerModel(p, OwnerOptions{Figures: true}, true) },
		"photo": func(p *plan.Plan) (*OwnerModel, error) { return NewPhotoModel(p, false, nil) },
	}
	for name, model := range models {
		a, err := model(&plain)
		require.NoError(t, err)
		b, err := model(&made)
		require.NoError(t, err)
		require.Len(t, b.Corners, len(a.Corners), name)
		colour := draw.Material.DayColour
		if name == "night" {
			colour = draw.Material.MoonColour
		}
		green := 0
		for i := 0; i < len(a.Corners); i += solid.MeshCorner {
			was, is := a.Corners[i:i+solid.MeshCorner], b.Corners[i:i+solid.MeshCorner]
			if was[7] < partPanels {
				require.Equal(t, was, is, name)
				continue
			}
			green++
			require.Equal(t, was[:3], is[:3], name)
			require.EqualValues(t, draw.MaterialGreen, int(is[6])%solid.MeshLit, name)
			lit := false
			for l := draw.LightShade; l <= draw.LightFull; l++ {
				c := colour(draw.MaterialGreen, l)
				lit = lit || is[3] == float32(c[0]) && is[4] == float32(c[1]) && is[5] == float32(c[2])
			}
			require.True(t, lit, "%s: %v is green in no light", name, is[3:6])
		}
		assert.Positive(t, green, name)
	}
}

// The owner is told the colour, and nothing where none was chosen.
func TestOwnerIsToldTheColour(t *testing.T) {
	facts := func(colour string) (said []string) {
		p := coloured(t, survey.InfillUprights, colour)
		for _, f := range OwnerFacts(&p) {
			said = append(said, f.String())
		}
		return said
	}
	none := facts("")
	assert.Contains(t, facts(survey.ColourDarkGrey), "Colour of the gate's metal: Dark grey.")
	assert.Contains(t, facts(survey.ColourBare), "The gate's metal is left as it is, without a coat of colour.")
	assert.Len(t, facts(survey.ColourWhite), len(none)+1)
}
