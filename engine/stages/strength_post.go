package stages

import (
	"pegpour/engine/concrete"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/steel"
	"pegpour/engine/text"
)

// GuidePost looks at the guide post as a cantilever under a push (N) at a height
// (mm) above its foot.
func GuidePost(p *practice.Practice, push, height float64) (post plan.PostBending, refused []plan.Refusal) {
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
		if _, r, err := use(size, max(p.PostWall, p.StrongerWall)); err == nil && r.Utilisation <= 1 {
			post.Stronger = size
			break
		}
	}
	return post, refused
}

// postOnPlate finds what the anchors of the guide post's base plate must hold,
// and what the weight of the concrete under it holds against tipping about an
// edge of its underside.
func postOnPlate(p *practice.Practice, push, height float64, strip, pads []*plan.Outline) (post plan.PostOnPlate,
	refused []plan.Refusal) {
	anchor, err := anchorDemand(p, p.PlateSize, p.PlateSize, p.PlateAnchors, push*height, push)
	if err != nil {
		refused = notLookedAt("The base plate's anchors", err, practice.PracticePath+practice.RuleGuidePlateSize)
	}
	post.Anchor = anchor
	deep := 0.0
	for i := range pads {
		deep = max(deep, pads[i].Depth-pads[i].Top)
	}
	post.Tipping = push * (height + deep)
	post.PadTips, err = PadTips(strip, pads)
	if err != nil {
		refused = append(refused,
			notLookedAt("The weight of pad and strip", err, practice.PracticePath+practice.RulePadOut)...)
	}
	return post, refused
}

// PadTips is the moment of the weight of pad and run-back strip about the
// nearer of their long sides: what they hold by weight alone, N·mm. Wind from
// the street tips them about the far side, wind from inside about the fence.
// Without a pad nothing holds; without a strip the pad does alone.
func PadTips(strips, pads []*plan.Outline) (float64, error) {
	if len(pads) == 0 {
		return 0, nil
	}
	poured := make([]concrete.Block, 0, len(strips)+len(pads))
	rings := make([]geom.Polygon, 0, len(strips)+len(pads))
	width := 0.0
	for i := range strips {
		strip := strips[i]
		if strip.Area <= 0 {
			continue
		}
		_, high := strip.Ring.Bounds()
		width = max(width, high.Y)
		rings = append(rings, strip.Ring)
		poured = append(poured, concrete.Block{Area: strip.Area, Centroid: high.Y / 2, Thickness: strip.Depth})
	}
	under := width // of the strip that a pad shares
	for i := range pads {
		pad := pads[i]
		own := geom.AreaBeyond(pad.Ring, rings)
		if shared := pad.Area - own; own > 0 {
			at := (pad.Area*pad.Ring.Centroid().Y - shared*under/2) / own
			poured = append(poured, concrete.Block{Area: own, Centroid: at, Thickness: pad.Depth})
		}
		_, high := pad.Ring.Bounds()
		width = max(width, high.Y)
	}
	return concrete.HoldingMoment(width, poured...)
}
