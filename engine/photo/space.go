package photo

// Space is how a picture has places in space: from x, y and level (mm) to u·w, v·w and w,
// pixels, with w above 0 for what lies before the camera.
type Space [3][4]float64

// At is where a place shows in the picture, and w.
func (s *Space) At(x, y, z float64) (u, v, w float64) {
	at := func(r int) float64 { return s[r][0]*x + s[r][1]*y + s[r][2]*z + s[r][3] }
	w = at(2)
	return at(0) / w, at(1) / w, w
}

// Space is that of a fit by a camera; false for one of the ground alone, which says nothing
// of heights before it [Fit.Stand]s.
func (f *Fit) Space() (Space, bool) {
	if f.up == [3]float64{} {
		return Space{}, false
	}
	var s Space
	for r, up := range f.up {
		h := f.h[3*r : 3*r+3]
		s[r] = [4]float64{h[0] - up*f.plane[1], h[1] - up*f.plane[2], up, h[2] - up*f.plane[0]}
	}
	return s, true
}

// Stand gives a fit of the ground the upright of a camera that was fitted to the same marks:
// what stands at a place of the ground stands where this fit has the place, and is as high as
// that camera has it there.
func (f *Fit) Stand(camera *Fit, at Ground) {
	_, _, w := f.h.apply(at.X, at.Y)
	_, _, by := camera.h.apply(at.X, at.Y)
	if !(w > 0) || !(by > 0) {
		return
	}
	f.plane = camera.plane
	for i, up := range camera.up {
		f.up[i] = up * w / by
	}
}

// stands keeps the upright of a camera: what a millimetre upwards is in its picture.
func (f *Fit) stands(c *pinhole, frame *Frame, last float64) {
	up, s := c.column(2), f.pickScale
	by := f.ground[0] / last // the ground's scale, which X has as it is
	a, b, w := c.focal*up[0]*by, c.focal*up[1]*by, up[2]*by
	f.up = [3]float64{a/s + frame.Wide/2*w, b/s + frame.High/2*w, w}
	f.plane = [3]float64{frame.Level, frame.AlongX, frame.AlongY}
}
