package ground

import (
	"pegpour/engine/soil"
	"pegpour/engine/text"
)

// WallGround is what a wall holds back and stands in, each property as a range of
// which a wall takes the end that hurts.
type WallGround struct {
	Name text.Name
	// Presumed says whether a code lets the strength of what it stands in be
	// presumed; without it nothing of the wall is sound. Clay that swells pushes
	// harder than any table says.
	Presumed           bool
	Bearing, Lateral   float64 // MPa, MPa for each mm of depth
	Friction, Adhesion float64 // as soil.Class
	BaseAngle          float64 // rad, low end, under the base where there is neither
	// What is held back: what stands over the firm ground too, where it is soft.
	FrictionAngle, UnitWeight soil.Span // rad, N/mm³
	Least                     float64   // N/mm³, as soil.Retained
	Moves                     float64   // mm, as Bearing.Moves
	Soft                      float64   // mm of soft ground over the firm, below the strip's surface
}

// WallGroundOf is the ground of a wall: it stands in the firm ground, and holds
// back what lies over it too. Where nobody looked it holds back fill of which
// nothing is known, and nothing of it is sound.
func WallGroundOf(b *Bearing) WallGround {
	firm, held := &b.Firm, &b.Retained
	g := WallGround{Name: text.Name(firm.Name), Presumed: firm.Presumed && b.Seen && b.Swells == 0, Bearing: firm.Bearing,
		Lateral: firm.Lateral, Friction: firm.Friction, Adhesion: firm.Adhesion, BaseAngle: firm.FrictionAngle.Low,
		FrictionAngle: firm.FrictionAngle, UnitWeight: firm.UnitWeight, Least: soil.LeastActive(firm.Key),
		Soft: b.DepthToFirm, Moves: b.Moves()}
	if !b.Seen {
		g.Name = text.Name(held.Name)
	}
	g.FrictionAngle.Low = min(g.FrictionAngle.Low, held.FrictionAngle.Low)
	g.UnitWeight.Low = min(g.UnitWeight.Low, held.UnitWeight.Low)
	g.UnitWeight.High = max(g.UnitWeight.High, held.UnitWeight.High)
	g.Least = max(g.Least, soil.LeastActive(held.Key))
	return g
}

// retained is what pushes at the end that hurts.
func (g *WallGround) retained(backslope, surcharge float64) soil.Retained {
	return soil.Retained{FrictionAngle: g.FrictionAngle.Low, UnitWeight: g.UnitWeight.High, Least: g.Least,
		Backslope: backslope, Surcharge: surcharge}
}
