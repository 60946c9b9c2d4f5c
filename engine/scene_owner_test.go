package engine_test

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/enginetest"
)

func ownerSite(t testing.TB) engine.Plan {
	s := enginetest.Surfaces()["pavers-over"]
	s.RunBack.Obstructions = []engine.Obstruction{{Kind: engine.ObstructionTree, Name: "Lemon tree", Along: engine.Measured(3100, engine.ByTape), Offset: engine.Measured(850, engine.ByTape), Length: engine.Measured(300, engine.ByTape), Width: engine.Measured(300, engine.ByTape)}}
	plan, err := engine.Design(s, engine.DefaultPractice())
	require.NoError(t, err)
	return plan
}

func TestOwnerViewGolden(t *testing.T) {
	plan := ownerSite(t)
	for _, share := range []float64{0, 0.5, 1} {
		for _, inside := range []bool{false, true} {
			scene, err := engine.OwnerViewScene(&plan, engine.OwnerOptions{Open: share, Inside: inside, Figures: true})
			require.NoError(t, err)
			svg, err := draw.Render(scene, draw.Phone(390, 0), draw.Options{Standalone: true})
			require.NoError(t, err)
			enginetest.Golden(t, "owner-"+strconv.Itoa(int(share*100))+"-"+strconv.FormatBool(inside)+".svg", svg)
		}
	}
	svg, err := draw.Render(engine.OwnerPlanScene(&plan, engine.OwnerOptions{Open: 0.4, Figures: true}), draw.Phone(390, 0), draw.Options{Standalone: true})
	require.NoError(t, err)
	enginetest.Golden(t, "owner-plan.svg", svg)
}

// Every site can be drawn, at every place of the slider, with texts clear.
func TestOwnerViewsOfRandomSites(t *testing.T) {
	for i := range 200 {
		plan, err := engine.Design(enginetest.RandomSite(rand.New(rand.NewPCG(uint64(i), 7))), engine.DefaultPractice())
		require.NoError(t, err)
		o := engine.OwnerOptions{Open: float64(i%5) / 4, Inside: i%2 == 1, Figures: true}
		scene, err := engine.OwnerViewScene(&plan, o)
		require.NoError(t, err, "seed %d", i)
		require.NoError(t, scene.Validate(), "seed %d", i)
		sheet, err := draw.Layout(engine.OwnerPlanScene(&plan, o), draw.Phone(390, 0))
		require.NoError(t, err)
		require.Empty(t, draw.Overlaps(sheet), "seed %d", i)
	}
}

// No jargon and no figure in the drawings an owner sees.
func TestOwnerViewsHaveNoFigures(t *testing.T) {
	plan := ownerSite(t)
	view, err := engine.OwnerViewScene(&plan, engine.OwnerOptions{Open: 0.5, Figures: true})
	require.NoError(t, err)
	for _, s := range []*draw.Scene{view, engine.OwnerPlanScene(&plan, engine.OwnerOptions{})} {
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
		scene, _ := engine.OwnerViewScene(&plan, engine.OwnerOptions{Open: 0.5, Figures: true})
		view := draw.Phone(390, 0)
		view.Scale = 370 / scene.Bounds().Width()
		if _, err := draw.Render(scene, view, draw.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
