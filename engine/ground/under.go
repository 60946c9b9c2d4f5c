package ground

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// CutUnder is the volume of the ground that stands above a level over outlines, mm³,
// where it is dug to let something pass that hangs level. What a cavity in rising
// ground takes away down to the track's plane is not in it:
//
//	V = ∫ (z − level) over z > level;  in rising ground ∫ (min(z, plane) − level)
//
// Source: difference of two surfaces, as CutOver.
func CutUnder(g *plan.Ground, rings []geom.Polygon, level float64) (cut float64, err error) {
	if !g.Known() || g.Model == nil {
		return 0, nil
	}
	flat := plan.TrackGrade{Z0: level}
	for _, ring := range rings {
		if g.Shape == survey.GroundRises {
			if ring = whereAbove(ring, func(q geom.Point) float64 { return g.Track.At(q.X, q.Y) - level }); len(ring) < 3 {
				continue
			}
			above, err := CutOver(g.Model, &g.Track, ring)
			if err != nil {
				return 0, err
			}
			cut -= above
		}
		over, err := CutOver(g.Model, &flat, ring)
		if err != nil {
			return 0, err
		}
		cut += over
	}
	return max(0, cut), nil
}

// whereAbove is the part of a ring over which a plane lies above nothing.
func whereAbove(ring geom.Polygon, plane func(geom.Point) float64) geom.Polygon {
	var kept geom.Polygon
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		high, next := plane(a), plane(b)
		if high >= 0 {
			kept = append(kept, a)
		}
		if high > 0 && next < 0 || high < 0 && next > 0 {
			k := high / (high - next)
			kept = append(kept, geom.Point{X: a.X + k*(b.X-a.X), Y: a.Y + k*(b.Y-a.Y)})
		}
	}
	return kept
}
