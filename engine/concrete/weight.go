package concrete

import (
	"pegpour/engine/refusal"
)

// UnitWeight is the weight of plain concrete, N/mm³: 24 kN/m³.
//
// Source: EN 1991-1-1 table A.1 (memory).
const UnitWeight = 24e-6

// Block is a part of a pour, seen from above between two parallel sides.
type Block struct {
	Area      float64 // mm²
	Centroid  float64 // mm from the first side
	Thickness float64 // mm
}

// HoldingMoment is what blocks cast in one hold by their weight alone, N·mm,
// against tipping over the nearer of two parallel sides. It is 0 where their
// centre of gravity lies beyond a side.
//
//	M = min(Σ w·A·t·y, Σ w·A·t·(B − y)) ≥ 0
//
// B is the width between the sides (mm), w UnitWeight, A, t and y a block's area,
// thickness and centroid from the first side.
//
// Source: statics. Checked: the tests hold it against blocks by hand.
func HoldingMoment(width float64, blocks ...Block) (float64, error) {
	if err := refusal.First(length("width", width)); err != nil {
		return 0, err
	}
	var weight, moment float64
	for _, b := range blocks {
		if err := refusal.First(
			area("area", b.Area),
			refusal.Allow("distance", b.Centroid, -mostLength, mostLength, "mm"),
			length("depth", b.Thickness),
		); err != nil {
			return 0, err
		}
		weight += b.Area * b.Thickness * UnitWeight
		moment += b.Area * b.Centroid * b.Thickness * UnitWeight
	}
	return max(0, min(moment, weight*width-moment)), nil
}
