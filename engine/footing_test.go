package engine

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/motion"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/stages"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
)

func footing(t *testing.T, s survey.Survey) (plan.Plan, *plan.Footing) {
	t.Helper()
	plan := design(t, s)
	require.NotNil(t, plan.Footing)
	return plan, plan.Footing
}

// barOf is a bar that no formula refuses.
func barOf(t *testing.T, p *practice.Practice, laid string, wheel, length, wheelBase float64) plan.BarCase {
	t.Helper()
	c, err := stages.BarCase(p, laid, wheel, p.FootPush, length, wheelBase)
	require.NoError(t, err)
	return c
}

// beam-midspan of testdata/references/steel.json: 2000 N in the middle of 1 m
// of a 100 × 25 flat bends it by 0.5 kN·m and 1.6 mm.
func TestFootingBar_beam_midspan(t *testing.T) {
	p := practice.DefaultPractice()
	p.FootPush, p.FootSpanOver = 0, 100
	c := barOf(t, &p, survey.BarFlat, 2000, 1000, 5000)
	require.Equal(t, 1, c.Spans)
	own := 100 * 25 * 7850e-9 * 9.80665
	assert.InEpsilon(t, 500000, c.Moment-own*1e6/8, 1e-9)
	inertia := 100 * 25 * 25 * 25 / 12.0
	assert.InEpsilon(t, 1.6, c.Deflection-5*own*1e12/(384*200000*inertia), 1e-6)
	// On edge the same bar is (100/25)² = 16 times as stiff, 4 times as strong.
	e := barOf(t, &p, survey.BarOnEdge, 2000, 1000, 5000)
	assert.InEpsilon(t, c.Deflection/16, e.Deflection, 1e-9)
	assert.InEpsilon(t, c.Stress/4, e.Stress, 1e-9)
}

// The closed forms give the spacing that the rolling train gives, both ways of
// laying the bar, whichever of stress and deflection sets it.
func TestFootingSpacingAgainstRollingTrain(t *testing.T) {
	by := map[string]int{}
	for i := range 40 {
		r := rand.New(rand.NewPCG(uint64(i), 5))
		p := practice.DefaultPractice()
		p.FootPush, p.FootSag, p.FootSpacingMost = 0, 20, 3000
		p.BarThickness = 12 + 18*r.Float64()
		p.FootSpanOver = 150 + 400*r.Float64()
		p.FootYield = 200 + 200*r.Float64()
		wheel := 800 + 3000*r.Float64()
		for _, laid := range []string{survey.BarFlat, survey.BarOnEdge} {
			c := barOf(t, &p, laid, wheel, 4000, 3500)
			section, _, err := stages.BarSection(&p, laid)
			require.NoError(t, err)
			got, err := steel.Spacing{Section: section, Elasticity: steel.LowElasticity, Allowable: p.FootYield / p.FootSafety,
				SpanOver: p.FootSpanOver,
				Wheels:   []steel.Wheel{{Load: wheel}, {Behind: 3500, Load: wheel}}, Least: 50, Most: 3000}.Widest()
			require.NoError(t, err)
			assert.InDelta(t, got.Span, c.Widest, 1.5, "case %d %s", i, laid)
			by[c.SetBy.String()]++
			m, err := steel.Bar{Spans: []float64{c.Spacing}, Elasticity: steel.LowElasticity, Inertia: section.InertiaVertical,
				Uniform: section.Mass(1) * motion.Gravity}.
				Moving([]steel.Wheel{{Load: wheel}, {Behind: 3500, Load: wheel}})
			require.NoError(t, err)
			assert.InEpsilon(t, m.Sagging, c.Moment, 2e-4)
			assert.InEpsilon(t, m.Deflection, c.Deflection, 2e-4)
		}
	}
	assert.Greater(t, by["deflection"], 5)
	assert.Greater(t, by["stress"]+by["practice"], 5)
}

// A footing by hand: drive edge at 4000, bracket on the gate post, no motor, so
// no pad; the ground 300 down at the edge and 1 in 8 from there.
func TestFootingByHand(t *testing.T) {
	s := enginetest.FallingSite()
	s.Gate.Motor = survey.MotorNone
	made, f := footing(t, s)
	leaf := made.Leaf
	assert.Equal(t, 4000.0, f.From)
	// The last post under the end of the stop, beyond the last wheel.
	first, last := f.Posts[0], f.Posts[len(f.Posts)-1]
	assert.InDelta(t, 4000+125, first.Chainage, 1e-9)
	assert.InDelta(t, leaf.RearOpen+60, last.Chainage, 1e-6)
	assert.Greater(t, last.Chainage, leaf.OpenAt+leaf.Panels[0].Wheels[1].At)
	for i, q := range f.Posts {
		assert.InDelta(t, 300+(q.Chainage-4000)/8-25, q.Above, 1, i)
		assert.InDelta(t, q.Above+q.Depth, q.Length, 1e-9)
		assert.False(t, q.Above < 0)
		if i > 0 {
			assert.InDelta(t, f.Spacing, q.Chainage-f.Posts[i-1].Chainage, 1e-6)
		}
	}
	assert.LessOrEqual(t, f.Spacing, f.Flat.Widest)
	_, strip := made.Part(plan.PartRunBackStrip, 1)
	assert.False(t, strip, "no concrete strip in the run-back")
	// Holes: a square each, 250 wide, no two share ground.
	volume := 0.0
	for _, q := range f.Posts {
		volume += 250 * 250 * q.Depth
	}
	assert.InEpsilon(t, volume, made.Quantities.Concrete, 1e-9)
	assert.InEpsilon(t, volume, made.Quantities.DigBank, 1e-9)
	// Bar: 100 × 25 × 7850 kg/m³ = 19.625 kg/m.
	for _, c := range made.Steel.Cuts {
		if c.Mark == "Footing bar" {
			assert.InEpsilon(t, 19.625*c.Length/1000, c.Mass, 1e-9)
			assert.InDelta(t, last.Chainage+25-4000, c.Length, 1e-6)
		}
	}
}

// Holes hold the push by IBC 1807.3.2.1, and 50 less would not, unless it is
// the least depth.
func TestFootingHoles_IBC_18_1(t *testing.T) {
	clay, _ := soil.ClassOf("clay")
	p := practice.DefaultPractice()
	deeper := 0
	for _, step := range []float64{-100, -400, -900, -1400} {
		s := enginetest.FallingSite()
		s.Ground.Levels.BankStep = survey.Measured(step, survey.ByTape)
		made, f := footing(t, s)
		for _, q := range f.Posts {
			e := soil.EmbeddedPost{Height: q.Above + f.Deep/math.Cos(made.Leaf.Slope), Width: 250 * math.Sqrt2, Factor: 1,
				Lateral: clay.Lateral * leftOfClay(math.Atan(0.125))} // the bank of the site falls away before it
			holds, err := e.NonconstrainedCapacity(q.Depth)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, holds, q.Push*(1-1e-6))
			if q.Depth > p.FootEmbed {
				deeper++
				less, err := e.NonconstrainedCapacity(q.Depth - 50)
				require.NoError(t, err)
				assert.Less(t, less, q.Push)
			}
		}
	}
	assert.Greater(t, deeper, 4)
}

// A pad on concrete carries the near end of the bar and goes down to the ground;
// on steel nothing but holes is poured.
func TestFootingPad(t *testing.T) {
	s := enginetest.FallingSite()
	s.Gate.Guide = survey.GuideCastIn
	made, f := footing(t, s)
	pad, ok := made.Part(plan.PartPad, 1)
	require.True(t, ok)
	assert.True(t, f.OnPad)
	_, high := pad.Ring.Bounds()
	assert.InDelta(t, high.X-100, f.From, 1e-9)
	// 300 and 1 in 8 from the edge, carried out square to the fence.
	assert.InDelta(t, 300+(high.X-4000)/8, f.PadDrop, 3)
	assert.Greater(t, pad.Depth, 100+300.0)
	hole, _ := made.Part(plan.PartPostHole, 1)
	in := made.Strength.Guide.In
	assert.GreaterOrEqual(t, in, 500.0)
	assert.InDelta(t, in+f.PadDrop, hole.Depth, 1e-6)
	for _, q := range made.Quantities.Parts {
		if q.ID == "hole" {
			assert.InDelta(t, hole.Deep(), q.Depth, 1e-6, "its own depth, from the top of the pad")
			assert.InEpsilon(t, (in-100)*hole.Area, q.Volume, 1e-6, "below the pad, as on level ground")
		}
	}
	assert.Less(t, made.Quantities.DigBank, made.Quantities.Concrete, "the pad stands above the ground")

	s.Gate.PadOn = survey.PadSteel
	made, f = footing(t, s)
	_, ok = made.Part(plan.PartPad, 1)
	assert.False(t, ok)
	_, ok = made.Part(plan.PartPadPlate, 1)
	assert.True(t, ok)
	under := 0
	for _, q := range f.Posts {
		if q.Panel == 0 {
			under++
		}
	}
	assert.Equal(t, 4, under)
}

// Random falling sites: what is built keeps stress and deflection, reaches
// under every wheel, stands on the ground, and costs what its parts cost.
func TestFootingProperties(t *testing.T) {
	stops := map[string]int{}
	for i := range 250 {
		r := rand.New(rand.NewPCG(uint64(i), 77))
		s := enginetest.RandomFallingSite(r)
		p := practice.DefaultPractice()
		made, err := Design(s, p)
		require.NoError(t, err)
		SoundPlan(t, &made)
		f := made.Footing
		require.NotNil(t, f)
		built := f.Flat
		if f.Laid == survey.BarOnEdge {
			built = f.OnEdge
		}
		if built.Feasible {
			assert.LessOrEqual(t, built.Stress, built.Allowable*(1+1e-6))
			assert.LessOrEqual(t, built.Deflection, built.Limit*(1+1e-6))
			assert.LessOrEqual(t, built.Spacing, built.Widest+1e-6)
		}
		in := stages.Resolve(survey.NewReader(&s, &p))
		lastWheel := made.Leaf.OpenAt + made.Leaf.Panels[0].Wheels[1].At
		byPanel := map[int]float64{}
		for _, q := range f.Posts {
			byPanel[q.Panel] = math.Max(byPanel[q.Panel], q.Chainage)
			drop, _ := stages.DropOff(made.Ground, p.TrackBand, q.Chainage, q.Offset)
			assert.LessOrEqual(t, q.Above, math.Max(0, drop))
			if q.Panel > 0 {
				assert.GreaterOrEqual(t, q.Chainage-p.FootHole/2, in.RunBackEdge.At(q.Offset)-1e-6, "a hole under the drive")
			}
		}
		for panel := 1; panel <= len(made.Leaf.Panels); panel++ {
			assert.Greater(t, byPanel[panel], lastWheel)
		}
		for _, line := range made.Track.Lines {
			assert.GreaterOrEqual(t, f.To, line.End-1e-6)
		}
		mass := 0.0
		for _, c := range made.Steel.Cuts {
			mass += c.Mass
		}
		if o, ok := made.Part(plan.PartPadPlate, 1); ok {
			mass += o.Area * p.PadPlate * 7850e-9
		}
		assert.InEpsilon(t, mass, made.Steel.Mass, 1e-9)
		for _, c := range made.Checks {
			if c.Severity == plan.Stop {
				stops[c.Code]++
			}
		}
		if t.Failed() {
			t.Fatalf("seed %d", i)
		}
	}
	t.Log(stops)
}

// Where holes run into each other every place is dug once, to the greatest
// depth asked of it: counted here in squares of 5 mm.
func TestFootingHolesCountedOnce(t *testing.T) {
	s := enginetest.FallingSite()
	s.Gate.Guide, s.Gate.PadOn = survey.GuideCastIn, survey.PadSteel
	made, _ := footing(t, s)
	var holes []plan.Outline
	for _, o := range made.Outlines {
		if o.Kind == plan.PartFootingHole || o.Kind == plan.PartPostHole {
			holes = append(holes, o)
		}
	}
	const step = 5.0
	sum, shared := 0.0, 0
	for x := 3800 + step/2; x < 9000; x += step {
		for y := -100 + step/2; y < 800; y += step {
			deepest, n := 0.0, 0
			for _, o := range holes {
				low, high := o.Ring.Bounds()
				if x > low.X && x < high.X && y > low.Y && y < high.Y {
					deepest = math.Max(deepest, o.Depth)
					n++
				}
			}
			sum += deepest * step * step
			if n > 1 {
				shared++
			}
		}
	}
	assert.Greater(t, shared, 100)
	assert.InEpsilon(t, sum, made.Quantities.Concrete, 0.01)
}

// A steeper bank never makes a post shorter, a heavier leaf never the spacing
// wider.
func TestFootingMonotone(t *testing.T) {
	last := 0.0
	for step := 0.0; step <= 1500; step += 100 {
		s := enginetest.FallingSite()
		s.Ground.Levels.BankStep = survey.Measured(-step, survey.ByTape)
		_, f := footing(t, s)
		sum := 0.0
		for _, q := range f.Posts {
			sum += q.Length
		}
		assert.GreaterOrEqual(t, sum, last)
		last = sum
	}
	p := practice.DefaultPractice()
	widest := math.Inf(1)
	for wheel := 200.0; wheel < 6000; wheel += 200 {
		c := barOf(t, &p, survey.BarFlat, wheel, 4000, 3500)
		assert.LessOrEqual(t, c.Widest, widest)
		widest = c.Widest
	}
}

func TestFootingHandOnlyMirrors(t *testing.T) {
	for i := range 20 {
		s := enginetest.RandomFallingSite(rand.New(rand.NewPCG(uint64(i), 78)))
		s.Opening.Hand = survey.HandRight
		a, err := Design(s, practice.DefaultPractice())
		require.NoError(t, err)
		s.Opening.Hand = survey.HandLeft
		b, err := Design(s, practice.DefaultPractice())
		require.NoError(t, err)
		b.Hand = a.Hand
		one, _ := json.Marshal(a)
		two, _ := json.Marshal(b)
		assert.JSONEq(t, string(one), string(two))
	}
}

// Ground that was not levelled gives a footing without post lengths, and a Stop.
func TestFootingWithoutLevels(t *testing.T) {
	s := enginetest.SquareSite()
	s.Ground.Shape = survey.GroundFalls
	made := design(t, s)
	require.NotNil(t, made.Footing)
	assert.False(t, made.Footing.Levelled)
	_, ok := made.Figure("footing.post.1")
	assert.False(t, ok)
	stop := false
	for _, c := range made.Checks {
		stop = stop || c.Severity == plan.Stop && c.Field == survey.GroundLevelsTaken
	}
	assert.True(t, stop)
}

// The cutting plan holds every piece once, within the stock.
func TestSteelNest(t *testing.T) {
	for i := range 12 {
		s := enginetest.RandomFallingSite(rand.New(rand.NewPCG(uint64(i), 79)))
		plan, err := Design(s, practice.DefaultPractice())
		require.NoError(t, err)
		nests, err := plan.Steel.Nest()
		require.NoError(t, err)
		require.Len(t, nests, len(plan.Steel.Sections))
		for k, n := range nests {
			used := 0.0
			for _, bar := range n.Bars {
				sum := bar.Saw + bar.Offcut
				for _, c := range bar.Cuts {
					sum += c.Length
					used += c.Length
				}
				assert.InDelta(t, bar.Stock, sum, 1e-6)
			}
			assert.InDelta(t, plan.Steel.Sections[k].Length, used, float64(plan.Steel.Sections[k].Pieces),
				strconv.Itoa(i)+n.Section.String())
		}
	}
}

func BenchmarkDesignFalling(b *testing.B) {
	s := enginetest.RandomFallingSite(rand.New(rand.NewPCG(4, 78)))
	s.Gate.Panels = survey.PanelsThree
	p := practice.DefaultPractice()
	b.ReportAllocs()
	for b.Loop() {
		_, _ = Design(s, p)
	}
}

// The sideways push bends the bar the other way: both stresses add up.
func TestFootingBarPushedSideways(t *testing.T) {
	p := practice.DefaultPractice()
	c := barOf(t, &p, survey.BarFlat, 1500, 1000, 3500)
	require.Equal(t, 1, c.Spans)
	// 100 × 25 flat: W = 100·25²/6 for the wheel, 25·100²/6 for the push of 500 N.
	assert.InEpsilon(t, c.Moment/(100*625/6.0)+500*1000/4/(25*10000/6.0), c.Stress, 1e-9)
	plan, f := footing(t, enginetest.FallingSite())
	most := 0.0
	for _, w := range plan.Leaf.Panels[0].Wheels {
		most = math.Max(most, w.Most)
	}
	assert.InEpsilon(t, 1.25*most, f.Wheel, 1e-12)
}

// A post by hand: load with its eccentricity and the push, amplified, and the
// pressure under its hole.
func TestFootingPostByHand(t *testing.T) {
	made, f := footing(t, enginetest.FallingSite())
	q := f.Posts[len(f.Posts)-1]
	assert.Equal(t, made.Strength.Guide.Wheel, q.Push, "the wind on the open leaf, not a person who leans on it")
	lever := q.Above + 25/math.Cos(made.Leaf.Slope) // to the top of the bar
	tube, err := steel.Hollow(50, 50, 3)
	require.NoError(t, err)
	radius := math.Sqrt(tube.InertiaVertical / tube.Area)
	euler := math.Pi * math.Pi * 200000 / math.Pow(2*q.Above/radius, 2) // MPa
	require.Less(t, 250/euler, 2.25)
	critical := math.Pow(0.658, 250/euler) * 250
	// The same moment all along, which a load off the axis gives: the worst.
	amplifier := 1 / math.Cos(math.Pi/2*math.Sqrt(1.67*q.Load/(euler*tube.Area)))
	bending := (q.Load*10 + q.Push*lever) / tube.ModulusVertical
	assert.InEpsilon(t, 1.67*q.Load/tube.Area/critical+bending*amplifier*1.67/250, q.Use, 1e-9)
	assert.InEpsilon(t, q.Push*math.Pow(lever, 3)/(3*200000*tube.InertiaVertical), q.Sway, 1e-9)
	// 1500 psf on 250 × 250.
	assert.InEpsilon(t, q.Load/(1500*47.880259e-6*250*250), q.BearingUse, 1e-6)
	assert.InEpsilon(t, f.Wheel+19.625*f.Spacing/1000*9.80665, q.Load, 1e-9)
}

// Soft ground is dug through before a hole counts, and the push acts so much
// higher above the ground that holds the post: 2.34·P·(d + 1.09·h)/(S1·b) = d².
func TestFootingInSoftGround(t *testing.T) {
	s := enginetest.FallingSite()
	_, firm := footing(t, s)
	s.Ground.Soil, s.Ground.DepthToFirm = survey.SoilSoft, survey.Measured(400, survey.ByTape)
	_, soft := footing(t, s)
	require.Len(t, soft.Posts, len(firm.Posts))
	// 100 psf/ft at a third of the depth, MPa per mm, of which the bank leaves a part.
	s1 := 100 * 47.880259e-6 / 304.8 / 3 * leftOfClay(math.Atan(0.125))
	for _, q := range soft.Posts {
		into := q.Depth - 400
		needs := func(d float64) float64 {
			return 2.34 * q.Push * (d + 1.09*(q.Above+25+400)) / (s1 * d * 250 * math.Sqrt2)
		}
		assert.GreaterOrEqual(t, into*into, needs(into)*(1-1e-4))
		assert.Less(t, (into-50)*(into-50), needs(into-50))
	}
	assert.Greater(t, soft.Posts[0].Depth, firm.Posts[0].Depth+400)
}

// A guide post cast into falling ground stands taller by what the ground falls.
func TestFootingGuidePostStandsTaller(t *testing.T) {
	s := enginetest.FallingSite()
	s.Gate.Guide, s.Gate.PadOn = survey.GuideCastIn, survey.PadConcrete
	onPad, _ := footing(t, s)
	s.Gate.PadOn = survey.PadSteel
	inGround, _ := footing(t, s)
	require.NotNil(t, onPad.Strength)
	require.NotNil(t, inGround.Strength)
	assert.InDelta(t, 300, inGround.Strength.Guide.Height-onPad.Strength.Guide.Height, 40)
}
