package draw

import (
	"math"

	"pegpour/engine/refusal"
)

// ErrView is returned by Layout for a view that cannot be drawn to.
var ErrView = error(refusal.Error(
	"drawing view: width must be above 0 and at most 100000, height, scale, text height and margin 0 or more, all of them numbers"))

func (v View) valid() bool {
	for _, f := range [...]float64{v.Height, v.Scale, v.TextHeight, v.Margin} {
		if !(f >= 0 && f <= 1e5) {
			return false
		}
	}
	w := v.Window
	return v.Width > 0 && v.Width <= 1e5 && !badPoint(w.Min) && !badPoint(w.Max)
}

// withDefaults fills in what the view left open.
func (v View) withDefaults() View {
	if v.TextHeight < 16 && !v.Paper {
		v.TextHeight = 16
	}
	if v.TextHeight == 0 {
		v.TextHeight = 16
		if v.Paper {
			v.TextHeight = 3.5
		}
	}
	if v.Margin == 0 {
		v.Margin = v.TextHeight / 2
	}
	return v
}

func (v View) windowed() bool { return v.Window.Width() > 0 && v.Window.Height() > 0 }

func (v View) hides(layer string) bool {
	for _, h := range v.Hidden {
		if h == layer && layer != "" {
			return true
		}
	}
	return false
}

// Layout places a scene on a sheet of the size that the view asks for.
//
// Dimensions are stacked outside the drawing, shorter ones nearer; a figure
// that finds no room between its extension lines moves along, then outside,
// then out on a leader. Labels move aside or out on a leader. Equal input gives
// an equal sheet. Without a view scale the largest that fits is taken; on paper
// the largest of [StandardRatios], or the smallest of them when none fits
// (Sheet.Fits is then false).
//
// Errors: [ErrView], or an [*ElementError] from [Scene.Validate].
func Layout(s *Scene, v View) (*Sheet, error) {
	if !v.valid() {
		return nil, ErrView
	}
	if err := s.Validate(); err != nil {
		return nil, err
	}
	v = v.withDefaults()
	if v.Scale > 0 {
		return place(nil, s, v, v.Scale).untangled().finish(), nil
	}
	if v.Paper {
		var p *placer
		for _, ratio := range issueRatios {
			p = place(p, s, v, 1/ratio)
			if p.fits() {
				break
			}
		}
		return p.untangled().finish(), nil
	}
	return fitToScreen(s, v).untangled().finish(), nil
}

// fitToScreen looks for the scale at which the drawing with all that is
// around it just fills the target.
func fitToScreen(s *Scene, v View) *placer {
	model := s.shown(v)
	w := max(model.Width(), 1)
	h := max(model.Height(), 1)
	if v.Turn {
		w, h = h, w
	}
	roomX, roomY := v.Width-2*v.Margin, v.Height-2*v.Margin
	if v.Height == 0 {
		roomY = math.Inf(1)
	}
	roomX, roomY = max(roomX, v.Width/10), max(roomY, v.Height/10)
	full := min(roomX/w, roomY/h)
	least := full / 3
	scale := max(least, min((roomX-5*v.TextHeight)/w, (roomY-5*v.TextHeight)/h))
	// A rough start: labels and leaders hardly change how large the whole is.
	var spare *placer // one whose placing nobody needs any more
	for range 3 {
		spare = arrange(spare, s, v, scale, true)
		ext := spare.content
		next := min((roomX-(ext.Width()-scale*w))/w, (roomY-(ext.Height()-scale*h))/h)
		next = max(min(next, full), least)
		if math.Abs(next-scale) < scale*0.01 {
			scale = min(scale, next)
			break
		}
		scale = next
	}
	var best, narrow *placer // the largest that fits, the largest that fits in width
	try := func() Box {
		p := place(spare, s, v, scale)
		before := [...]*placer{p, best, narrow}
		if p.fits() && (best == nil || scale > best.scale) {
			best = p
		}
		if p.content.Width() <= roomX && (narrow == nil || scale > narrow.scale) {
			narrow = p
		}
		spare = nil
		for _, q := range before {
			if q != best && q != narrow {
				spare = q
			}
		}
		return p.content
	}
	for range 5 {
		ext := try()
		sx := (roomX - (ext.Width() - scale*w)) / w
		sy := (roomY - (ext.Height() - scale*h)) / h
		next := max(min(min(sx, sy), full), least)
		if best != nil && next <= best.scale*1.04 {
			break
		}
		if next == scale {
			break
		}
		if math.Abs(next-scale) < scale*0.005 {
			next = max(scale*0.97, least)
		}
		scale = next
	}
	// What surrounds the drawing does not grow smoothly with it: look through
	// the scales from the top.
	const small = 0.6 // of the scale without anything around: smaller is hard to read
	if best == nil || best.scale < small*full {
		for scale = full * 0.95; scale > least; scale *= 0.9 {
			if narrow != nil && scale <= narrow.scale {
				break
			}
			try()
		}
	}
	switch {
	case best != nil && (narrow == nil || best.scale >= small*full || best.scale > 0.8*narrow.scale):
		return best
	case narrow != nil:
		return narrow // too much for so little height: grow downwards
	}
	return place(spare, s, v, max(least, (roomX-5*v.TextHeight)/w))
}

// shown is the part of the model that the view shows.
func (s *Scene) shown(v View) Box {
	if v.windowed() {
		return v.Window
	}
	box := EmptyBox()
	for _, e := range s.Elements {
		if !v.hides(e.tag().Layer) && !(v.NoDimensions && isDimension(e)) {
			e.cover(&box)
		}
	}
	if box.Empty() {
		return Box{}
	}
	return box
}

func isDimension(e Element) bool {
	switch e.(type) {
	case Dimension, AngleDimension, RadiusDimension:
		return true
	}
	return false
}

// placer holds what has been placed so far, in sheet coordinates with the
// model's origin at (0, 0).
type placer struct {
	view    View
	scene   *Scene
	scale   float64
	sign    float64 // -1 when mirrored
	t       float64 // text height
	window  Box     // on the sheet; empty when the view has none
	shapes  []Group
	notes   []Group
	work    []work
	segs    []segment
	index   segmentIndex
	slabs   []slab
	shape   Box // of shapes and dimensioned points that are not context
	content Box // of everything
	stacks  [4][]stackedDimension
	late    []lateLabel
	leaders []leaderLine
	points  store[Point]
	marks   store[Mark]
	rings   store[[]Point]
}

// work ties an element of the second kind (placed, not mapped) to its group.
type work struct {
	element Element
	group   int
}

func (p *placer) at(m Point) Point {
	x, y := p.sign*m.X, m.Y
	if p.view.Turn {
		x, y = -y, x
	}
	return Point{p.scale * x, -p.scale * y}
}

func place(p *placer, s *Scene, v View, scale float64) *placer {
	return arrange(p, s, v, scale, false)
}

// arrange places the scene at a scale; rough leaves out labels and leaders. It
// takes the room of p, which then holds the new placing; nil makes room.
func arrange(p *placer, s *Scene, v View, scale float64, rough bool) *placer {
	if p == nil {
		p = v.room.placer(len(s.Elements))
	}
	*p = p.emptied()
	p.view, p.scene, p.scale, p.sign, p.t = v, s, scale, 1, v.TextHeight
	p.window, p.shape, p.content = EmptyBox(), EmptyBox(), EmptyBox()
	if v.Mirror {
		p.sign = -1
	}
	if v.windowed() {
		p.window.Grow(p.at(v.Window.Min))
		p.window.Grow(p.at(v.Window.Max))
	}
	p.mapShapes()
	p.startIndex()
	p.placeSymbols()
	p.placeCloseDimensions()
	p.placeStacks()
	if !rough {
		p.placeLabels()
		p.placeLate()
		p.breakExtensions()
	}
	p.placeFurniture()
	return p
}

func (p *placer) fits() bool {
	v := p.view
	return p.content.Width() <= v.Width-2*v.Margin+1e-6 &&
		(v.Height == 0 || p.content.Height() <= v.Height-2*v.Margin+1e-6)
}

// finish moves everything to its place on the sheet.
func (p *placer) finish() *Sheet {
	v := p.view
	if p.content.Empty() {
		p.content = Box{}
	}
	s := &Sheet{
		Title: p.scene.Title, Desc: p.scene.Desc, Paper: v.Paper, Scale: p.scale,
		Mirror: v.Mirror, Turn: v.Turn, TextHeight: p.t, Clip: EmptyBox(),
		Width:  max(v.Width, p.content.Width()+2*v.Margin),
		Height: max(v.Height, p.content.Height()+2*v.Margin),
	}
	s.Fits = p.fits()
	s.Groups = append(p.shapes, p.notes...)
	c := p.content.Centre()
	dx, dy := s.Width/2-c.X, s.Height/2-c.Y
	s.Origin = Point{dx, dy}
	if !p.window.Empty() {
		s.Clip = Box{Point{p.window.Min.X + dx, p.window.Min.Y + dy}, Point{p.window.Max.X + dx, p.window.Max.Y + dy}}
	}
	for g := range s.Groups {
		for m := range s.Groups[g].Marks {
			mark := &s.Groups[g].Marks[m]
			shift(mark.Points, dx, dy)
			for _, r := range mark.Rings {
				shift(r, dx, dy)
			}
		}
	}
	return s
}

func shift(ps []Point, dx, dy float64) {
	for i := range ps {
		ps[i].X += dx
		ps[i].Y += dy
	}
}
