package engine

import (
	"math"

	"pegpour/engine/concrete"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/soil"
	"pegpour/engine/steel"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// guidePost looks at the guide post as a cantilever under a push (N) at a height
// (mm) above its foot.
func guidePost(p *practice.Practice, push, height float64) (post plan.PostBending, refused []plan.Refusal) {
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
		return post, notLookedAt("The guide post's section", err, practice.PracticePath+practice.RuleGuidePostSize)
	}
	post.Section, post.Use, post.Moment = text.Name(section.Name), result.Utilisation, push*height
	_, sway, err := steel.Cantilever(push, height, steel.Elasticity, section.InertiaVertical)
	if err != nil {
		refused = notLookedAt("How far the guide post gives way", err, practice.PracticePath+practice.RuleGuidePostSize)
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

// postOnPlate finds what the anchors of the guide post's base plate must hold,
// and what the weight of the concrete under it holds against tipping.
func postOnPlate(p *practice.Practice, push, height float64, strip, pad plan.Outline) (post plan.PostOnPlate,
	refused []plan.Refusal) {
	anchor, err := anchorDemand(p, p.PlateSize, p.PlateSize, p.PlateAnchors, push*height, push)
	if err != nil {
		refused = notLookedAt("The base plate's anchors", err, practice.PracticePath+practice.RuleGuidePlateSize)
	}
	post.Anchor = anchor
	post.PadTips, err = padTips(strip, pad)
	if err != nil {
		refused = append(refused,
			notLookedAt("The weight of pad and strip", err, practice.PracticePath+practice.RulePadOut)...)
	}
	return post, refused
}

// postInHole finds how deep a guide post must stand in firm ground. In soft
// ground, which is soft deep (mm) below the usual footing, only what stands in
// firm ground is counted, and the push is so much higher above it; hole is the
// depth of the hole as dug.
func postInHole(p *practice.Practice, ground *plan.SoilTaken, push, height, soft, hole float64) (post plan.PostInHole,
	refused []plan.Refusal) {
	const what, size = "The guide post's hole", practice.PracticePath + practice.RuleGuideHoleSize
	if !ground.Presumed {
		return post, []plan.Refusal{{What: what, Field: survey.GroundClass,
			Words: text.Say("How deep the guide post must go cannot be presumed in {0}: it needs a soils investigation.",
				text.Word(ground.Name))}}
	}
	post.In = hole - soft
	pole := soil.EmbeddedPost{Force: math.Max(push, 1), Height: height + soft, Width: soil.SquareWidth(p.GuideHoleSize),
		Lateral: ground.Lateral, Factor: p.IsolatedPole}
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
func padTips(strip, pad plan.Outline) (float64, error) {
	if len(pad.Ring) == 0 {
		return 0, nil
	}
	var blocks [2]concrete.Block
	var rings []geom.Polygon
	poured, width := blocks[:0], 0.0
	if strip.Area > 0 {
		rings = append(rings, strip.Ring)
		_, high := strip.Ring.Bounds()
		width = high.Y
		poured = append(poured, concrete.Block{Area: strip.Area, Centroid: high.Y / 2, Thickness: strip.Depth})
	}
	own := geom.AreaBeyond(pad.Ring, rings)
	if shared := pad.Area - own; own > 0 {
		at := (pad.Area*pad.Ring.Centroid().Y - shared*width/2) / own
		poured = append(poured, concrete.Block{Area: own, Centroid: at, Thickness: pad.Depth})
	}
	_, high := pad.Ring.Bounds()
	return concrete.HoldingMoment(math.Max(width, high.Y), poured...)
}
