package ground

import (
	"math"

	"pegpour/engine/soil"
	"pegpour/engine/text"
)

// WallGround is what a wall holds back and stands in, each property as a range of
// which a wall takes the end that hurts.
type WallGround struct {
	Name text.Name
	// Presumed says whether a code lets the strength of what it stands in be
	// presumed; without it nothing of the wall is sound.
	Presumed           bool
	Bearing, Lateral   float64 // MPa, MPa for each mm of depth
	Friction, Adhesion float64 // as soil.Class
	BaseAngle          float64 // rad, low end, under the base where there is neither
	// What is held back: what stands over the firm ground too, where it is soft.
	FrictionAngle, UnitWeight soil.Span // rad, N/mm³
	Least                     float64   // N/mm³, as soil.Retained
	Soft                      float64   // mm of soft ground over the firm, below the strip's surface
}

// WallGroundOf is the ground of a wall in a class, with soft ground of a depth (mm)
// over it. Soft ground over the firm is held back too, and pushes as it does.
func WallGroundOf(class *soil.Class, soft float64) WallGround {
	g := WallGround{Name: text.Name(class.Name), Presumed: class.Presumed, Bearing: class.Bearing, Lateral: class.Lateral,
		Friction: class.Friction, Adhesion: class.Adhesion, BaseAngle: class.FrictionAngle.Low,
		FrictionAngle: class.FrictionAngle, UnitWeight: class.UnitWeight, Least: soil.LeastActive(class.Key), Soft: soft}
	if over, ok := soil.ClassOf("soft"); ok && soft > 0 {
		g.FrictionAngle.Low = math.Min(g.FrictionAngle.Low, over.FrictionAngle.Low)
		g.UnitWeight.Low = math.Min(g.UnitWeight.Low, over.UnitWeight.Low)
		g.UnitWeight.High = math.Max(g.UnitWeight.High, over.UnitWeight.High)
		g.Least = math.Max(g.Least, soil.LeastActive("soft"))
	}
	return g
}

// retained is what pushes at the end that hurts.
func (g *WallGround) retained(backslope, surcharge float64) soil.Retained {
	return soil.Retained{FrictionAngle: g.FrictionAngle.Low, UnitWeight: g.UnitWeight.High, Least: g.Least,
		Backslope: backslope, Surcharge: surcharge}
}
