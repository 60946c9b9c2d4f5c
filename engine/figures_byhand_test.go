package engine_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/storage/demo"
)

// TestFiguresByHand holds figures of the demo sites against sums made from the
// readings and the shop's usual sizes, without the engine's own steps.
func TestFiguresByHand(t *testing.T) {
	// The site on a drive that falls: what the levels alone decide.
	falls := planOf(t, 4)
	grade, rises := falls.value("track.grade"), planOf(t, 5).value("track.grade")
	drive := math.Atan2(1400, 575-60) // the direction of the angled drive
	cases := []struct {
		site   int // from 0
		figure string
		want   float64
		within float64
		sum    string
	}{
		{0, "leaf.rack", 4210, 1e-9, "frame 4100, tail 110"},
		{0, "leaf.travel", 4050, 1e-9, "from −50 to 4000"},
		{0, "leaf.clearStraight", 4000, 1e-9, "post to post"},
		{0, "leaf.clearAlong", 4000, 1e-9, "square drive"},
		{1, "leaf.clearAlong", 4350*math.Sin(drive) - 245*math.Cos(drive), 1e-6,
			"across the drive, from the front of a post 100 deep to the back of the leaf at 145"},
		{0, "strip.end", 4000 + 4000 + 400, 1e-9, "twice the opening and 400"},
		{0, "motor.at", 0, 1e-9, "no post in the ground and a square drive"},
		{1, "motor.at", 60 + 255*515./1400 + 65 + 40, 1e-6, "edge at the back of the post, post, gap"},
		{1, "guide.setback", 170 + 20, 1e-9, "setback and cladding"},
		{2, "drive.stripWidth", 300, 1e-9, "rule for gravel"},
		{7, "drive.stripWidth", 300 + 100, 1e-9, "and a track more"},
		{7, "panels.pitch", 80 + 20, 1e-9, "pitch and cladding"},
		{7, "panels.1.travel", 50 + 4400, 1e-9, "leading panel"},
		{7, "panels.2.travel", 4400 - (-50 + 2325 - 150), 1e-9, "second panel stands a panel less its overlap further"},
		{7, "leaf.frame", (4400 + 100 + 150) / 2., 1e-9, "two panels share it"},
		{4, "leaf.rise", 4300 * grade, 1e-6, "frame × grade"},
		{5, "leaf.rise", 3700 * rises, 1e-6, "frame × grade"},
		{4, "leaf.cutOff", math.Abs(math.Atan(grade)), 1e-12, "slope of the track"},
		{4, "leaf.guideRailCut", 4402.5 * math.Hypot(1, grade), 1e-6, "along the slope"},
		{4, "leaf.rackCut", 4515 * math.Hypot(1, grade), 1e-6, "along the slope"},
		{4, "pad.highest", falls.value("track.start") + grade*4435 + 120 - 85, 1e-6,
			"strip at the pinion, rack, pinion at its lowest"},
		{4, "pad.lowest", falls.pad().Water, 1e-9, "the water decides"},
		{4, "pad.depth", 100 + falls.pad().Level - (falls.value("track.start") + grade*(falls.padRing().Low+falls.padRing().High)/2 +
			falls.value("track.crossFall")*(300-100)), 0.5,
			"the strip's depth, and how far the level top stands over the track's plane in the middle of what lies behind the strip"},
		{4, "pad.stepNear", falls.pad().Level - falls.strip(falls.padRing().Low), 1e-6, "pad less strip at its near end"},
		{4, "pad.stepFar", falls.pad().Level - falls.strip(falls.padRing().High), 1e-6, "pad less strip at its far end"},
	}
	for _, c := range cases {
		t.Run(fmt.Sprintf("site %d %s", c.site+1, c.figure), func(t *testing.T) {
			assert.InDelta(t, c.want, planOf(t, c.site).value(c.figure), c.within, c.sum)
		})
	}
}

// The parts of the cut make its sum, and what sections give agrees with what
// the surfaces give: two independent ways.
func TestCutByTwoWays(t *testing.T) {
	p := planOf(t, 5)
	f, ok := p.Figure("cut.volume")
	require.True(t, ok)
	require.Len(t, f.How.Args, 4)
	sections, surfaces := f.How.Args[0].Value, f.How.Args[1].Value
	assert.InDelta(t, f.Value, sections+f.How.Args[2].Value+f.How.Args[3].Value, 1)
	assert.InEpsilon(t, surfaces, sections, 0.002)
	assert.Greater(t, sections, 1e8)
}

// The leaf hangs on its two wheels: what they carry is its weight, and the
// moments about the front wheel give the rear one.
func TestWheelsByStatics(t *testing.T) {
	for _, site := range []int{0, 1, 2, 3} {
		p := planOf(t, site)
		weight := p.value("leaf.mass") * 9.80665
		front, rear := p.value("leaf.wheel.1"), p.value("leaf.wheel.2")
		assert.InEpsilon(t, weight, front+rear, 1e-9)
		centre, span := p.value("leaf.centre"), p.value("leaf.frame")-2*300
		assert.InEpsilon(t, weight*(centre-300)/span, rear, 1e-9)
	}
}

type designed struct {
	plan.Plan
	t *testing.T
}

func planOf(t *testing.T, site int) designed {
	t.Helper()
	plan, err := engine.Design(demo.Sites()[site].Survey, practice.DefaultPractice())
	require.NoError(t, err)
	return designed{plan, t}
}

func (d designed) value(figure string) float64 {
	d.t.Helper()
	f, ok := d.Figure(figure)
	require.True(d.t, ok, figure)
	return f.Value
}

func (d designed) pad() *plan.PadLevel {
	d.t.Helper()
	require.NotNil(d.t, d.Ground)
	require.NotNil(d.t, d.Ground.Pad)
	return d.Ground.Pad
}

// strip is the level of the strip's back edge, by the grade and the cross-fall.
func (d designed) strip(chainage float64) float64 {
	return d.value("track.start") + d.value("track.grade")*chainage + d.value("track.crossFall")*(200-100)
}

// padRing is the pad's reach along the fence, at the back of the strip.
func (d designed) padRing() (reach struct{ Low, High float64 }) {
	reach.Low, reach.High = math.Inf(1), math.Inf(-1)
	for _, o := range d.Outlines {
		if o.ID == "pad" {
			for _, p := range o.Ring {
				reach.Low, reach.High = math.Min(reach.Low, p.X), math.Max(reach.High, p.X)
			}
		}
	}
	return reach
}
