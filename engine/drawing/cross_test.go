package drawing_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

func TestCrossSectionGolden(t *testing.T) {
	practice := practice.DefaultPractice()
	for name, s := range enginetest.Surfaces() {
		made, err := engine.Design(s, practice)
		require.NoError(t, err, name)
		for _, cut := range drawing.CrossSections(&made) {
			svg, err := draw.Render(drawing.CrossSectionScene(&made, &practice, cut, drawing.SceneOptions{}),
				draw.Phone(390, 0), draw.Options{Standalone: true})
			require.NoError(t, err)
			enginetest.Golden(t, "cross-"+name+"-"+cut.ID+".svg", svg)
		}
	}
}

// The area of the concrete drawn, times its length, is the volume that is
// ordered for it: the drawing and the sum are of one and the same thing.
func TestCrossSectionAreaIsTheVolume(t *testing.T) {
	practice := practice.DefaultPractice()
	for name, s := range enginetest.Surfaces() {
		made, err := engine.Design(s, practice)
		require.NoError(t, err)
		for _, cut := range drawing.CrossSections(&made) {
			var want plan.PartKind
			switch {
			case cut.ID == "runBack":
				want = plan.PartRunBackStrip
			case cut.ID == "drive" && !made.Site.CarriesTrack:
				want = plan.PartDriveStrip
			default:
				continue
			}
			var area float64
			for _, e := range drawing.CrossSectionScene(&made, &practice, cut, drawing.SceneOptions{}).Elements {
				if r, ok := e.(draw.Region); ok && r.ID == "cross."+cut.ID+".concrete" {
					for i, a := range r.Outer {
						b := r.Outer[(i+1)%len(r.Outer)]
						area += (a.X*b.Y - b.X*a.Y) / 2
					}
				}
			}
			for i := range made.Quantities.Parts {
				part := &made.Quantities.Parts[i]
				o, _ := made.Part(want, 1)
				if part.ID != o.ID {
					continue
				}
				low, high := o.Ring.Bounds()
				// The square site's strips are rectangles: volume over length.
				// The crown is drawn as a parabola in twelve parts: 0.7 % of it.
				assert.InEpsilon(t, part.Volume/part.Area*(high.Y-low.Y), math.Abs(area), 2e-3, "%s %s", name, cut.ID)
			}
		}
	}
}

// No text of a section is crossed by anything, on a phone or on paper.
func TestCrossSectionsKeepClear(t *testing.T) {
	practice := practice.DefaultPractice()
	bad := 0
	for i := range 200 {
		r := rand.New(rand.NewPCG(uint64(i), 7))
		made, err := engine.Design(enginetest.RandomSite(r), practice)
		require.NoError(t, err)
		for _, cut := range drawing.CrossSections(&made) {
			scene := drawing.CrossSectionScene(&made, &practice, cut, drawing.SceneOptions{})
			for _, v := range []draw.View{draw.Phone(390, 0), {Width: 180, Paper: true, Scale: 0.1, TextHeight: 3.2}} {
				sheet, err := draw.Layout(scene, v)
				require.NoError(t, err)
				for _, o := range draw.Overlaps(sheet) {
					t.Errorf("seed %d, section %s, paper %v: %s of %s and %s", i, cut.ID, v.Paper, o.What, o.A, o.B)
					bad++
				}
				if bad > 12 {
					t.FailNow()
				}
			}
		}
	}
}

func BenchmarkCrossSection(b *testing.B) {
	practice := practice.DefaultPractice()
	made, _ := engine.Design(enginetest.Surfaces()["gravel"], practice)
	cut := drawing.CrossSections(&made)[0]
	for b.Loop() {
		drawing.CrossSectionScene(&made, &practice, cut, drawing.SceneOptions{})
	}
}
