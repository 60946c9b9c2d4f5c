package solid

import (
	"math"

	"pegpour/engine/draw"
)

// Sun is the direction towards the sun, of length 1: half way up, between x and the side of
// the fence from which one looks, so that what faces the viewer is lit.
func (c Camera) Sun() Point {
	_, _, toward := c.frame()
	return Point{0.5, math.Copysign(0.5, toward.Y), math.Sqrt2 / 2}
}

// Light is the light on a face with an outward normal, both of length 1, in the few steps
// that a picture has. A matt face sends on light by the cosine of the angle at which it
// comes in; what the sky gives a face turned away is in the colours of the steps.
//
// Source: the cosine law, J. H. Lambert, Photometria, 1760 (memory); for light sent on as in
// CIE, International Lighting Vocabulary, term 632, I(θ) = Iₙ·cos θ (read at
// eilv.cie.co.at). The steps are common practice. Checked: TestLightFollowsTheCosine.
func Light(normal, sun Point) draw.Light {
	switch cos := dot(normal, sun); {
	case cos > 0.6:
		return draw.LightFull
	case cos > 0.4:
		return draw.LightHalf
	case cos > 0.1:
		return draw.LightLow
	}
	return draw.LightShade
}

// Shadow is the shadow of bodies on level ground at z 0, within two corners of it, as rings
// of the plan that turn one way: each face that looks to the sun, carried along the sun's
// direction to the ground. Nothing of the bodies may lie below the ground.
func Shadow(bodies []Body, sun Point, low, high draw.Point) []draw.Ring {
	var out []draw.Ring
	for _, b := range bodies {
		for _, f := range b.faces {
			if dot(f.normal, sun) < 1e-6 {
				continue
			}
			ring := make(draw.Ring, len(f.ps))
			box := draw.EmptyBox()
			for i, q := range f.ps {
				ring[i] = draw.Pt(q.X-q.Z*sun.X/sun.Z, q.Y-q.Z*sun.Y/sun.Z)
				box.Grow(ring[i])
			}
			if box.Min.X < low.X || box.Min.Y < low.Y || box.Max.X > high.X || box.Max.Y > high.Y {
				if ring = cut(ring, low, high); len(ring) < 3 {
					continue
				}
			}
			out = append(out, ring)
		}
	}
	return out
}

// cut is the part of a convex ring between two corners.
func cut(ring draw.Ring, low, high draw.Point) draw.Ring {
	const eps = 1e-6 // mm
	f := face{ps: make([]Point, len(ring)), edge: make([]bool, len(ring))}
	for i, q := range ring {
		f.ps[i] = Point{X: q.X, Y: q.Y}
	}
	f, _ = split(f, Point{X: 1}, low.X, eps)
	f, _ = split(f, Point{Y: 1}, low.Y, eps)
	f, _ = split(f, Point{X: -1}, -high.X, eps)
	f, _ = split(f, Point{Y: -1}, -high.Y, eps)
	out := make(draw.Ring, len(f.ps))
	for i, q := range f.ps {
		out[i] = draw.Pt(q.X, q.Y)
	}
	return out
}
