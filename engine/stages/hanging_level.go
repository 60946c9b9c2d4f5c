package stages

import (
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// gapStep is how far apart the gap under the leaf is looked at, mm: the ground is
// straight between readings, and they are added.
const gapStep = 250

// underLeaf finds the leaf's level and the gaps under it.
func underLeaf(h *plan.Hanging, in *Inputs, l *Placement, leaf *plan.Leaf, g *plan.Ground) {
	offsets := [3]float64{l.LeafFront, l.TrackOffset, l.LeafBack}
	places := func(from, to float64) []float64 {
		var at []float64
		for x := from; x < to; x += gapStep {
			at = append(at, x)
		}
		at = append(at, to)
		if g != nil {
			for i := range g.Readings {
				if x := g.Readings[i].Chainage; x > from && x < to {
					at = append(at, x)
				}
			}
		}
		return at
	}
	at := func(x float64, worse func(a, b float64) float64) (level float64, guess bool) {
		for i, y := range offsets {
			z := finishedUnder(g, in, x, y)
			if i == 0 || worse(level, z) == z {
				level = z
			}
		}
		if g.Known() {
			_, guess = g.GroundLevel(x, l.TrackOffset)
		}
		return level, guess
	}
	highest := math.Inf(-1)
	across := places(0, in.Width)
	for _, x := range across {
		z, _ := at(x, math.Max)
		highest = max(highest, z)
	}
	h.Level = highest + h.Clearance
	h.BlockTop = h.Level - h.Under
	gap := func(x float64, worse func(a, b float64) float64) plan.LeafGap {
		z, guess := at(x, worse)
		return plan.LeafGap{Chainage: x, Ground: z, Gap: h.Level - z, Extrapolated: guess}
	}
	slices.Sort(across)
	across = slices.Compact(across)
	for _, x := range across {
		q := gap(x, math.Min)
		h.Gaps = append(h.Gaps, q)
		if q.Gap > h.Widest.Gap {
			h.Widest = q
		}
	}
	h.Lowest.Gap = math.Inf(1)
	for _, x := range places(in.Width, max(in.Width, leaf.RearOpen)) {
		q := gap(x, math.Max)
		if x > in.RunBackEdge.MinOver(0, l.PadOut) && x < l.PadFar { // over the block
			q.Ground, q.Gap, q.Extrapolated = h.BlockTop, h.Under, false
		}
		if q.Gap < h.Lowest.Gap {
			h.Lowest = q
		}
	}
}

// DigUnder gives the leaf what is dug where the ground behind the post stands too high
// for it: over the way of the open leaf with its gap on every side, without the block.
func DigUnder(in *Inputs, p *practice.Practice, l *Placement, leaf plan.Leaf, g *plan.Ground, parts []plan.Outline) (plan.Leaf,
	[]plan.Refusal) {
	if leaf.Hanging.Lowest.Gap >= p.HangOver {
		return leaf, nil
	}
	h := *leaf.Hanging
	leaf.Hanging = &h
	way := geom.RectangleOf(in.Width, max(0, l.LeafFront-p.HangOver), leaf.RearOpen+p.HangOver, l.LeafBack+p.HangOver)
	var block []geom.Region
	for i := range parts {
		if o := &parts[i]; o.Kind == plan.PartPad {
			block = append(block, o.Ring.Region())
		}
	}
	left, err := geom.Difference([]geom.Region{way.Ring().Region()}, block)
	if err == nil {
		rings := make([]geom.Polygon, len(left))
		for i := range left {
			rings[i] = left[i].Outer
		}
		h.Dig, err = ground.CutUnder(g, rings, h.Level-p.HangOver)
	}
	return leaf, plan.AppendRefusal(nil, plan.QuestionGroundUnjudged, plan.Stop, "The dig under the open leaf", err,
		survey.GroundLevelsTaken)
}
