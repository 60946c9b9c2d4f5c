package slab

import (
	"math"

	"pegpour/engine/elementary"
	"pegpour/engine/refusal"
)

// Crossing is what wheels that cross a strip at any place do to it at the most:
// one wheel alone, or both of an axle.
type Crossing struct {
	Sagging  Peak // N·mm, tension at the bottom, ≥ 0
	Hogging  Peak // N·mm, tension at the top, ≥ 0
	Pressure Peak // MPa on the ground, ≥ 0
	Shear    Peak // N, its size
}

// Peak is the greatest of something, where it stands, and where the wheels do.
type Peak struct {
	Value float64
	At    float64 // mm from the end of the strip
	Wheel float64 // mm from the end of the strip, of the nearer wheel
	Both  bool    // both wheels of the axle stand on the strip
}

func (p *Peak) raise(v, at, wheel float64, both bool) {
	if v > p.Value {
		*p = Peak{v, at, wheel, both}
	}
}

// WheelPath says where the wheels of an axle may stand on a strip.
type WheelPath struct {
	Length    float64 // mm of the strip, 300 to 20 000, and 0.05/λ at least
	Wheel     float64 // N, 0 to 1e6
	AxleTrack float64 // mm between the wheels, 0 to 1e5
	FromEnd   float64 // mm that a wheel keeps from either end, 0 to 1e5; the middle of a short strip at most
	// ShearAway is how far from the middle of a wheel shear is looked at, mm, 0 to
	// 5000: nearer the load goes straight down into the ground.
	ShearAway float64
}

// How finely a strip is looked over, in places over the length 1/λ: of a wheel,
// and of what it does beside itself, whose peaks are round. Beyond so many of
// those lengths from an end it is like the middle.
const (
	wheelPlaces  = 12
	strainPlaces = 30
	nearAnEnd    = 5
	fewestPlaces = 40
	mostPlaces   = 400
)

// leastWaves is the least length of a strip over 1/λ: a shorter one is a block
// that only tilts, and the forces at its ends drown in each other.
const leastWaves = 0.05

// Crossed returns the worst of one wheel and of two, at every place that a path
// allows, on a strip with two free ends.
//
//	y = Σ Pλ/(2kb)·A(λ|x−c|);  M = Σ P/(4λ)·C(λ|x−c|);  V = ∓Σ P/2·D(λ|x−c|)
//
// The strip is the infinite one, with a force and a moment at each end that
// cancel the moment and the shear there.
//
// Source: M. Hetényi, Beams on Elastic Foundation: superposition and
// end-conditioning forces of a beam of finite length (memory). Checked: the
// tests hold it against a beam of stiffness elements on springs, and
// testdata/references/slab.json, boresi-*.
func (s Strip) Crossed(w WheelPath) (Crossing, error) {
	lambda, err := s.Lambda()
	if err != nil {
		return Crossing{}, err
	}
	if err := refusal.First(
		refusal.Allow("strip length", w.Length, math.Max(300, leastWaves/lambda), 20000, "mm"),
		refusal.Allow("wheel load", w.Wheel, 0, 1e6, "N"),
		refusal.Allow("distance of the wheels", w.AxleTrack, 0, 1e5, "mm"),
		refusal.Allow("wheel from the end", w.FromEnd, 0, 1e5, "mm"),
		refusal.Allow("distance of the shear from the wheel", w.ShearAway, 0, 5000, "mm"),
	); err != nil {
		return Crossing{}, err
	}
	e := freeEnds(lambda, w.Length)
	near := math.Min(w.FromEnd, w.Length/2)
	free := w.Length - 2*near
	scale := lambda / (2 * s.Width)
	reach := math.Min(free/2, nearAnEnd/lambda)
	looked := math.Min(w.Length, near+2*reach+w.AxleTrack)
	grid := make([]spot, 1+int(math.Max(fewestPlaces, math.Min(mostPlaces, math.Ceil(looked*lambda*strainPlaces)))))
	for i := range grid {
		grid[i] = e.spot(looked * float64(i) / float64(len(grid)-1))
	}
	var worst Crossing
	examine := func(places ...float64) {
		var few [2]spot
		loads := few[:0]
		for _, c := range places {
			loads = append(loads, e.spot(c))
		}
		r := e.free(loads, w.Wheel)
		both := len(places) > 1
		look := func(x *spot) {
			y, m, _ := r.at(x)
			worst.Sagging.raise(m, x.at, places[0], both)
			worst.Hogging.raise(-m, x.at, places[0], both)
			worst.Pressure.raise(y*scale, x.at, places[0], both)
		}
		for i := range grid {
			look(&grid[i])
		}
		for i := range loads {
			look(&loads[i])
			for _, side := range [2]float64{-w.ShearAway, w.ShearAway} {
				if x := loads[i].at + side; x > 0 && x < w.Length {
					beside := e.spot(x)
					_, _, v := r.at(&beside)
					worst.Shear.raise(math.Abs(v), x, places[0], both)
				}
			}
		}
	}
	// Half of the places do: the strip is the same from its other end.
	places := math.Max(1, math.Ceil(reach*lambda*wheelPlaces))
	for i := 0.0; i <= places; i++ {
		examine(near + reach*i/places)
		if free >= w.AxleTrack {
			c := near + math.Min(reach, (free-w.AxleTrack)/2)*i/places
			examine(c, c+w.AxleTrack)
		}
	}
	return worst, nil
}

// spot is a place on a strip, with what the waves of all places are made of.
type spot struct{ at, grow, decay, sin, cos float64 }

// endedStrip is a strip of a length with two free ends: its responses are in N
// and N·mm, its deflection as y·2kb/λ.
type endedStrip struct {
	lambda          float64
	near, far       spot
	even, odd       [2][2]float64
	evenDet, oddDet float64
}

func (e *endedStrip) spot(x float64) spot {
	l := e.lambda * x
	decay := elementary.Exp(-l)
	return spot{x, 1 / decay, decay, math.Sin(l), math.Cos(l)}
}

// freeEnds finds what the forces at the ends follow from. They are found for the
// half of the moments and shears that is alike at both ends, and for the half
// that is opposite.
func freeEnds(lambda, length float64) endedStrip {
	e := endedStrip{lambda: lambda}
	e.near, e.far = e.spot(0), e.spot(length)
	w := waveAt(lambda * length)
	e.even = [2][2]float64{{(1 + w.c) / (4 * lambda), (1 + w.d) / 2}, {-(1 - w.d) / 2, -lambda * (1 - w.a) / 2}}
	e.odd = [2][2]float64{{(1 - w.c) / (4 * lambda), (1 - w.d) / 2}, {-(1 + w.d) / 2, -lambda * (1 + w.a) / 2}}
	det := func(m *[2][2]float64) float64 { return m[0][0]*m[1][1] - m[0][1]*m[1][0] }
	e.evenDet, e.oddDet = det(&e.even), det(&e.odd)
	return e
}

// freeResponse is an endedStrip under wheels, with the force and the moment at
// either end that free it.
type freeResponse struct {
	strip               *endedStrip
	loads               []spot
	force               float64
	nearForce, nearTurn float64
	farForce, farTurn   float64
}

// free loads a strip with a force at each of some places.
func (e *endedStrip) free(loads []spot, force float64) freeResponse {
	r := freeResponse{strip: e, loads: loads, force: force}
	_, nearM, nearV := r.at(&e.near)
	_, farM, farV := r.at(&e.far)
	solve := func(m *[2][2]float64, det, moment, shear float64) (force, turn float64) {
		return (-moment*m[1][1] + shear*m[0][1]) / det, (-m[0][0]*shear + m[1][0]*moment) / det
	}
	f, m := solve(&e.even, e.evenDet, (nearM+farM)/2, (nearV-farV)/2)
	g, n := solve(&e.odd, e.oddDet, (nearM-farM)/2, (nearV+farV)/2)
	r.nearForce, r.nearTurn, r.farForce, r.farTurn = f+g, m+n, f-g, n-m
	return r
}

// at is what the strip does at a place: y·2kb/λ, moment and shear. A load at the
// place itself stands beyond it.
func (r *freeResponse) at(x *spot) (y, m, v float64) {
	l := r.strip.lambda
	add := func(c *spot, force, turn float64, before bool) {
		side, e := 1.0, x.decay*c.grow
		if before {
			side, e = -1, c.decay*x.grow
		}
		sin, cos := side*(x.sin*c.cos-x.cos*c.sin), x.cos*c.cos+x.sin*c.sin
		y += e * (force*(cos+sin) + 2*l*turn*side*sin)
		m += e * (force/(4*l)*(cos-sin) + turn/2*side*cos)
		v -= e * (force/2*side*cos + turn*l/2*(cos+sin))
	}
	for i := range r.loads {
		add(&r.loads[i], r.force, 0, x.at <= r.loads[i].at)
	}
	add(&r.strip.near, r.nearForce, r.nearTurn, false)
	add(&r.strip.far, r.farForce, r.farTurn, true)
	return y, m, v
}
