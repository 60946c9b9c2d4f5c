package engine

import (
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
)

var updateGolden = flag.Bool("update-drawings", false, "write the golden drawings anew")

// golden compares a drawing with the one that was looked at.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := "../testdata/drawings/" + name
	if *updateGolden {
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	if string(want) != string(got) {
		t.Errorf("%s has changed: look at it, then run with -update-drawings", name)
	}
}

// surfaces are sites that differ in what the strip lies in.
func surfaces() map[string]Survey {
	all := map[string]Survey{}
	site := func(name string, change func(*Survey)) {
		s := squareSite()
		s.Gate.Guide, s.Gate.Motor = GuideCastIn, MotorPlugIn
		change(&s)
		all[name] = s
	}
	site("concrete", func(s *Survey) { s.Drive.Surface, s.Drive.ConcreteSound = SurfaceConcrete, Yes })
	site("bitumen", func(s *Survey) { s.Drive.Surface, s.Gate.Guide = SurfaceBitumen, GuideBasePlate })
	site("gravel", func(s *Survey) { s.Drive.Surface = SurfaceGravel })
	site("pavers-over", func(s *Survey) {
		s.Drive.Surface, s.Drive.PaverBase, s.Drive.PaverMethod = SurfacePavers, PaverOnSand, PaverOver
		s.Drive.PaverThickness = Measured(60, ByTape)
		s.Gate.Cladding = Measured(20, ByTape)
	})
	site("earth", func(s *Survey) { s.Drive.Surface = SurfaceEarth })
	return all
}

func TestCrossSectionGolden(t *testing.T) {
	practice := DefaultPractice()
	for name, s := range surfaces() {
		plan, err := Design(s, practice)
		require.NoError(t, err, name)
		for _, cut := range CrossSections(&plan) {
			svg, err := draw.Render(CrossSectionScene(&plan, &practice, cut, SceneOptions{}), draw.Phone(390, 0), draw.Options{Standalone: true})
			require.NoError(t, err)
			golden(t, "cross-"+name+"-"+cut.ID+".svg", svg)
		}
	}
}

// The area of the concrete drawn, times its length, is the volume that is
// ordered for it: the drawing and the sum are of one and the same thing.
func TestCrossSectionAreaIsTheVolume(t *testing.T) {
	practice := DefaultPractice()
	for name, s := range surfaces() {
		plan, err := Design(s, practice)
		require.NoError(t, err)
		for _, cut := range CrossSections(&plan) {
			var want PartKind
			switch {
			case cut.ID == "runBack":
				want = PartRunBackStrip
			case cut.ID == "drive" && !plan.Site.CarriesTrack:
				want = PartDriveStrip
			default:
				continue
			}
			var area float64
			for _, e := range CrossSectionScene(&plan, &practice, cut, SceneOptions{}).Elements {
				if r, ok := e.(draw.Region); ok && r.ID == "cross."+cut.ID+".concrete" {
					for i, a := range r.Outer {
						b := r.Outer[(i+1)%len(r.Outer)]
						area += (a.X*b.Y - b.X*a.Y) / 2
					}
				}
			}
			for i := range plan.Quantities.Parts {
				part := &plan.Quantities.Parts[i]
				o, _ := plan.Part(want, 1)
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
	practice := DefaultPractice()
	bad := 0
	for i := range 200 {
		r := rand.New(rand.NewPCG(uint64(i), 7))
		plan, err := Design(randomSite(r), practice)
		require.NoError(t, err)
		for _, cut := range CrossSections(&plan) {
			scene := CrossSectionScene(&plan, &practice, cut, SceneOptions{})
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
	practice := DefaultPractice()
	plan, _ := Design(surfaces()["gravel"], practice)
	cut := CrossSections(&plan)[0]
	for b.Loop() {
		CrossSectionScene(&plan, &practice, cut, SceneOptions{})
	}
}
