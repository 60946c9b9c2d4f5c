package motion

import "pegpour/engine/refusal"

// Geared is one of several leaves that move together, each by a travel of its
// own, as panels drawn by ropes or racks do.
type Geared struct {
	Mass   float64 // kg, 0.001 to 20 000
	Travel float64 // mm, within 100 000; against the others' way it is negative
}

// MaxGeared is the most leaves that move together.
const MaxGeared = 12

// Felt is what several leaves together are like at the one that is pushed.
type Felt struct {
	Weighs  float64 // kg, as a weight on a grade or on wheels
	Inertia float64 // kg, as an inertia
}

// FeltAt returns the mass that is felt at the leaf of an index, from 0: by
// virtual work each leaf's weight counts by its travel over that leaf's, its
// inertia by the square of it. That leaf's own travel is 1 mm at least.
//
//	m_weight = Σ m_i·(s_i/s);  m_inertia = Σ m_i·(s_i/s)²
//
// Source: principle of virtual work.
func FeltAt(index int, leaves []Geared) (Felt, error) {
	if err := refusal.First(
		refusal.Allow("number of parts", float64(len(leaves)), 1, MaxGeared, ""),
		refusal.Allow("number of parts", float64(index), 0, float64(len(leaves)-1), ""),
	); err != nil {
		return Felt{}, err
	}
	for _, leaf := range leaves {
		if err := refusal.First(
			refusal.Allow("mass of a part", leaf.Mass, 0.001, 20000, "kg"),
			refusal.Allow("distance", leaf.Travel, -100000, 100000, "mm"),
		); err != nil {
			return Felt{}, err
		}
	}
	if err := refusal.First(refusal.Allow("distance", leaves[index].Travel, 1, 100000, "mm")); err != nil {
		return Felt{}, err
	}
	var felt Felt
	for _, leaf := range leaves {
		ratio := leaf.Travel / leaves[index].Travel
		felt.Weighs += leaf.Mass * ratio
		felt.Inertia += leaf.Mass * ratio * ratio
	}
	return felt, nil
}
