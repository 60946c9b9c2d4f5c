package engine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// tapedPair is a pair of 8 m with everything taped to everything: both posts, two helping
// pegs, and corners of what stands on either side.
func tapedPair(corners map[string]map[string]geom.Point) survey.Survey {
	s := enginetest.SquareSite()
	s.Opening.Width, s.Drive.LatchEdge.Along = survey.Measured(8000, survey.ByTape), survey.Measured(0, survey.ByTape)
	s = enginetest.Paired(s)
	type peg struct {
		name, role, thing string
		at                geom.Point
	}
	pegs := []peg{{"L", survey.PegLatch, "", geom.Point{}}, {"R", survey.PegRunBack, "", geom.Point{X: 8000}},
		{"A", survey.PegPlain, "", geom.Point{X: 1500, Y: 3000}}, {"B", survey.PegPlain, "", geom.Point{X: 7000, Y: 2800}}}
	for _, thing := range []string{"kerb", "tree"} {
		for _, name := range []string{"1", "2", "3"} {
			if at, ok := corners[thing][name]; ok {
				pegs = append(pegs, peg{thing + name, survey.PegCorner, thing, at})
			}
		}
	}
	for i, p := range pegs {
		s.Network.Pegs = append(s.Network.Pegs, survey.NetworkPeg{Name: p.name, Role: p.role, Thing: p.thing,
			Along: survey.Measured(p.at.X, survey.ByEstimate), Offset: survey.Measured(p.at.Y, survey.ByEstimate)})
		for _, q := range pegs[:i] {
			s.Network.Tapes = append(s.Network.Tapes, survey.NetworkTape{From: q.name, To: p.name,
				Length: survey.Measured(math.Hypot(p.at.X-q.at.X, p.at.Y-q.at.Y), survey.ByTape)})
		}
	}
	return s
}

func standsIn(made *plan.Plan, name string) geom.Polygon {
	for i := range made.Site.Obstructions {
		if o := &made.Site.Obstructions[i]; string(o.Name) == name {
			return o.Box
		}
	}
	return nil
}

// What a tape network outlines reaches the checks of the side on which it stands, in its
// own outline and not the box about it.
func TestNetworkReachesBothSides(t *testing.T) {
	p := practice.DefaultPractice()
	// Each outline keeps clear of the leaf, and the box about it does not.
	clear := map[string]map[string]geom.Point{
		"tree": {"1": {X: 9500, Y: 900}, "2": {X: 10500, Y: 900}, "3": {X: 16500, Y: 110}},
		"kerb": {"1": {X: -1500, Y: 900}, "2": {X: -2500, Y: 900}, "3": {X: -8500, Y: 110}}}
	made, err := Design(tapedPair(clear), p)
	require.NoError(t, err)
	for i, name := range []string{"tree", "kerb"} {
		side := made.Sides()[i]
		ring := standsIn(side.Plan, name)
		require.Len(t, ring, 3, name)
		whole := standsIn(&made, name)
		require.Len(t, whole, 3, name)
		for _, at := range clear[name] {
			near, far := math.Inf(1), math.Inf(1)
			for k := range ring {
				near = math.Min(near, math.Hypot(side.At(ring[k].X)-at.X, ring[k].Y-at.Y))
				far = math.Min(far, math.Hypot(whole[k].X-at.X, whole[k].Y-at.Y))
			}
			assert.Less(t, near, 0.5, "%s at %v", name, at)
			assert.Less(t, far, 0.5, "%s at %v", name, at)
		}
	}
	assert.Nil(t, pairCheck(&made, plan.QuestionObstructionLeaf), "the outlines keep clear")
	assert.NotNil(t, pairCheck(&made, plan.QuestionNetworkFits))

	// A corner in the way of a leaf stops that leaf, and is said with its side.
	for i, name := range []string{"tree", "kerb"} {
		into := map[string]map[string]geom.Point{"tree": {}, "kerb": {}}
		for thing, corners := range clear {
			for k, at := range corners {
				into[thing][k] = at
			}
		}
		into[name]["1"] = geom.Point{X: into[name]["1"].X, Y: 80}
		made, err := Design(tapedPair(into), p)
		require.NoError(t, err)
		c := pairCheck(&made, plan.QuestionObstructionLeaf)
		require.NotNil(t, c, name)
		assert.Equal(t, plan.Stop, c.Severity)
		assert.Contains(t, c.What.String(), "On the "+made.Sides()[i].Name.String())
		assert.False(t, made.Sides()[i].Leaf.Proof.Proven)
	}
}

// What the tapes say of each other is said of a pair too.
func TestNetworkOfAPairIsChecked(t *testing.T) {
	p := practice.DefaultPractice()
	s := tapedPair(nil)
	for i := range s.Network.Tapes {
		if q := &s.Network.Tapes[i]; q.From == "R" && q.To == "B" {
			q.Length.Size += 300
		}
	}
	s.Network.Pegs = append(s.Network.Pegs, survey.NetworkPeg{Name: "C", Role: survey.PegPlain,
		Along: survey.Measured(4000, survey.ByEstimate), Offset: survey.Measured(2000, survey.ByEstimate)})
	for _, peg := range s.Network.Pegs[:4] {
		s.Network.Tapes = append(s.Network.Tapes, survey.NetworkTape{From: peg.Name, To: "C",
			Length: survey.Measured(math.Hypot(peg.Along.Size-4000, peg.Offset.Size-2000), survey.ByTape)})
	}
	made, err := Design(s, p)
	require.NoError(t, err)
	c := pairCheck(&made, plan.QuestionNetworkSuspect)
	require.NotNil(t, c)
	assert.Equal(t, plan.Stop, c.Severity)
	assert.Contains(t, c.What.String(), "R – B")
}
