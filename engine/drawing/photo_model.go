package drawing

import (
	"math"

	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/photo"
	"pegpour/engine/plan"
)

// NewPhotoModel makes the model of the gate that stands in a photo: leaf, track, guide post,
// motor and stops. The posts that the picture shows already hide what is behind them, as
// high as their tops were marked; what else stands before the gate there is not known.
// Inside says that the photo was taken from inside.
func NewPhotoModel(p *plan.Plan, inside bool, spots []PhotoSpot) (*OwnerModel, error) {
	v, m := newModel(p, &OwnerOptions{Inside: inside})
	for _, ring := range [...]draw.Ring{ringOf(v.p.Site.PostLatch), ringOf(v.p.Site.PostRunBack)} {
		v.stand("post", ring, v.markedTop(ring, spots))
	}
	posts := len(v.bodies)
	v.leaf()
	v.hardware()
	if v.err != nil {
		return nil, v.err
	}
	for _, b := range v.bodies[:posts] {
		m.Add(b, partStill, m.sun, false, draw.Material.DayColour)
	}
	m.Hidden = len(m.Corners) / solid.MeshCorner
	m.goes(v)
	if len(m.moves) > ModelParts-partPanels {
		return nil, ErrPanels
	}
	for i, b := range v.bodies[posts:] {
		m.Add(b, v.parts[posts+i], m.sun, seenEdges(b.Tag()), draw.Material.DayColour)
	}
	return m, nil
}

// markedTop is how high a post stands by the marks at its corners, as high as the leaf where
// there is none.
func (v *ownerView) markedTop(ring draw.Ring, spots []PhotoSpot) float64 {
	high, marked := v.high(), 0.0
	for _, s := range spots {
		for _, q := range ring {
			if math.Hypot(s.At.X-q.X, s.At.Y-q.Y) < 1 {
				marked = max(marked, s.Height)
			}
		}
	}
	if marked > 0 {
		return marked
	}
	return high
}

// FromInside reports whether a picture was taken from inside the property.
func FromInside(s *photo.Space) bool { return s[2][1] < 0 }

// PhotoFrame writes what [OwnerModel.Frame] writes, for a picture of a size (pixels) with the
// gate open by a share; nearer than a hundredth of the farthest nothing is drawn.
func (m *OwnerModel) PhotoFrame(s *photo.Space, wide, high, open float64, out *[16 * (2 + 2*ModelParts)]float32) {
	far := 0.0
	for i := 0; i < len(m.Corners); i += solid.MeshCorner {
		x, z := float64(m.Corners[i]), float64(m.Corners[i+2])
		if part := int(m.Corners[i+7]); part >= partPanels {
			x, z = x+open*m.moves[part-partPanels].X, z+open*m.moves[part-partPanels].Z
		}
		_, _, w := s.At(x, float64(m.Corners[i+1]), z)
		far = max(far, 1.01*w)
	}
	near := far / 100
	var view solid.Matrix
	for c := range 4 {
		u, v, w := s[0][c], s[1][c], s[2][c]
		view[0][c], view[1][c] = 2*u/wide-w, w-2*v/high
		view[2][c], view[3][c] = (far+near)/(far-near)*w, w
	}
	view[2][3] -= 2 * far * near / (far - near)
	at := 0
	put := func(x solid.Matrix) {
		columns := x.Columns()
		at += copy(out[at:], columns[:])
	}
	put(view)
	put(view) // there is no sun in a photo
	m.parts(open, 0, put)
	m.parts(open, 0, put)
}
