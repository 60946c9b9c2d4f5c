package photo

import "math"

// judge finds residuals, leaves points out one by one, and names the suspects.
func (f *Fit) judge(pairs []Pair, pointing float64) {
	// Covariance for one pixel of pointing, in normalised units.
	sigma := pointing * f.pickScale
	f.cov.times(sigma * sigma)
	var sum float64
	for i, p := range pairs {
		r := &f.Residuals[i]
		a, b, w := f.h.apply(p.X, p.Y)
		r.DU, r.DV = a/w-p.U, b/w-p.V
		r.Pixels = math.Hypot(r.DU, r.DV)
		if g, err := f.ToGround(Pixel{p.U, p.V}); err == nil {
			r.DX, r.DY = g.X-p.X, g.Y-p.Y
			r.Ground = math.Hypot(r.DX, r.DY)
		}
		sum += (r.DU*r.DU + r.DV*r.DV) / (pointing * pointing)
		if !f.NoCheck {
			uu, uv, vv := f.picture(p.X, p.Y)
			r.Standardized = r.standardized(uu, uv, vv, pointing)
			f.leaveOut(pairs, i)
		}
	}
	if n := 2*len(pairs) - 8; n > 0 {
		f.UnitDeviation = math.Sqrt(sum / float64(n))
	}
	f.suspect()
}

// suspect names those that fit worst, if they fit too badly.
func (f *Fit) suspect() {
	var worst float64
	for _, r := range f.Residuals {
		worst = max(worst, r.Standardized)
	}
	if worst > StandardizedLimit {
		for i, r := range f.Residuals {
			if r.Standardized > worst*(1-1e-2) {
				f.Suspects = append(f.Suspects, i)
			}
		}
	}
}

// picture is the covariance of a projected place, pixels².
func (f *Fit) picture(x, y float64) (uu, uv, vv float64) {
	nx, ny, _ := f.ground.apply(x, y)
	_, _, du, dv := derivatives(&f.normal, nx, ny)
	uu, uv, vv = f.cov.spread(&du, &dv)
	s := f.pickScale * f.pickScale
	return uu / s, uv / s, vv / s
}

// checkedFrom is the redundancy under which the others do not check a point in
// one direction of the picture. Common practice, no published source.
const checkedFrom = 1e-4

// standardized is √(vᵀ(σ²I − JQJᵀ)⁻¹v) for a point of the fit, with its
// covariance JQJᵀ, over those directions of the picture in which the others check
// it; 0 where they do not.
func (r *Residual) standardized(uu, uv, vv, pointing float64) float64 {
	s := pointing * pointing
	a, b, c := s-uu, -uv, s-vv
	direction := math.Atan2(2*b, a-c) / 2
	half, diff := (a+c)/2, math.Hypot((a-c)/2, b)
	var sum float64
	for k, variance := range [2]float64{half + diff, half - diff} {
		if variance < checkedFrom*s {
			continue
		}
		sin, cos := math.Sincos(direction + float64(k)*math.Pi/2)
		v := r.DU*cos + r.DV*sin
		sum += v * v / variance
	}
	return math.Sqrt(sum)
}

// leaveOut predicts point i from the others.
func (f *Fit) leaveOut(pairs []Pair, i int) {
	rest := make([]Pair, 0, len(pairs)-1)
	rest = append(append(rest, pairs[:i]...), pairs[i+1:]...)
	g, err := fitUnjudged(rest)
	if err != nil {
		return
	}
	p := pairs[i]
	spot, err := g.ToPicture(Ground{p.X, p.Y})
	if err != nil {
		return
	}
	place, err := g.ToGround(Pixel{p.U, p.V})
	if err != nil {
		return
	}
	r := &f.Residuals[i]
	r.LeftOut = true
	r.PredictedPixels = math.Hypot(spot.U-p.U, spot.V-p.V)
	r.PredictedGround = math.Hypot(place.X-p.X, place.Y-p.Y)
}
