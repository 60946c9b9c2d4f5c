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
	// Joints cut the strip into pieces of one length, 0 to 12. They are hinges: mesh
	// or stones keep the pieces from stepping.
	Joints int
}

// How finely a strip is looked over, in places over the length 1/λ: of a wheel,
// and of what it does beside itself, whose peaks are round: a
// fourteenth finds them to some thousandths. Beyond so many of
// those lengths from an end it is like the middle.
const (
	wheelPlaces  = 6
	strainPlaces = 14
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
// Where the strip lifts the ground is taken to pull: its own weight does that
// under a car; under 60 kN a strip 300 × 150 sags by three hundredths more, and
// hogs less.
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
		refusal.Allow("strip length", w.Length, max(300, leastWaves/lambda*float64(1+max(0, w.Joints))), 20000, "mm"),
		refusal.Allow("wheel load", w.Wheel, 0, 1e6, "N"),
		refusal.Allow("distance of the wheels", w.AxleTrack, 0, 1e5, "mm"),
		refusal.Allow("wheel from the end", w.FromEnd, 0, 1e5, "mm"),
		refusal.Allow("distance of the shear from the wheel", w.ShearAway, 0, 5000, "mm"),
		refusal.Allow("joints", float64(w.Joints), 0, 12, ""),
	); err != nil {
		return Crossing{}, err
	}
	c := newCracked(lambda, &w)
	near := min(w.FromEnd, w.Length/2)
	free := w.Length - 2*near
	reach := free / 2
	if w.Joints == 0 {
		reach = min(reach, nearAnEnd/lambda)
	}
	// Half of the places do: the strip is the same from its other end.
	places := max(wheelPlaces, min(mostPlaces, math.Ceil(reach*lambda*wheelPlaces)))
	for i := 0.0; i <= places; i++ {
		c.examine(near + reach*i/places)
		if free >= w.AxleTrack {
			at := near + min(reach, (free-w.AxleTrack)/2)*i/places
			c.examine(at, at+w.AxleTrack)
		}
	}
	// At a joint and beside it.
	allowed := func(x float64) bool { return x >= near && x <= w.Length-near }
	for i := 1; i <= w.Joints; i++ {
		for _, side := range [3]float64{-w.ShearAway, 0, w.ShearAway} {
			if x := float64(i)*c.long + side; allowed(x) {
				c.examine(x)
				if allowed(x + w.AxleTrack) {
					c.examine(x, x+w.AxleTrack)
				}
				if allowed(x - w.AxleTrack) {
					c.examine(x-w.AxleTrack, x)
				}
			}
		}
	}
	c.worst.Pressure.Value *= lambda / (2 * s.Width)
	return c.worst, nil
}

// cracked is a strip of one piece or of several with hinges between them, and the
// worst that was found of it.
type cracked struct {
	path  *WheelPath
	piece endedStrip
	long  float64 // mm of a piece
	grid  []gridSpot
	// own and other are how far an end of a piece gives under a unit force at it,
	// and under one at its other end.
	own, other float64
	pieces     []pieceLoad
	worst      Crossing
}

// pieceLoad is what stands on a piece, and what it does.
type pieceLoad struct {
	loads []spotLoad
	r     freeResponse
	shear float64 // at its far end, on to the next
}

func newCracked(lambda float64, w *WheelPath) *cracked {
	c := &cracked{path: w, long: w.Length / float64(w.Joints+1), pieces: make([]pieceLoad, w.Joints+1)}
	c.piece = freeEnds(lambda, c.long)
	n := max(fewestPlaces, min(mostPlaces, math.Ceil(c.long*lambda*strainPlaces)))
	c.grid = make([]gridSpot, int(n)+1)
	for i := range c.grid {
		c.grid[i] = c.piece.gridSpot(c.long * float64(i) / n)
	}
	unit := c.piece.free([]spotLoad{{spot: c.piece.near, force: 1}})
	c.own, _, _ = unit.at(&c.piece.near)
	c.other, _, _ = unit.at(&c.piece.far)
	return c
}

// examine stands wheels at places and takes down what is worse than before.
func (c *cracked) examine(places ...float64) {
	for i := range c.pieces {
		c.pieces[i].loads = c.pieces[i].loads[:0]
	}
	for _, x := range places {
		i := min(int(x/c.long), len(c.pieces)-1)
		c.pieces[i].loads = append(c.pieces[i].loads, spotLoad{spot: c.piece.spot(x - float64(i)*c.long), force: c.path.Wheel})
	}
	wheels := make([]int, len(c.pieces))
	for i := range c.pieces {
		wheels[i] = len(c.pieces[i].loads)
	}
	c.join()
	for i := range c.pieces {
		p := &c.pieces[i]
		from, both := float64(i)*c.long, len(places) > 1
		look := func(x, y, m float64) {
			c.worst.Sagging.raise(m, from+x, places[0], both)
			c.worst.Hogging.raise(-m, from+x, places[0], both)
			c.worst.Pressure.raise(y, from+x, places[0], both)
		}
		for k := range c.grid {
			y, m := p.r.sag(&c.grid[k])
			look(c.grid[k].at, y, m)
		}
		for k := range wheels[i] {
			at := &p.loads[k].spot
			y, m, _ := p.r.at(at)
			look(at.at, y, m)
			for _, side := range [2]float64{-c.path.ShearAway, c.path.ShearAway} {
				if x := at.at + side; x > 0 && x < c.long {
					beside := c.piece.spot(x)
					_, _, v := p.r.at(&beside)
					c.worst.Shear.raise(math.Abs(v), from+x, places[0], both)
				}
			}
		}
		if i+1 < len(c.pieces) {
			c.worst.Shear.raise(math.Abs(p.shear), from+c.long, places[0], both)
		}
	}
}

// join finds the shears in the hinges, so that neither side of one steps, and what
// the pieces do with them.
//
//	2a·X_i − b·X_(i−1) − b·X_(i+1) = far_i − near_(i+1)
func (c *cracked) join() {
	n := len(c.pieces)
	var diagonal, right [13]float64
	for i := range c.pieces {
		c.pieces[i].r = c.piece.free(c.pieces[i].loads)
	}
	for i := range n - 1 {
		far, _, _ := c.pieces[i].r.at(&c.piece.far)
		near, _, _ := c.pieces[i+1].r.at(&c.piece.near)
		diagonal[i], right[i] = 2*c.own, far-near
		if i > 0 {
			part := -c.other / diagonal[i-1]
			diagonal[i] += part * c.other
			right[i] -= part * right[i-1]
		}
	}
	for i := n - 2; i >= 0; i-- {
		if i < n-2 {
			right[i] += c.other * c.pieces[i+1].shear
		}
		c.pieces[i].shear = right[i] / diagonal[i]
	}
	for i := range c.pieces {
		p := &c.pieces[i]
		if i > 0 {
			p.loads = append(p.loads, spotLoad{spot: c.piece.near, force: c.pieces[i-1].shear})
		}
		if i < n-1 {
			p.loads = append(p.loads, spotLoad{spot: c.piece.far, force: -p.shear})
		}
		if n > 1 {
			p.r = c.piece.free(p.loads)
		}
	}
}

// spot is a place on a strip, with what the waves of all places are made of.
type spot struct{ at, grow, decay, sin, cos float64 }

// spotLoad is a force (N) at a place.
type spotLoad struct {
	spot
	force   float64
	quarter float64 // force/4λ, once the strip is freed
}

// gridSpot is a place with the waves that the ends of the strip send there.
type gridSpot struct {
	spot
	near, far endWave
}

// endWave is a wave from an end at a place: how high it still is, and its parts.
type endWave struct{ high, sum, difference, sin, cos float64 }

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

func (e *endedStrip) gridSpot(x float64) gridSpot {
	at := e.spot(x)
	wave := func(c *spot, side, high float64) endWave {
		sin, cos := side*(at.sin*c.cos-at.cos*c.sin), at.cos*c.cos+at.sin*c.sin
		return endWave{high, cos + sin, cos - sin, sin, cos}
	}
	return gridSpot{at, wave(&e.near, 1, at.decay*e.near.grow), wave(&e.far, -1, e.far.decay*at.grow)}
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
	loads               []spotLoad
	nearForce, nearTurn float64
	farForce, farTurn   float64
}

// free loads a strip.
func (e *endedStrip) free(loads []spotLoad) freeResponse {
	r := freeResponse{strip: e, loads: loads}
	_, nearM, nearV := r.at(&e.near)
	_, farM, farV := r.at(&e.far)
	solve := func(m *[2][2]float64, det, moment, shear float64) (force, turn float64) {
		return (-moment*m[1][1] + shear*m[0][1]) / det, (-m[0][0]*shear + m[1][0]*moment) / det
	}
	f, m := solve(&e.even, e.evenDet, (nearM+farM)/2, (nearV-farV)/2)
	g, n := solve(&e.odd, e.oddDet, (nearM-farM)/2, (nearV+farV)/2)
	r.nearForce, r.nearTurn, r.farForce, r.farTurn = f+g, m+n, f-g, n-m
	for i := range loads {
		loads[i].quarter = loads[i].force / (4 * e.lambda)
	}
	return r
}

// sag is the y and m of [freeResponse.at] at a place of the grid, of which a design asks
// hundred thousands.
func (r *freeResponse) sag(x *gridSpot) (y, m float64) {
	l := r.strip.lambda
	for i := range r.loads {
		c := &r.loads[i]
		side, high := 1.0, x.decay*c.grow
		if x.at < c.at || x.at == c.at && c.at < r.strip.far.at {
			side, high = -1, c.decay*x.grow
		}
		sin, cos := side*(x.sin*c.cos-x.cos*c.sin), x.cos*c.cos+x.sin*c.sin
		y += high * (c.force * (cos + sin))
		m += high * (c.quarter * (cos - sin))
	}
	y += x.near.high * (r.nearForce*x.near.sum + 2*l*r.nearTurn*x.near.sin)
	m += x.near.high * (r.nearForce/(4*l)*x.near.difference + r.nearTurn/2*x.near.cos)
	y += x.far.high * (r.farForce*x.far.sum - 2*l*r.farTurn*x.far.sin)
	m += x.far.high * (r.farForce/(4*l)*x.far.difference - r.farTurn/2*x.far.cos)
	return y, m
}

// at is what the strip does at a place: y·2kb/λ, moment and shear. A load at the
// place itself stands beyond it, one at the far end before it.
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
		c := &r.loads[i]
		add(&c.spot, c.force, 0, x.at < c.at || x.at == c.at && c.at < r.strip.far.at)
	}
	add(&r.strip.near, r.nearForce, r.nearTurn, false)
	add(&r.strip.far, r.farForce, r.farTurn, true)
	return y, m, v
}
