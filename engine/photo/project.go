package photo

import "math"

// Matrix is the homography from ground to picture, row by row, scaled to a
// last entry of 1 where that is not 0.
func (f *Fit) Matrix() [9]float64 { return scaled(f.h) }

// Inverse is the homography from picture to ground, scaled likewise.
func (f *Fit) Inverse() [9]float64 { return scaled(f.back) }

func scaled(h matrix3) [9]float64 {
	if h[8] != 0 {
		k := h[8]
		for i := range h {
			h[i] /= k
		}
	}
	return h
}

// ToPicture is where a place on the ground shows in the picture. HorizonError
// when it lies behind the camera, or nearer to it than a fiftieth of the
// nearest point that was picked.
func (f *Fit) ToPicture(g Ground) (Pixel, error) {
	for _, v := range []float64{g.X, g.Y} {
		if err := within("ground coordinate", -1, v, -1e9, 1e9); err != nil {
			return Pixel{}, err
		}
	}
	a, b, w := f.h.apply(g.X, g.Y)
	if !(w >= f.least) {
		return Pixel{}, &HorizonError{}
	}
	return Pixel{a / w, b / w}, nil
}

// ToGround is the place on the ground that shows at a spot of the picture.
// HorizonError on the horizon and above it.
func (f *Fit) ToGround(p Pixel) (Ground, error) {
	for _, v := range []float64{p.U, p.V} {
		if err := within("picture coordinate", -1, v, -1e7, 1e7); err != nil {
			return Ground{}, err
		}
	}
	x, y, w := f.back.apply(p.U, p.V)
	if !(w > 0) || !(math.Hypot(x, y) <= 1e9*w) {
		return Ground{}, &HorizonError{}
	}
	return Ground{x / w, y / w}, nil
}

// Uncertainty is how well a place on the ground is placed in the picture: standard
// semi-axis of its longer error in pixels, and the same carried back to the
// ground in mm. It holds the pointing only: not the lens, nor ground that is
// not flat.
func (f *Fit) Uncertainty(g Ground) (pixels, ground float64, err error) {
	p, err := f.ToPicture(g)
	if err != nil {
		return 0, 0, err
	}
	uu, uv, vv := f.picture(g.X, g.Y)
	pixels = longer(uu, uv, vv)
	// Derivatives of the way back.
	_, _, w := f.back.apply(p.U, p.V)
	b := &f.back
	xu, xv := (b[0]-g.X*b[6])/w, (b[1]-g.X*b[7])/w
	yu, yv := (b[3]-g.Y*b[6])/w, (b[4]-g.Y*b[7])/w
	xx := xu*xu*uu + 2*xu*xv*uv + xv*xv*vv
	yy := yu*yu*uu + 2*yu*yv*uv + yv*yv*vv
	xy := xu*yu*uu + (xu*yv+xv*yu)*uv + xv*yv*vv
	return pixels, longer(xx, xy, yy), nil
}

func longer(aa, ab, bb float64) float64 {
	return math.Sqrt(max(0, (aa+bb)/2+math.Hypot((aa-bb)/2, ab)))
}

// Horizon is the line a·U + b·V + c = 0 where the ground ends in the picture,
// with a² + b² = 1; over 0 on the ground's side. false when the camera looks
// straight down and there is none.
func (f *Fit) Horizon() (a, b, c float64, ok bool) {
	n := math.Hypot(f.back[6], f.back[7])
	// A horizon a million pictures away is none.
	if n*MaxPixel*1e6 <= math.Abs(f.back[8]) {
		return 0, 0, 0, false
	}
	return f.back[6] / n, f.back[7] / n, f.back[8] / n, true
}

// Line draws a line through places on the ground, as the stretches of it that
// lie before the camera. A place that is not a number breaks the line.
func (f *Fit) Line(places []Ground) [][]Pixel {
	var out [][]Pixel
	var run []Pixel
	end := func() {
		if len(run) > 1 {
			out = append(out, run)
		}
		run = nil
	}
	for i, g := range places {
		if !(math.Abs(g.X) <= 1e9 && math.Abs(g.Y) <= 1e9) {
			end()
			continue
		}
		a, b, w := f.h.apply(g.X, g.Y)
		if i > 0 {
			if q := places[i-1]; math.Abs(q.X) <= 1e9 && math.Abs(q.Y) <= 1e9 {
				c, d, v := f.h.apply(q.X, q.Y)
				if (w >= f.least) != (v >= f.least) {
					k := (f.least - v) / (w - v)
					run = append(run, Pixel{(c + k*(a-c)) / f.least, (d + k*(b-d)) / f.least})
				}
			}
		}
		if w >= f.least {
			run = append(run, Pixel{a / w, b / w})
		} else {
			end()
		}
	}
	end()
	return out
}

// Area draws a closed outline, clipped to what lies before the camera; empty
// when nothing does.
func (f *Fit) Area(outline []Ground) []Pixel {
	var out []Pixel
	for i, g := range outline {
		q := outline[(i+1)%len(outline)]
		for _, v := range []float64{g.X, g.Y, q.X, q.Y} {
			if !(math.Abs(v) <= 1e9) {
				return nil
			}
		}
		a, b, w := f.h.apply(g.X, g.Y)
		c, d, v := f.h.apply(q.X, q.Y)
		if w >= f.least {
			out = append(out, Pixel{a / w, b / w})
		}
		if (w >= f.least) != (v >= f.least) {
			k := (f.least - w) / (v - w)
			out = append(out, Pixel{(a + k*(c-a)) / f.least, (b + k*(d-b)) / f.least})
		}
	}
	if len(out) < 3 {
		return nil
	}
	return out
}
