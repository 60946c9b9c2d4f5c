package engine

// priced is what is bought beside the concrete, the dig and the hardware.
type priced struct {
	metal              float64 // mass of frame and footing, kg
	panels, guidePosts float64
	wallFace, drain    float64
}

// pricedOf counts what is bought beside the concrete: metal is the mass of frame
// and footing, kg.
func pricedOf(leaf *LeafPlan, guidePost bool, metal float64, g *GroundPlan) *priced {
	other := &priced{metal: metal, panels: float64(max(0, len(leaf.Panels)-1))}
	if guidePost {
		other.guidePosts = 1
	}
	if g != nil && g.Rising != nil {
		other.wallFace, other.drain = g.Rising.WallFace, g.Rising.Drain
	}
	return other
}

// price adds the price basis from the shop's rates to quantities that are being
// made; a line without a rate is named and left out of the sum.
func price(q *Quantities, p *Practice, other *priced) {
	q.Lines = make([]CostLine, 0, 12)
	line := func(key, name string, rate, amount float64, of Dimension, per float64) {
		if amount <= 0 {
			return
		}
		cost := rate * amount / per
		q.Lines = append(q.Lines, CostLine{Key: key, Name: name, Amount: amount, Of: of, Per: per, Rate: rate, Cost: cost})
		if rate <= 0 {
			q.Unpriced = append(q.Unpriced, name)
			return
		}
		q.Cost += cost
	}
	if q.ReadyMix {
		line(RuleRateReadyMix, "Ready-mix concrete", p.RateReadyMix, q.Order, Volume, 1e9)
	} else {
		line(RuleRateBag, "Bags of dry mix", p.RateBag, float64(q.Bags), Count, 1)
	}
	line(RuleRateTint, "Tint", p.RateTint, q.Tinted, Volume, 1e9)
	line(RuleRateDig, "Digging", p.RateDig, q.DigBank, Volume, 1e9)
	line(RuleRateSpoil, "Loads of spoil", p.RateSpoil, float64(q.Loads), Count, 1)
	line(RuleRateFormwork, "Edge form", p.RateForm, q.Form, Length, 1000)
	line(RuleRateMesh, "Trench mesh lengths", p.RateMesh, float64(q.MeshSheets), Count, 1)
	line(RuleRateCut, "Saw cut", p.RateCut, q.SawCut, Length, 1000)
	line(RuleRateFrame, "Frame and footing metal", p.RateFrame, other.metal, Mass, 1)
	line(RuleRatePanel, "Panels beyond the first", p.RatePanel, other.panels, Count, 1)
	line(RuleRateGuidePost, "Guide post", p.RateGuidePost, other.guidePosts, Count, 1)
	line(RuleRateTrack, "Track", p.RateTrack, q.Track, Length, 1000)
	line(RuleRateFixing, "Fixings and anchors", p.RateFixing, float64(q.Fixings+q.Anchors), Count, 1)
	line(RuleRateWall, "Retaining wall", p.RateWall, other.wallFace, Area, 1e6)
	line(RuleRateDrain, "Drain behind the wall", p.RateDrain, other.drain, Length, 1000)
	line(RuleRateConduit, "Conduit", p.RateConduit, q.Conduit, Length, 1000)
}
