package wind

import (
	"pegpour/engine/refusal"
)

// Zone is a stretch of a free-standing wall with one coefficient.
type Zone struct {
	Name        string  // A to D
	From, To    float64 // mm from the free end
	Coefficient float64 // net, on the gross area
}

// wallRow is a row of EN 1991-1-4 table 7.9 for solid walls.
type wallRow struct {
	slender float64    // length over height; 0 marks the row for returned ends
	zones   [4]float64 // A, B, C, D
}

var straightWall = [...]wallRow{
	{3, [4]float64{2.3, 1.4, 1.2, 1.2}},
	{5, [4]float64{2.9, 1.8, 1.4, 1.2}},
	{10, [4]float64{3.4, 2.1, 1.7, 1.2}},
}

var returnedWall = [4]float64{2.1, 1.8, 1.4, 1.2}

// porousWall holds for a solidity of 0.8 in every zone.
const porousWall = 1.2

// Solidities between which coefficients are known.
const (
	porousSolidity  = 0.8
	latticeSolidity = 0.7
)

// Zones returns the net pressure coefficients along a free-standing wall or
// fence of a length and height (mm) from a free end of it. returned is the
// length (mm) of a return corner at that end, 0 for none. solidity is the solid
// part of the gross area, 0.8 to 1.
//
// Zone A reaches 0.3h from the end, B 2h, C 4h, D beyond. Values between the
// table's are interpolated.
//
// Source: EN 1991-1-4, 7.4.1, table 7.9 and figure 7.19. Checked:
// testdata/references/wind.json, wall-*.
func Zones(length, height, returned, solidity float64) ([]Zone, error) {
	if err := refusal.First(
		refusal.Allow("length", length, 100, 1e6, "mm"),
		refusal.Allow("height", height, 100, 20000, "mm"),
		refusal.Allow("return corner", returned, 0, 1e6, "mm"),
		refusal.Allow("solidity", solidity, porousSolidity, 1, ""),
	); err != nil {
		return nil, err
	}
	values := straight(length / height)
	corner := min(1, returned/height)
	solid := (solidity - porousSolidity) / (1 - porousSolidity)
	ends := [...]float64{0, 0.3 * height, 2 * height, 4 * height, max(length, 4*height)}
	out := make([]Zone, 0, 4)
	for i, name := range [...]string{"A", "B", "C", "D"} {
		if ends[i] >= length {
			break
		}
		c := values[i] + corner*(returnedWall[i]-values[i])
		c = porousWall + solid*(c-porousWall)
		out = append(out, Zone{Name: name, From: ends[i], To: min(ends[i+1], length), Coefficient: c})
	}
	return out, nil
}

func straight(slender float64) [4]float64 {
	last := straightWall[len(straightWall)-1]
	if slender >= last.slender {
		return last.zones
	}
	for i := len(straightWall) - 2; i >= 0; i-- {
		low, high := straightWall[i], straightWall[i+1]
		if slender < low.slender {
			continue
		}
		part := (slender - low.slender) / (high.slender - low.slender)
		var out [4]float64
		for k := range out {
			out[k] = low.zones[k] + part*(high.zones[k]-low.zones[k])
		}
		return out
	}
	return straightWall[0].zones
}

// LatticeCoefficient returns the force coefficient of an open leaf of
// flat-sided members, on its gross area, for a solidity of 0 to 0.8.
//
//	c = C_f·φ,  C_f = 2.0 below 0.1, 1.8 to 0.29, 1.6 to 0.7
//
// C_f steps down between its ranges; so that a denser leaf never counts for
// less, the greatest value at any lower solidity is kept. From 0.7 to 0.8 it
// runs in a line to the 1.2 that EN 1991-1-4 has at 0.8.
//
// Source: ASCE 7-16 table 29.4-2. Checked: testdata/references/wind.json,
// lattice-*.
func LatticeCoefficient(solidity float64) (float64, error) {
	if err := refusal.First(refusal.Allow("solidity", solidity, 0, porousSolidity, "")); err != nil {
		return 0, err
	}
	c := 0.0
	for _, r := range [...]struct{ to, force float64 }{{0.1, 2.0}, {0.3, 1.8}, {latticeSolidity, 1.6}} {
		c = max(c, r.force*min(solidity, r.to))
	}
	if solidity > latticeSolidity {
		c += (solidity - latticeSolidity) / (porousSolidity - latticeSolidity) * (porousWall - c)
	}
	return c, nil
}

// NetCoefficient returns the mean coefficient on the gross area of a leaf of a
// length and height (mm) and a solidity of 0 to 1 that stands free at both its
// ends: zones are taken from both ends, the worse where they meet. Where walls
// or posts carry on beyond its ends, that is the safe side.
func NetCoefficient(length, height, solidity float64) (float64, error) {
	if err := refusal.First(refusal.Allow("solidity", solidity, 0, 1, "")); err != nil {
		return 0, err
	}
	if solidity < porousSolidity {
		if _, err := Zones(length, height, 0, 1); err != nil {
			return 0, err
		}
		return LatticeCoefficient(solidity)
	}
	zones, err := Zones(length, height, 0, solidity)
	if err != nil {
		return 0, err
	}
	total := 0.0
	for _, z := range zones {
		// Half the leaf, seen from its nearer end.
		if part := min(z.To, length/2) - z.From; part > 0 {
			total += 2 * part * z.Coefficient
		}
	}
	return total / length, nil
}

// RowSolidity returns the solid part of a face of equal members in a row.
//
//	φ = size/(size + gap)
//
// size is that of a member (mm, 1 to 5000), gap what lies between two (mm, 0 to
// 5000).
//
// Source: definition; the half gap at either end is left out.
func RowSolidity(size, gap float64) (float64, error) {
	if err := refusal.First(
		refusal.Allow("width", size, 1, 5000, "mm"),
		refusal.Allow("distance", gap, 0, 5000, "mm"),
	); err != nil {
		return 0, err
	}
	return size / (size + gap), nil
}
