package engine

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/stages"
	"pegpour/engine/survey"
)

func eachRandomSite(t *testing.T, n int, check func(t *testing.T, s survey.Survey, plan plan.Plan, in stages.Inputs)) {
	t.Helper()
	p := practice.DefaultPractice()
	for i := range n {
		r := rand.New(rand.NewPCG(uint64(i), 7))
		s := enginetest.RandomSite(r)
		plan, err := Judge(s, p)
		require.NoError(t, err, "seed %d", i)
		in := stages.Resolve(survey.NewReader(&s, &p))
		check(t, s, plan, in)
		if t.Failed() {
			t.Fatalf("seed %d: %+v", i, s)
		}
	}
}

// Every corner, and every place along a side, of what stands or is poured
// beside the drive is off the drive.
func TestEverythingStandsOffTheDrive(t *testing.T) {
	eachRandomSite(t, 400, func(t *testing.T, s survey.Survey, made plan.Plan, in stages.Inputs) {
		for _, o := range made.Outlines {
			switch o.Kind {
			case plan.PartGuidePost, plan.PartBasePlate, plan.PartMotor, plan.PartPad, plan.PartRunBackStrip, plan.PartPostHole,
				plan.PartOutletPost:
			default:
				continue
			}
			for i, a := range o.Ring {
				b := o.Ring[(i+1)%len(o.Ring)]
				for f := 0.0; f < 1; f += 0.05 {
					x, y := a.X+(b.X-a.X)*f, a.Y+(b.Y-a.Y)*f
					if x < in.RunBackEdge.At(y)-1e-6 {
						t.Errorf("%s reaches %.3f over the drive at offset %.1f", o.ID, in.RunBackEdge.At(y)-x, y)
						return
					}
				}
			}
		}
	})
}

// The post touches the edge: no place nearer by a millimetre is clear.
func TestGuidePostTouchesTheEdge(t *testing.T) {
	eachRandomSite(t, 200, func(t *testing.T, s survey.Survey, made plan.Plan, in stages.Inputs) {
		post, ok := made.Part(plan.PartGuidePost, 1)
		if !ok || s.Gate.Guide != survey.GuideCastIn {
			return
		}
		low, high := post.Ring.Bounds()
		nearest := math.Inf(1)
		for y := low.Y; y <= high.Y; y += 0.5 {
			nearest = math.Min(nearest, low.X-in.RunBackEdge.At(y))
		}
		assert.Less(t, nearest, 0.6)
		assert.GreaterOrEqual(t, nearest, -1e-9)
		assert.InDelta(t, 170+s.Gate.Cladding.Size, low.Y, 1e-9)
	})
}

// Area by summing covered lengths over fine slices: a method of the tests' own.
func sliceArea(rings []geom.Polygon, step float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range rings {
		a, b := r.Bounds()
		low, high = math.Min(low, a.Y), math.Max(high, b.Y)
	}
	var area float64
	for y := low + step/2; y < high; y += step {
		type span struct{ a, b float64 }
		var spans []span
		for _, r := range rings {
			var xs []float64
			for i, p := range r {
				q := r[(i+1)%len(r)]
				if (p.Y > y) != (q.Y > y) {
					xs = append(xs, p.X+(y-p.Y)*(q.X-p.X)/(q.Y-p.Y))
				}
			}
			slices.Sort(xs)
			for i := 0; i+1 < len(xs); i += 2 {
				spans = append(spans, span{xs[i], xs[i+1]})
			}
		}
		slices.SortFunc(spans, func(p, q span) int { return int(math.Copysign(1, p.a-q.a)) })
		end := math.Inf(-1)
		for _, s := range spans {
			if from := math.Max(s.a, end); s.b > from {
				area += (s.b - from) * step
				end = s.b
			}
		}
	}
	return area
}

// Three ways to the same area: the engine's sweep, a general-purpose library's
// union, and fine slices.
func TestConcreteAreaThreeWays(t *testing.T) {
	eachRandomSite(t, 150, func(t *testing.T, s survey.Survey, plan plan.Plan, in stages.Inputs) {
		var rings []geom.Polygon
		for _, o := range plan.Outlines {
			if o.Concrete {
				rings = append(rings, o.Ring)
			}
		}
		var united float64
		for _, r := range plan.Poured {
			united += r.Area()
		}
		assert.InEpsilon(t, united, plan.Quantities.Area, 1e-9)
		assert.InEpsilon(t, sliceArea(rings, 0.5), plan.Quantities.Area, 2e-3)
	})
}

// The sum by parts is the sum by depth: every place is filled to the greatest
// depth asked of it, once.
func TestVolumeCountsNoOverlapTwice(t *testing.T) {
	eachRandomSite(t, 100, func(t *testing.T, s survey.Survey, plan plan.Plan, in stages.Inputs) {
		if plan.Quantities.Tinted > 0 || s.Drive.Surface == survey.SurfaceGravel {
			return // a crown or a sunken top is not a prism from the surface
		}
		const step = 5.0
		low, high := geom.Point{}, geom.Point{}
		for _, o := range plan.Outlines {
			a, b := o.Ring.Bounds()
			low, high = geom.Point{X: min(low.X, a.X), Y: min(low.Y, a.Y)}, geom.Point{X: max(high.X, b.X), Y: max(high.Y, b.Y)}
		}
		var volume float64
		for y := low.Y + step/2; y < high.Y; y += step {
			for x := low.X + step/2; x < high.X; x += step {
				deepest := 0.0
				for _, o := range plan.Outlines {
					if o.Concrete && o.Top == 0 && o.Depth > deepest && o.Ring.Contains(geom.Point{X: x, Y: y}) {
						deepest = o.Depth
					}
				}
				volume += deepest * step * step
			}
		}
		if plan.Quantities.Concrete == 0 || s.Drive.Surface == survey.SurfacePavers {
			return
		}
		assert.InEpsilon(t, volume, plan.Quantities.Concrete, 0.02)
	})
}

// Turning the hand changes nothing but the hand.
func TestHandOnlyMirrors(t *testing.T) {
	eachRandomSite(t, 100, func(t *testing.T, s survey.Survey, plan plan.Plan, in stages.Inputs) {
		plan, _ = Design(s, practice.DefaultPractice()) // with its remedies
		other := s
		other.Opening.Hand = map[string]string{survey.HandLeft: survey.HandRight,
			survey.HandRight: survey.HandLeft}[s.Opening.Hand]
		turned, err := Design(other, practice.DefaultPractice())
		require.NoError(t, err)
		assert.NotEqual(t, plan.Mirrored(), turned.Mirrored())
		turned.Hand = plan.Hand
		a, _ := json.Marshal(plan)
		b, _ := json.Marshal(turned)
		assert.JSONEq(t, string(a), string(b))
	})
}

// Deeper ground never needs less concrete.
func TestConcreteGrowsWithDepth(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide, s.Ground.Soil = survey.GuideCastIn, survey.SoilSoft
	last := 0.0
	for depth := 0.0; depth <= 1500; depth += 50 {
		s.Ground.DepthToFirm = survey.Measured(depth, survey.ByTape)
		plan := design(t, s)
		assert.GreaterOrEqual(t, plan.Quantities.Concrete, last)
		assert.Equal(t, math.Max(100, depth), value(t, plan, "foot.depth"))
		// Half a metre into firm ground by the trade, wherever that begins.
		trade, err := practice.DefaultPractice().With(map[string]float64{practice.RuleGuideHoleBy: 0})
		require.NoError(t, err)
		byTrade, err := Design(s, trade)
		require.NoError(t, err)
		assert.Equal(t, depth+500, value(t, byTrade, "guide.holeDepth"))
		assert.Equal(t, 500.0, byTrade.Strength.Guide.In)
		assert.Equal(t, depth+plan.Strength.Guide.In, value(t, plan, "guide.holeDepth"))
		assert.GreaterOrEqual(t, plan.Strength.Guide.In, plan.Strength.Guide.Embedment)
		last = plan.Quantities.Concrete
	}
}

// An edge leaning over the run-back pushes the post to the far end of its
// offsets, one leaning over the opening to the near end: hand calculation.
func TestAngledEdge_hand_calculation(t *testing.T) {
	for _, c := range []struct {
		degrees, post float64
	}{
		{90, 0}, {60, 235 / math.Tan(60*math.Pi/180)}, {120, 170 / math.Tan(120*math.Pi/180)}, {45, 235}, {135, -170},
	} {
		t.Run(fmt.Sprint(c.degrees), func(t *testing.T) {
			s := enginetest.SquareSite()
			s.Gate.Guide = survey.GuideCastIn
			s.Drive.RunBackEdge.Given, s.Drive.RunBackEdge.Angle = survey.EdgeAngle,
				survey.Measured(c.degrees*math.Pi/180, survey.ByTape)
			plan := design(t, s)
			assert.InDelta(t, c.post, value(t, plan, "guide.at"), 1e-6)
			// Two taped points of the same line give the same plan.
			s.Drive.RunBackEdge.Given = survey.EdgePoints
			s.Drive.RunBackEdge.Points = []survey.EdgePoint{
				{Along: survey.Measured(0, survey.ByTape), Offset: survey.Measured(0, survey.ByTape)},
				{Along: survey.Measured(2000/math.Tan(c.degrees*math.Pi/180), survey.ByTape),
					Offset: survey.Measured(2000, survey.ByTape)}}
			taped := design(t, s)
			assert.InDelta(t, c.post, value(t, taped, "guide.at"), 1e-6)
			assert.InEpsilon(t, plan.Quantities.Concrete, taped.Quantities.Concrete, 1e-9)
			for _, id := range []string{"leaf.tail", "leaf.guideRail", "pad.along"} {
				assert.InDelta(t, value(t, plan, id), value(t, taped, id), 1e-6, id)
			}
			// Where the post stands before the end of the opening the plan says so.
			var said bool
			for _, k := range plan.Checks {
				said = said || k.Code == "opening.guide"
			}
			assert.Equal(t, c.post < -0.5, said)
			if c.post < -0.5 {
				assert.Less(t, plan.Leaf.ClearStraight, 4000.0)
				assert.LessOrEqual(t, plan.Leaf.ClearStraight, 4000+c.post)
			}
		})
	}
}

// The tail and the guide rail reach exactly as far as they must: swept at fine
// steps the pinion is on the rack and both rollers in the rail at every place
// of the travel, and with less of either they are not.
func TestTravelBySweep(t *testing.T) {
	p := practice.DefaultPractice()
	eachRandomSite(t, 150, func(t *testing.T, s survey.Survey, plan plan.Plan, in stages.Inputs) {
		leaf := plan.Leaf
		sweep := func(rack, rail float64) bool {
			const e = 1e-6
			for i := 0; i <= 200; i++ {
				at := leaf.ShutAt + leaf.Travel*float64(i)/200
				if s.Gate.Motor != survey.MotorNone {
					if u := leaf.PinionAt - at; u < p.EngagementMargin-e || u > rack-p.EngagementMargin+e {
						return false
					}
				}
				near, far := leaf.RollersAt-p.RollerSpacing/2-at, leaf.RollersAt+p.RollerSpacing/2-at
				if near < p.EngagementMargin-e || far > rail-p.EngagementMargin+e {
					return false
				}
			}
			return true
		}
		assert.True(t, sweep(leaf.Frame+leaf.Tail, leaf.GuideRail))
		if leaf.Tail > 1 {
			assert.False(t, sweep(leaf.Frame+leaf.Tail-1, leaf.GuideRail))
		}
		if leaf.RailOver > 1 {
			assert.False(t, sweep(leaf.Frame+leaf.Tail, leaf.GuideRail-1))
		}
	})
}
