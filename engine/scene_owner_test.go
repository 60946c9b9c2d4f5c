package engine

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
)

func ownerSite(t testing.TB) Plan {
	s := surfaces()["pavers-over"]
	s.RunBack.Obstructions = []Obstruction{{Kind: ObstructionTree, Name: "Lemon tree", Along: Measured(3100, ByTape), Offset: Measured(850, ByTape), Length: Measured(300, ByTape), Width: Measured(300, ByTape)}}
	plan, err := Design(s, DefaultPractice())
	require.NoError(t, err)
	return plan
}

func TestOwnerViewGolden(t *testing.T) {
	plan := ownerSite(t)
	for _, share := range []float64{0, 0.5, 1} {
		for _, inside := range []bool{false, true} {
			scene, err := OwnerViewScene(&plan, OwnerOptions{Open: share, Inside: inside, Figures: true})
			require.NoError(t, err)
			svg, err := draw.Render(scene, draw.Phone(390, 0), draw.Options{Standalone: true})
			require.NoError(t, err)
			golden(t, "owner-"+strconv.Itoa(int(share*100))+"-"+strconv.FormatBool(inside)+".svg", svg)
		}
	}
	svg, err := draw.Render(OwnerPlanScene(&plan, OwnerOptions{Open: 0.4, Figures: true}), draw.Phone(390, 0), draw.Options{Standalone: true})
	require.NoError(t, err)
	golden(t, "owner-plan.svg", svg)
}

// The leaf of the owner's views goes from where the plan has it shut to where
// it has it open, and its share is the share of the way.
func TestOwnerLeafFollowsTheSlider(t *testing.T) {
	for i := range 200 {
		plan, err := Design(randomSite(rand.New(rand.NewPCG(uint64(i), 7))), DefaultPractice())
		require.NoError(t, err)
		at := func(share float64) float64 { return panelsAt(&plan, (&OwnerOptions{Open: share}).share())[0].x1 }
		assert.InDelta(t, plan.Leaf.ShutAt, at(0), 1e-9)
		assert.InDelta(t, plan.Leaf.OpenAt, at(1), 1e-9)
		assert.InDelta(t, plan.Leaf.ShutAt+plan.Leaf.Travel/4, at(0.25), 1e-6)
		assert.Equal(t, at(0), at(-3))
		assert.Equal(t, at(0), at(math.NaN()))
		assert.Equal(t, at(1), at(math.Inf(1)))
	}
}

// Every site can be drawn, at every place of the slider, with texts clear.
func TestOwnerViewsOfRandomSites(t *testing.T) {
	for i := range 200 {
		plan, err := Design(randomSite(rand.New(rand.NewPCG(uint64(i), 7))), DefaultPractice())
		require.NoError(t, err)
		o := OwnerOptions{Open: float64(i%5) / 4, Inside: i%2 == 1, Figures: true}
		scene, err := OwnerViewScene(&plan, o)
		require.NoError(t, err, "seed %d", i)
		require.NoError(t, scene.Validate(), "seed %d", i)
		sheet, err := draw.Layout(OwnerPlanScene(&plan, o), draw.Phone(390, 0))
		require.NoError(t, err)
		require.Empty(t, draw.Overlaps(sheet), "seed %d", i)
	}
}

// No jargon and no figure in the drawings an owner sees.
func TestOwnerViewsHaveNoFigures(t *testing.T) {
	plan := ownerSite(t)
	view, err := OwnerViewScene(&plan, OwnerOptions{Open: 0.5, Figures: true})
	require.NoError(t, err)
	for _, s := range []*draw.Scene{view, OwnerPlanScene(&plan, OwnerOptions{})} {
		for _, e := range s.Elements {
			switch e.(type) {
			case draw.Dimension, draw.LevelMark, draw.Peg:
				t.Errorf("%T in %s", e, s.Title)
			}
		}
	}
}

func BenchmarkOwnerView(b *testing.B) {
	plan := ownerSite(b)
	for b.Loop() {
		scene, _ := OwnerViewScene(&plan, OwnerOptions{Open: 0.5, Figures: true})
		view := draw.Phone(390, 0)
		view.Scale = 370 / scene.Bounds().Width()
		if _, err := draw.Render(scene, view, draw.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
