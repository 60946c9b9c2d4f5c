package drawing_test

import (
	"math"
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

// Drives whose edges come together further in than they were taped are drawn as well,
// on level and on sloping ground.
func TestOwnerViewsOfConvergingDrives(t *testing.T) {
	met := 0
	for i, s := range enginetest.RandomSites(300) {
		r := rand.New(rand.NewPCG(uint64(i), 5))
		edge := func(along, angle float64) survey.Edge {
			return survey.Edge{Given: survey.EdgeAngle, Along: survey.Measured(along, survey.ByTape),
				Angle: survey.Measured(angle, survey.ByPhone)}
		}
		s.Drive.RunBackEdge = edge(-500+800*r.Float64(), math.Pi/2+0.9*r.Float64())
		s.Drive.LatchEdge = edge(-500+1000*r.Float64(), math.Pi/2-0.9*r.Float64())
		if i%10 == 0 {
			s.Drive.RunBackEdge.Along = survey.Measured(-6000, survey.ByTape) // across the other already at the fence
		}
		made, err := engine.Design(s, practice.DefaultPractice())
		if err != nil {
			continue
		}
		met++
		for _, inside := range []bool{false, true} {
			o := drawing.OwnerOptions{Open: float64(i%3) / 2, Inside: inside, Figures: true}
			scene, err := drawing.OwnerViewScene(&made, o)
			require.NoError(t, err, "%d: %v %v", i, s.Drive.RunBackEdge, s.Drive.LatchEdge)
			require.NoError(t, scene.Validate(), "%d", i)
		}
		_, err = draw.Layout(drawing.OwnerPlanScene(&made, drawing.OwnerOptions{}), draw.Phone(390, 0))
		require.NoError(t, err, "%d", i)
	}
	require.Greater(t, met, 200)
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

// The leaf is shown as it is filled: lying parts lie, upright ones stand, a sheet is
// one piece, mesh both ways, and an empty frame stays empty.
func TestOwnerSeesTheInfill(t *testing.T) {
	cladding := func(s survey.Survey) (lying, upright, whole int) {
		made, err := engine.Design(s, practice.DefaultPractice())
		require.NoError(t, err)
		scene, err := drawing.OwnerViewScene(&made, drawing.OwnerOptions{})
		require.NoError(t, err)
		for _, e := range scene.Elements {
			r, ok := e.(draw.Region)
			if !ok || r.ID != "owner.cladding" || len(r.Outer) == 0 {
				continue
			}
			low, high := r.Outer[0], r.Outer[0]
			for _, q := range r.Outer {
				low, high = draw.Pt(min(low.X, q.X), min(low.Y, q.Y)), draw.Pt(max(high.X, q.X), max(high.Y, q.Y))
			}
			switch wide, tall := high.X-low.X, high.Y-low.Y; {
			case wide > 1500 && tall > 1200 && len(r.Holes) == 0 && area(r.Outer) > 1.5e6:
				whole++
			case wide > 1000 && area(r.Outer) < 500*wide:
				lying++
			case tall > 1000 && wide < 300:
				upright++
			}
		}
		return lying, upright, whole
	}
	for _, clad := range []float64{0, 25} {
		for _, kind := range []string{survey.InfillBattens, survey.InfillBoards, survey.InfillUprights, survey.InfillSheet,
			survey.InfillMesh, survey.InfillOpen} {
			s := enginetest.SquareSite()
			s.Gate.Cladding, s.Gate.Infill = survey.Measured(clad, survey.ByTape), kind
			s.Gate.Height = survey.Measured(1800, survey.ByTape)
			lying, upright, whole := cladding(s)
			t.Logf("%s %v: %d lying, %d upright, %d whole", kind, clad, lying, upright, whole)
			require.Equal(t, kind == survey.InfillBattens || kind == survey.InfillMesh, lying >= 5, kind)
			require.Equal(t, kind == survey.InfillBoards || kind == survey.InfillUprights || kind == survey.InfillMesh,
				upright >= 10, kind)
			require.Equal(t, kind == survey.InfillSheet, whole > 0, kind)
		}
	}
}

func area(ring draw.Ring) float64 {
	sum := 0.0
	for i, q := range ring {
		next := ring[(i+1)%len(ring)]
		sum += q.X*next.Y - next.X*q.Y
	}
	return math.Abs(sum) / 2
}

// What a car drives through is the gate or the drive, whichever is narrower, square to
// the way it goes.
func TestOwnerIsToldTheNarrower(t *testing.T) {
	told := func(s survey.Survey) string {
		made, err := engine.Design(s, practice.DefaultPractice())
		require.NoError(t, err)
		return drawing.OwnerFacts(&made)[1].String()
	}
	s := enginetest.SquareSite()
	require.NotContains(t, told(s), "narrower")
	s.Opening.Width = survey.Measured(3600, survey.ByTape)
	s.Drive.RunBackEdge.Along = survey.Measured(-88, survey.ByTape)
	s.Drive.LatchEdge.Along = survey.Measured(100, survey.ByTape)
	require.Contains(t, told(s), "3412")
	require.Contains(t, told(s), "the drive is narrower than the gate")
	// Both edges lean by half a right angle's third: 3412 · sin 60°.
	lean := survey.Measured(math.Pi/3, survey.ByPhone)
	for _, e := range []*survey.Edge{&s.Drive.RunBackEdge, &s.Drive.LatchEdge} {
		e.Given, e.Angle = survey.EdgeAngle, lean
	}
	require.Contains(t, told(s), "2955")
	// Edges taped by points that come closer further in.
	s.Drive.LatchEdge = survey.Edge{Given: survey.EdgeSquare, Along: survey.Measured(0, survey.ByTape)}
	at := func(along, offset float64) survey.EdgePoint {
		return survey.EdgePoint{Along: survey.Measured(along, survey.ByTape), Offset: survey.Measured(offset, survey.ByTape)}
	}
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgePoints, Points: []survey.EdgePoint{at(0, 0), at(0, 700), at(-600, 1000),
		at(-600, 3000)}}
	require.Contains(t, told(s), "2873") // 3000 · cos of 300 in 1000
}
