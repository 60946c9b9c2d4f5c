package engine

import (
	"math"

	"pegpour/engine/concrete"
	"pegpour/engine/geom"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
)

// guidePost looks at the guide post as a cantilever under a push (N) at a height
// (mm) above its foot.
func guidePost(p *Practice, push, height float64) (post PostBending, refused []Refusal) {
	use := func(size, wall float64) (steel.Section, steel.PostResult, error) {
		section, err := steel.Hollow(size, size, wall)
		if err != nil {
			return section, steel.PostResult{}, err
		}
		r, err := steel.Post{Section: section, Length: height, K: steel.CantileverLength, Elasticity: steel.Elasticity,
			Yield: p.PostYield, Safety: p.SteelSafety, Vertical: push * height}.Check()
		return section, r, err
	}
	section, result, err := use(p.GuidePostSize, p.PostWall)
	if err != nil {
		return post, notLookedAt("The guide post's section", err, "practice.guide.postSize")
	}
	post.Section, post.Use, post.Moment = section.Name, result.Utilisation, push*height
	_, sway, err := steel.Cantilever(push, height, steel.Elasticity, section.InertiaVertical)
	if err != nil {
		refused = notLookedAt("How far the guide post gives way", err, "practice.guide.postSize")
	}
	post.Sway = sway
	if post.Use <= 1 {
		return post, refused
	}
	for _, size := range steel.SquareSizes {
		if size <= p.GuidePostSize {
			continue
		}
		if _, r, err := use(size, math.Max(p.PostWall, p.StrongerWall)); err == nil && r.Utilisation <= 1 {
			post.Stronger = size
			break
		}
	}
	return post, refused
}

// postOnPlate finds what the anchors of the guide post's base plate must hold;
// tips is what the weight of the concrete under it holds against tipping, N·mm.
func postOnPlate(p *Practice, push, height, tips float64) (PostOnPlate, []Refusal) {
	anchor, err := anchorDemand(p, p.PlateSize, p.PlateSize, p.PlateAnchors, push*height, push)
	post := PostOnPlate{Anchor: anchor, PadTips: tips}
	if err != nil {
		return post, notLookedAt("The base plate's anchors", err, "practice.guide.plateSize")
	}
	return post, nil
}

// postInHole finds how deep a guide post must stand in firm ground. In soft
// ground, which is soft deep (mm) below the usual footing, only what stands in
// firm ground is counted, and the push is so much higher above it; hole is the
// depth of the hole as dug.
func postInHole(p *Practice, ground *SoilTaken, push, height, soft, hole float64) (post PostInHole, refused []Refusal) {
	const what, size = "The guide post's hole", "practice.guide.holeSize"
	if !ground.Presumed {
		return post, []Refusal{{What: what, Field: "ground.class",
			Words: say("How deep the guide post must go cannot be presumed in {0}: it needs a soils investigation.", wordArg(ground.Name))}}
	}
	post.In = hole - soft
	pole := soil.EmbeddedPost{Force: math.Max(push, 1), Height: height + soft, Width: soil.SquareWidth(p.GuideHoleSize), Lateral: ground.Lateral, Factor: p.IsolatedPole}
	free, err := pole.Nonconstrained()
	if err != nil {
		refused = notLookedAt(what, err, size)
	}
	post.Embedment = free.Depth
	held, err := pole.Constrained()
	if err != nil && refused == nil {
		refused = notLookedAt("The guide post's hole under a floor", err, size)
	}
	post.Floor = held.Depth
	return post, refused
}

// padTips is the moment of the weight of pad and run-back strip about the
// nearer of their long sides: what they hold by weight alone, N·mm. Wind from
// the street tips them about the far side, wind from inside about the fence.
// Without a pad nothing holds; without a strip the pad does alone.
func padTips(strip, pad Outline) float64 {
	if len(pad.Ring) == 0 {
		return 0
	}
	rings := []geom.Polygon{}
	var weight, moment, far float64
	add := func(area, y, thick float64) {
		weight += area * thick * concrete.UnitWeight
		moment += area * y * thick * concrete.UnitWeight
	}
	if strip.Area > 0 {
		rings = append(rings, strip.Ring)
		_, high := strip.Ring.Bounds()
		far = high.Y
		add(strip.Area, high.Y/2, strip.Depth)
	}
	_, high := pad.Ring.Bounds()
	own := geom.AreaBeyond(pad.Ring, rings)
	shared := pad.Area - own
	if own > 0 {
		add(own, (pad.Area*pad.Ring.Centroid().Y-shared*far/2)/own, pad.Depth)
	}
	far = math.Max(far, high.Y)
	return math.Max(0, math.Min(moment, weight*far-moment))
}
