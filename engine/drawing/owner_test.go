package drawing_test

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func ownerSite(t testing.TB) plan.Plan {
	s := enginetest.Surfaces()["pavers-over"]
	s.RunBack.Obstructions = []survey.Obstruction{{Kind: survey.ObstructionTree, Name: "Lemon tree",
		Along: survey.Measured(3100, survey.ByTape), Offset: survey.Measured(850, survey.ByTape),
		Length: survey.Measured(300, survey.ByTape), Width: survey.Measured(300, survey.ByTape)}}
	made, err := engine.Design(s, practice.DefaultPractice())
	require.NoError(t, err)
	return made
}

func TestOwnerViewGolden(t *testing.T) {
	made := ownerSite(t)
	for _, share := range []float64{0, 0.5, 1} {
		for _, inside := range []bool{false, true} {
			scene, err := drawing.OwnerViewScene(&made, drawing.OwnerOptions{Open: share, Inside: inside, Figures: true})
			require.NoError(t, err)
			svg, err := draw.Render(scene, draw.Phone(390, 0), draw.Options{Standalone: true})
			require.NoError(t, err)
			enginetest.Golden(t, "owner-"+strconv.Itoa(int(share*100))+"-"+strconv.FormatBool(inside)+".svg", svg)
		}
	}
	svg, err := draw.Render(drawing.OwnerPlanScene(&made, drawing.OwnerOptions{Open: 0.4, Figures: true}),
		draw.Phone(390, 0), draw.Options{Standalone: true})
	require.NoError(t, err)
	enginetest.Golden(t, "owner-plan.svg", svg)
}

// Every site can be drawn, at every place of the slider, with texts clear.
func TestOwnerViewsOfRandomSites(t *testing.T) {
	for i := range 200 {
		made, err := engine.Design(enginetest.RandomSite(rand.New(rand.NewPCG(uint64(i), 7))), practice.DefaultPractice())
		require.NoError(t, err)
		o := drawing.OwnerOptions{Open: float64(i%5) / 4, Inside: i%2 == 1, Figures: true}
		scene, err := drawing.OwnerViewScene(&made, o)
		require.NoError(t, err, "seed %d", i)
		require.NoError(t, scene.Validate(), "seed %d", i)
		sheet, err := draw.Layout(drawing.OwnerPlanScene(&made, o), draw.Phone(390, 0))
		require.NoError(t, err)
		require.Empty(t, draw.Overlaps(sheet), "seed %d", i)
	}
}

// No jargon and no figure in the drawings an owner sees.
func TestOwnerViewsHaveNoFigures(t *testing.T) {
	made := ownerSite(t)
	view, err := drawing.OwnerViewScene(&made, drawing.OwnerOptions{Open: 0.5, Figures: true})
	require.NoError(t, err)
	for _, s := range []*draw.Scene{view, drawing.OwnerPlanScene(&made, drawing.OwnerOptions{})} {
		for _, e := range s.Elements {
			switch e.(type) {
			case draw.Dimension, draw.LevelMark, draw.Peg:
				t.Errorf("%T in %s", e, s.Title)
			}
		}
	}
}

func BenchmarkOwnerView(b *testing.B) {
	made := ownerSite(b)
	for b.Loop() {
		scene, _ := drawing.OwnerViewScene(&made, drawing.OwnerOptions{Open: 0.5, Figures: true})
		view := draw.Phone(390, 0)
		view.Scale = 370 / scene.Bounds().Width()
		if _, err := draw.Render(scene, view, draw.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
