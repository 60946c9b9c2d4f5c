package photo

import (
	"math"
	"slices"
)

// seenFromAbove is the view that is taken for granted while the picture is not
// fixed: places are judged by how they lie on the ground.
var seenFromAbove = matrix3{1, 0, 0, 0, 1, 0, 0, 0, 1}

// nothingKnown is the weight of the assumption that the picture is a map of the
// ground, against that of one spot. It is what makes places comparable before
// four of them fix the picture: whatever the spots leave free is unsure by a
// thousand times the pointing.
const nothingKnown = 1e-6

// InformationGain is by how much pointing at each place, too, would multiply the
// determinant of the normal matrix of the known ones, seen from straight above.
// It is 1 for a place of which all is known, and tells how unsure its picture
// is: to point at the place with the greatest gain next tells the fit most.
// Places that the known ones do not fix, by being too few or nearly in line,
// have gains of thousands and more.
//
//	det(I + J (nothingKnown·I + Σ JᵢᵀJᵢ)⁻¹ Jᵀ)
//
// J are the derivatives of the projection, on coordinates moved to the centroid
// of all places and scaled to a mean distance of √2. Coordinates are mm; where
// one is no number, or all places are one, the answer is 0 throughout.
//
// Source: sequential D-optimal design, V. Fedorov, Theory of Optimal
// Experiments, 1972, ch. 2 (memory). Checked: the determinant worked out in
// full, and the fits that follow, in the tests.
func InformationGain(known, places []Ground) []float64 {
	out := make([]float64, len(places))
	all := slices.Concat(known, places)
	for _, g := range all {
		if !(math.Abs(g.X) <= MaxGround && math.Abs(g.Y) <= MaxGround) {
			return out
		}
	}
	if len(all) == 0 {
		return out
	}
	normal, scale := similarity(len(all), func(i int) (float64, float64) { return all[i].X, all[i].Y })
	if math.IsInf(scale, 0) || math.IsNaN(scale) {
		return out
	}
	var n matrix8
	var none [8]float64
	for i := range 8 {
		n[i][i] = nothingKnown
	}
	for _, g := range known {
		du, dv := fromAbove(&normal, g)
		n.add(&none, &du, &dv, 0, 0)
	}
	q, ok := n.invert()
	if !ok {
		return out
	}
	for k, g := range places {
		du, dv := fromAbove(&normal, g)
		uu, uv, vv := 1.0, 0.0, 1.0
		for i := range 8 {
			for j := range 8 {
				uu += du[i] * q[i][j] * du[j]
				uv += du[i] * q[i][j] * dv[j]
				vv += dv[i] * q[i][j] * dv[j]
			}
		}
		out[k] = uu*vv - uv*uv
	}
	return out
}

func fromAbove(normal *matrix3, g Ground) (du, dv [8]float64) {
	x, y, _ := normal.apply(g.X, g.Y)
	_, _, du, dv = derivatives(&seenFromAbove, x, y)
	return du, dv
}
