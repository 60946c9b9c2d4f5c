package geom

import (
	"pegpour/engine/sorting"
	"slices"
)

// Hull is the smallest convex ring around the points, anticlockwise from its
// lowest, nearest corner, without points on its sides; nil when they lie in line.
//
// Source: A. M. Andrew, Another efficient algorithm for convex hulls in two
// dimensions, Information Processing Letters 9 (1979) (memory).
func Hull(points []Point) Polygon {
	sorted := slices.Clone(points)
	sorting.By(sorted, comparePoints)
	sorted = slices.Compact(sorted)
	if len(sorted) < 3 {
		return nil
	}
	chain := func(hull Polygon, q Point, floor int) Polygon {
		for len(hull) > floor && turn(hull[len(hull)-2], hull[len(hull)-1], q) <= 0 {
			hull = hull[:len(hull)-1]
		}
		return append(hull, q)
	}
	hull := make(Polygon, 0, len(sorted)+1)
	for _, q := range sorted {
		hull = chain(hull, q, 1)
	}
	for i, floor := len(sorted)-2, len(hull); i >= 0; i-- {
		hull = chain(hull, sorted[i], floor)
	}
	if hull = hull[:len(hull)-1]; len(hull) < 3 {
		return nil
	}
	return hull
}
