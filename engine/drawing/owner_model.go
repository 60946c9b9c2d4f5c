package drawing

import (
	"math"

	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/plan"
	"pegpour/engine/refusal"
)

// Parts of a model that move by themselves: what stands still, the person, who turns to the
// eye, and the leaf's panels.
const (
	partStill = iota
	partPerson
	partPanels
	// ModelParts is how many there may be.
	ModelParts = 12
)

// OwnerModel is the owner's view in space, for a processor of graphics: its bodies once,
// and for each picture only matrices.
type OwnerModel struct {
	solid.Mesh
	// Hidden is how many numbers of the corners, from the first, hide what lies behind
	// them and are not seen themselves.
	Hidden int

	moves    []solid.Point // of each panel from shut to open
	person   solid.Point
	sun      solid.Point
	mirrored bool
	azimuth  float64 // from which one looks at first
	middle   solid.Point
	around   []solid.Point // corners of what is to be seen, wherever the gate stands
	depth    float64       // of all, from the middle
	top      float64       // of the ground
	fitted   OwnerLook     // from where all was last fitted into the picture
	fit      solid.Matrix  // the matrix of that
}

// ErrPanels refuses a gate of more panels than a model has parts for.
var ErrPanels = error(refusal.Error("a gate of so many panels cannot be drawn in space"))

// NewOwnerModel makes the model of the view that the options name, for any share of its way
// that the gate stands open; by the light of a moon, or by day. What errors there may be are
// those of OwnerViewScene, and ErrPanels.
func NewOwnerModel(p *plan.Plan, o OwnerOptions, night bool) (*OwnerModel, error) {
	v, m := newModel(p, &o)
	ground, _ := v.build()
	if v.err != nil {
		return nil, v.err
	}
	p = v.p
	colour := draw.Material.DayColour
	if night {
		colour = draw.Material.MoonColour
	}
	if !p.Ground.Known() {
		ground = v.plates()
	}
	if v.err != nil {
		return nil, v.err
	}
	for _, b := range ground {
		m.around = append(m.around, b.Corners()...)
		for _, q := range b.Corners() {
			m.top = max(m.top, q.Z)
		}
		m.Add(b, partStill, m.sun, true, colour)
	}
	if o.Figures {
		q := ownerPerson(p)
		m.person = solid.Point{X: q.X, Y: q.Y, Z: v.standing(q.X, q.Y)}
		m.around = append(m.around, m.person, solid.Point{X: q.X, Y: q.Y, Z: m.person.Z + personHigh})
	}
	m.bodies(v, colour)
	box := draw.EmptyBox()
	for _, q := range m.around {
		box.Grow(draw.Pt(q.X, q.Y))
	}
	c := box.Centre()
	if len(m.moves) > ModelParts-partPanels {
		return nil, ErrPanels
	}
	m.middle = solid.Point{X: c.X, Y: c.Y, Z: v.standing(p.Opening/2, 0) + v.high()*0.4}
	m.span()
	return m, nil
}

func newModel(p *plan.Plan, o *OwnerOptions) (*ownerView, *OwnerModel) {
	if p.Pair != nil {
		whole := *p
		whole.Ground = p.WholeGround()
		p = &whole
	}
	o.Open = 0
	v := &ownerView{p: p, o: o, s: &draw.Scene{}, camera: ownerCamera(o), parts: map[int]int{}}
	return v, &OwnerModel{sun: v.camera.Sun(), mirrored: p.Mirrored(), azimuth: v.camera.Azimuth, top: math.Inf(-1)}
}

// bodies adds what stands on the ground, the gate with where it goes.
func (m *OwnerModel) bodies(v *ownerView, colour func(draw.Material, draw.Light) [3]float64) {
	m.goes(v)
	for i, b := range v.bodies {
		part := v.parts[i]
		sun := m.sun
		if part == partPerson { // as it stands to the sun when one looks at first
			sin, cos := math.Sincos(m.azimuth)
			sun.X, sun.Y = cos*sun.X+sin*sun.Y, cos*sun.Y-sin*sun.X
		}
		m.Add(b, part, sun, seenEdges(b.Tag()), colour)
		if part != partPerson {
			m.around = append(m.around, b.Corners()...)
		}
		if part >= partPanels {
			to := m.moves[part-partPanels]
			for _, q := range b.Corners() {
				m.around = append(m.around, solid.Point{X: q.X + to.X, Y: q.Y, Z: q.Z + to.Z})
			}
		}
	}
}

// goes finds how far each panel goes, along the fall of its track.
func (m *OwnerModel) goes(v *ownerView) {
	shut, open := panelsAt(v.p, 0), panelsAt(v.p, 1)
	for i := range shut {
		v.latch = shut[i].latch
		x := open[i].x1 - shut[i].x1
		m.moves = append(m.moves, solid.Point{X: x, Z: x * v.atLeaf(0).DX})
	}
	v.latch = false
}

// span finds how deep the model is, from its middle, and does with fewer corners.
func (m *OwnerModel) span() {
	seen := map[solid.Point]bool{}
	kept := m.around[:0]
	for _, q := range m.around {
		if !seen[q] {
			seen[q] = true
			kept = append(kept, q)
		}
		m.depth = max(m.depth, math.Hypot(math.Hypot(q.X-m.middle.X, q.Y-m.middle.Y), q.Z-m.middle.Z))
	}
	m.around = kept
	m.depth += personHigh // of a person who turns
}

// seenEdges reports whether the edges of a part are drawn: what is as thin as a line has none.
func seenEdges(tag draw.Tag) bool {
	return tag.ID != "owner.track" && (tag.ID != "owner.cladding" || tag.Material == draw.MaterialTimber)
}

// How level ground is shown in space, mm: a plate, and what lies on it so much above one
// another that it can be told apart.
const (
	modelThick = 160.0
	modelStep  = 3.0
)

// plates are the level ground and what lies on it.
func (v *ownerView) plates() (all []solid.Body) {
	low, high := v.plate()
	add := func(id string, ring draw.Ring, bottom, top float64) {
		b, err := solid.Prism(v.tag(id), ring, solid.Level{Z: bottom}, solid.Level{Z: top})
		if err != nil && v.err == nil {
			v.err = err
		}
		all = append(all, b.Sides(v.tag("earth")))
	}
	add("ground", draw.RectRing(low.X, low.Y, high.X, high.Y), -modelThick, 0)
	add("drive", ringOf(ownerDrive(v.p, v.o)), -modelThick, modelStep)
	for i := range v.p.Poured {
		add("poured", ringOf(v.p.Poured[i].Outer), -modelThick/2, 2*modelStep)
	}
	return all
}

// OwnerLook is how a model is looked at.
type OwnerLook struct {
	// Turn goes round the gate from the side that the options named, rad, the eye to the
	// right; Rise is above the ground, rad, held so that the eye stays above it.
	Turn, Rise float64
	// Open is how far the gate stands open, 0 to 1.
	Open float64
	// Zoom enlarges the picture, and Right and Up say what is in its middle then, as shares
	// of half of its size.
	Zoom, Right, Up float64
	// Shape is the picture's height by its width.
	Shape float64
}

// OwnerRise is the height over the ground from which one looks at first, and the greatest, rad.
const (
	OwnerRise    = 0.34
	OwnerRiseTop = 1.3
)

// How an owner's eye looks (common practice, no published source).
const (
	ownerAway   = 2.2    // how far the eye stands from the middle, by the radius of what is seen
	ownerInside = 0.95   // of the picture, within its rim
	ownerClear  = 1000.0 // the least height of the eye above the highest ground, mm
)

// Eye is where the eye stands for a look.
func (m *OwnerModel) Eye(l OwnerLook) solid.Eye {
	turn := l.Turn
	if m.mirrored {
		turn = -turn
	}
	e := solid.Eye{At: m.middle, Away: ownerAway * m.depth, Half: 1 / ownerAway}
	least := math.Asin(max(0, min(1, (m.top+ownerClear-m.middle.Z)/e.Away)))
	e.Camera = solid.Camera{Azimuth: m.azimuth + turn, Elevation: max(least, min(l.Rise, OwnerRiseTop))}
	return e
}

// Frame writes all that a picture needs, column by column: the matrix of the picture, that of
// the sun's picture, the parts' for the picture, and the parts' for the sun's. It gives back the rise taken.
func (m *OwnerModel) Frame(l OwnerLook, out *[16 * (2 + 2*ModelParts)]float32) float64 {
	e := m.Eye(l)
	// A gate that slides leaves the picture as it is.
	if from := (OwnerLook{Turn: l.Turn, Rise: l.Rise, Shape: l.Shape}); from != m.fitted {
		m.fitted, m.fit = from, e.Matrix(l.Shape, m.depth)
		m.fit.Fit(m.around, ownerInside)
	}
	view := m.fit
	if m.mirrored {
		for c := range view[0] {
			view[0][c] = -view[0][c]
		}
	}
	view.Cut(l.Zoom, l.Right, l.Up)
	sun := solid.SunMatrix(m.sun, m.middle, m.depth)
	at := 0
	put := func(x solid.Matrix) {
		columns := x.Columns()
		at += copy(out[at:], columns[:])
	}
	put(view)
	put(sun)
	m.parts(l.Open, e.Azimuth, put)
	m.parts(l.Open, math.Atan2(m.sun.X, -m.sun.Y), put)
	return e.Elevation
}

// parts are the matrices of the parts, the person turned so.
func (m *OwnerModel) parts(open, azimuth float64, put func(solid.Matrix)) {
	open = (&OwnerOptions{Open: open}).share()
	still := solid.Matrix{{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}}
	sin, cos := math.Sincos(azimuth)
	person := still
	person[0] = [4]float64{cos, -sin, 0, m.person.X}
	person[1] = [4]float64{sin, cos, 0, m.person.Y}
	person[2][3] = m.person.Z
	put(still)
	put(person)
	for i := range ModelParts - partPanels {
		panel := still
		if i < len(m.moves) {
			panel[0][3], panel[2][3] = open*m.moves[i].X, open*m.moves[i].Z
		}
		put(panel)
	}
}
