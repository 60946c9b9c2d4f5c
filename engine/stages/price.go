package stages

import (
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// Priced is what is bought beside the concrete, the dig and the hardware.
type Priced struct {
	metal              float64 // mass of frame and footing, kg
	panels, guidePosts float64
	leaves             float64
	wallFace, drain    float64
	motors             float64
	rack, infill       float64 // mm, mm²
	carriages          float64
}

// PricedOf counts what is bought beside the concrete: metal is the mass of frame
// and footing, kg.
func PricedOf(leaf *plan.Leaf, guidePost, motor bool, metal float64, g *plan.Ground) *Priced {
	other := &Priced{metal: metal, leaves: 1, panels: float64(max(0, len(leaf.Panels)-1)),
		infill: float64(len(leaf.Panels)) * leaf.Frame * leaf.Height}
	if leaf.Hanging != nil {
		other.carriages = 2
	}
	if motor {
		other.motors, other.rack = 1, leaf.Rack
	}
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
func price(q *plan.Quantities, p *practice.Practice, other *Priced) {
	q.Lines = make([]plan.CostLine, 0, 16)
	line := func(key string, name text.Name, rate, amount float64, of text.Dimension, per float64) {
		if amount <= 0 {
			return
		}
		cost := rate * amount / per
		q.Lines = append(q.Lines,
			plan.CostLine{Key: key, Name: name, Amount: amount, Of: of, Per: per, Rate: rate, Cost: cost})
		if rate <= 0 {
			q.Unpriced = append(q.Unpriced, name)
			return
		}
		q.Cost += cost
	}
	if q.ReadyMix {
		line(practice.RuleRateReadyMix, "Ready-mix concrete", p.RateReadyMix, q.Order, text.Volume, 1e9)
	} else {
		line(practice.RuleRateBag, "Bags of dry mix", p.RateBag, float64(q.Bags), text.Count, 1)
	}
	line(practice.RuleRateTint, "Tint", p.RateTint, q.Tinted, text.Volume, 1e9)
	line(practice.RuleRateDig, "Digging", p.RateDig, q.DigBank, text.Volume, 1e9)
	line(practice.RuleRateSpoil, "Loads of spoil", p.RateSpoil, float64(q.Loads), text.Count, 1)
	line(practice.RuleRateFormwork, "Edge form", p.RateForm, q.Form, text.Length, 1000)
	line(practice.RuleRateMesh, "Trench mesh lengths", p.RateMesh, float64(q.MeshSheets), text.Count, 1)
	line(practice.RuleRateCut, "Saw cut", p.RateCut, q.SawCut, text.Length, 1000)
	line(practice.RuleRateFrame, "Frame and footing metal", p.RateFrame, other.metal, text.Mass, 1)
	line(practice.RuleRateInfill, "Infill of the leaf", p.RateInfill, other.infill, text.Area, 1e6)
	running := text.Name("Wheels, rollers, stops and catch")
	if other.carriages > 0 {
		running = "Rollers, stops and catch"
	}
	line(practice.RuleRateRunning, running, p.RateRunning, other.leaves, text.Count, 1)
	line(practice.RuleRateMotor, "Motor", p.RateMotor, other.motors, text.Count, 1)
	line(practice.RuleRateRack, "Rack", p.RateRack, other.rack, text.Length, 1000)
	line(practice.RuleRateCarriage, "Carriages", p.RateCarriage, other.carriages, text.Count, 1)
	line(practice.RuleRatePanel, "Panels beyond the first", p.RatePanel, other.panels, text.Count, 1)
	line(practice.RuleRateGuidePost, "Guide post", p.RateGuidePost, other.guidePosts, text.Count, 1)
	line(practice.RuleRateTrack, "Track", p.RateTrack, q.Track, text.Length, 1000)
	line(practice.RuleRateFixing, "Fixings and anchors", p.RateFixing, float64(q.Fixings+q.Anchors), text.Count, 1)
	line(practice.RuleRateWall, "Retaining wall", p.RateWall, other.wallFace, text.Area, 1e6)
	line(practice.RuleRateDrain, "Drain behind the wall", p.RateDrain, other.drain, text.Length, 1000)
	line(practice.RuleRateConduit, "Conduit", p.RateConduit, q.Conduit, text.Length, 1000)
}
