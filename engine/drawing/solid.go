package drawing

import (
	"math"

	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// OwnerViewScene draws the site in three dimensions as the owner knows it,
// with what lies behind hidden. The drawing is a parallel projection; the view
// that shows it must not be turned, and is mirrored for the other hand like
// every drawing of the plan.
func OwnerViewScene(p *plan.Plan, o OwnerOptions) (*draw.Scene, error) {
	if p.Pair != nil {
		whole := *p
		whole.Ground = p.WholeGround()
		p = &whole
	}
	v := ownerView{p: p, o: &o, s: &draw.Scene{Title: o.words("Your gate"), Desc: ownerSpoken(p, &o)}}
	v.camera = solid.Camera{Azimuth: -math.Pi / 5, Elevation: math.Pi / 6}
	if o.Inside {
		v.camera = solid.Camera{Azimuth: math.Pi + math.Pi/5, Elevation: math.Pi / 6}
	}
	ground, cuts := v.build()
	if v.err != nil {
		return nil, v.err
	}
	var elements []draw.Element
	var err error
	if p.Ground.Known() {
		elements, err = solid.DrawOnGround(ground, v.bodies, cuts, v.carried(0), v.camera)
	} else {
		elements, err = solid.DrawApart(v.bodies, v.camera)
	}
	if err != nil {
		return nil, err
	}
	if !p.Ground.Known() {
		v.shadows()
	}
	shown := elements[:0]
	for _, e := range elements {
		// What is as thin as a line has none around it.
		tag := draw.TagOf(e)
		thin := tag.ID == "owner.track" || tag.ID == "owner.cladding" && tag.Material != draw.MaterialTimber
		if r, ok := e.(draw.Region); ok && (thin || tag.ID == "owner.drive") {
			r.Open = r.Open || thin
			if !thin {
				r.Hatch = surfaceHatch(p.Site.Surface)
			}
			e = r
		} else if thin {
			continue
		}
		shown = append(shown, e)
	}
	v.s.Add(shown...)
	return v.s, nil
}

// build makes the bodies that stand on the site, and where the site is not
// level those of its ground with the offsets at which it steps.
func (v *ownerView) build() (ground []solid.Body, cuts []float64) {
	if v.p.Ground.Known() {
		ground, cuts = v.slopingGround()
	} else {
		v.levelGround()
	}
	v.obstructions()
	v.fence()
	v.posts()
	v.leaf()
	v.hardware()
	if v.o.Figures {
		v.car()
		v.person()
	}
	return ground, cuts
}

type ownerView struct {
	p      *plan.Plan
	o      *OwnerOptions
	s      *draw.Scene
	camera solid.Camera
	bodies []solid.Body
	// casters are bodies of which only the shadow is shown.
	casters []solid.Body
	latch   bool // what is drawn stands on the latch side of two leaves
	err     error
}

func (v *ownerView) tag(id string) draw.Tag { return ownerTag(v.p, id) }

// flat draws an area that lies on the ground. Nothing stands below it, so it
// goes under everything else.
func (v *ownerView) flat(id string, ring draw.Ring) {
	if len(ring) < 3 {
		return
	}
	seen := make(draw.Ring, len(ring))
	for i, q := range ring {
		seen[i] = v.camera.Project(solid.Point{X: q.X, Y: q.Y})
	}
	r := draw.Region{Tag: v.tag(id), Outer: seen, Light: solid.Light(solid.Point{Z: 1}, v.camera.Sun())}
	if id == "drive" {
		r.Hatch = surfaceHatch(v.p.Site.Surface)
	}
	v.s.Add(r)
}

func (v *ownerView) prism(id string, ring draw.Ring, bottom, top float64) {
	b, err := solid.Prism(v.tag(id), ring, solid.Level{Z: bottom}, solid.Level{Z: top})
	v.add(b, err)
}

func (v *ownerView) add(b solid.Body, err error) {
	if err != nil && v.err == nil {
		v.err = err
	}
	v.bodies = append(v.bodies, b)
}

// levelGround draws the ground of a level site: nothing lies below it.
func (v *ownerView) levelGround() {
	p := v.p
	low, high := v.plate()
	v.flat("ground", draw.RectRing(low.X, low.Y, high.X, high.Y))
	v.flat("drive", ringOf(ownerDrive(p, v.o)))
	for i := range p.Poured {
		v.flat("poured", ringOf(p.Poured[i].Outer))
	}
}

func (v *ownerView) obstructions() {
	p := v.p
	for i := range p.Site.Obstructions {
		ob := &p.Site.Obstructions[i]
		low, high := ob.Box.Bounds()
		if high.X-low.X < 1 || high.Y-low.Y < 1 {
			continue
		}
		switch ob.Kind {
		case survey.ObstructionTree:
			v.tree(geom.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}, min(high.X-low.X, high.Y-low.Y))
		case survey.ObstructionPit, survey.ObstructionService:
			if p.Ground.Known() {
				v.stand("obstruction", ringOf(ob.Box), 20)
			} else {
				v.flat("obstruction", ringOf(ob.Box))
			}
		case survey.ObstructionTap:
			v.stand("obstruction", draw.RectRing(low.X, low.Y, high.X, high.Y), 600)
		default:
			v.stand("obstruction", draw.RectRing(low.X, low.Y, high.X, high.Y), 1200)
		}
	}
}

// tree is a trunk with a crown of eight sides.
func (v *ownerView) tree(at geom.Point, thick float64) {
	ring := func(radius float64) draw.Ring {
		out := make(draw.Ring, 8)
		for i := range out {
			sin, cos := math.Sincos(float64(i) * math.Pi / 4)
			out[i] = draw.Pt(at.X+radius*cos, at.Y+radius*sin)
		}
		return out
	}
	z := v.standing(at.X, at.Y)
	v.stand("trunk", ring(max(60, thick/3)), 1300)
	v.prism("tree", ring(650), z+1300, z+2300)
}

// fenceSpacing between the posts of the fence shown, mm: the fence is not ours
// to measure.
const fenceSpacing = 2200.0

// fence stands on either side of the opening: posts with three rails.
func (v *ownerView) fence() {
	p := v.p
	start, end := ownerExtent(p)
	_, post := p.Site.PostRunBack.Bounds()
	first, _ := p.Site.PostLatch.Bounds()
	y := -postDepth(p) / 2
	high := v.high() * 0.8
	stretch := func(x1, x2 float64, fromEnd bool) {
		if x2-x1 < 100 {
			return
		}
		n := math.Ceil((x2 - x1) / fenceSpacing)
		rails := func(from, to float64) {
			fall := v.foot(from, y, to, y)
			for _, z := range [...]float64{0.2, 0.55, 0.9} {
				low, top := fall, fall
				low.Z, top.Z = low.Z+z*high-45, top.Z+z*high+45
				v.lean("fence", draw.RectRing(from, y-20, to, y+20), low, top)
			}
		}
		if !v.p.Ground.Known() {
			rails(x1, x2)
		}
		for i := 1.0; i <= n; i++ {
			x, before := x1+i*(x2-x1)/n, x1+(i-1)*(x2-x1)/n
			if v.p.Ground.Known() {
				rails(before, x)
			}
			if fromEnd {
				x = x2 - i*(x2-x1)/n
			}
			v.stand("fence", draw.RectRing(x-40, y-21, x+40, y+21), high+60)
		}
	}
	stretch(start, first.X, true)
	stretch(post.X, end, false)
}

// high is the height of the leaf, mm.
func (v *ownerView) high() float64 { return max(400, v.p.Leaf.Height) }

func (v *ownerView) posts() {
	top := v.high() + 150
	v.stand("post", ringOf(v.p.Site.PostLatch), top)
	v.stand("post", ringOf(v.p.Site.PostRunBack), top)
}

// How the leaf is shown, mm: a frame, and mesh by a wire in place of many.
const (
	frameMember = 50.0
	meshWire    = 8.0
	meshGap     = 140.0
)

func (v *ownerView) leaf() {
	high := v.high()
	const bottom = 70.0
	for _, b := range panelsAt(v.p, v.o.share()) {
		v.latch = b.latch
		cladding := max(0, (b.y2-b.y1)-frameMember)
		front := b.y1 + cladding
		thick := max(b.y2-front, 10)
		frame := func(x1, z1, x2, z2 float64) {
			if x2-x1 > 1 && z2-z1 > 1 {
				v.lean("leaf", draw.RectRing(x1, front, x2, front+thick), v.atLeaf(z1), v.atLeaf(z2))
			}
		}
		frame(b.x1+min(0, b.tail), bottom, b.x2+max(0, b.tail), bottom+frameMember)
		frame(b.x1, high-frameMember, b.x2, high)
		frame(b.x1, bottom+frameMember, b.x1+frameMember, high-frameMember)
		frame(b.x2-frameMember, bottom+frameMember, b.x2, high-frameMember)
		if v.p.HangsFree() && b.tail > frameMember {
			v.brace(b, front, thick, bottom+frameMember, high-frameMember)
		}
		v.infill(b, front, thick, bottom, high)
	}
}

// infill fills the frame: on its front where the leaf is clad, between its
// members where it is not.
func (v *ownerView) infill(b panelBox, front, thick, bottom, high float64) {
	fill := &v.p.Leaf.Infill
	y1, y2 := b.y1, front
	x1, x2, z1, z2 := b.x1, b.x2, bottom, high
	ends := -1.0 // gaps beyond those between the parts: flush with both ends of the front
	if front-b.y1 < 1 {
		y1, y2 = front+thick*0.3, front+thick*0.7
		x1, x2, z1, z2 = b.x1+frameMember, b.x2-frameMember, bottom+frameMember, high-frameMember
		ends = 1
	}
	if x2 <= x1 || z2 <= z1 {
		return
	}
	bar := func(x1, y1, z1, x2, y2, z2 float64) {
		v.lean("cladding", draw.RectRing(x1, y1, x2, y2), v.atLeaf(z1), v.atLeaf(z2))
	}
	lying := func(size, gap, y1, y2 float64) {
		for _, z := range spread(z1, z2, size, gap, ends) {
			bar(x1, y1, z, x2, y2, z+size)
		}
	}
	upright := func(size, gap, y1, y2 float64) {
		for _, x := range spread(x1, x2, size, gap, ends) {
			bar(x, y1, z1, x+size, y2, z2)
		}
	}
	switch fill.Kind {
	case survey.InfillBattens:
		lying(fill.Size, fill.Gap, y1, y2)
	case survey.InfillBoards, survey.InfillUprights:
		upright(fill.Size, fill.Gap, y1, y2)
	case survey.InfillSheet:
		bar(x1, y1, z1, x2, y2, z2)
	case survey.InfillMesh:
		middle := (y1 + y2) / 2
		lying(meshWire, meshGap, y1, middle)
		upright(meshWire, meshGap, middle, y2)
	}
}

// spread places as many parts as go between two ends with a gap no smaller than
// asked, evenly; ends is 1 where a gap is left at either end, -1 where none is.
func spread(from, to, size, gap, ends float64) []float64 {
	n := max(1, math.Floor((to-from-ends*gap)/(size+gap)+1e-9))
	if n+ends > 0 {
		gap = max(0, (to-from-n*size)/(n+ends))
	}
	at := make([]float64, int(n))
	for i := range at {
		at[i] = from + max(0, ends)*gap + float64(i)*(size+gap)
	}
	return at
}

// hardware is what the pads carry: track, guide post, motor, hard stop.
func (v *ownerView) hardware() {
	p := v.p
	if p.HangsFree() {
		v.carriages()
	} else {
		v.track()
	}
	for i := range p.Outlines {
		o := &p.Outlines[i]
		low, high := o.Ring.Bounds()
		middle := (low.X + high.X) / 2
		v.latch = o.Latch
		switch o.Kind {
		case plan.PartGuidePost:
			v.lean("guide", ringOf(o.Ring), v.footOfPost(low, high), solid.Level{Z: v.topOfPost(middle)})
		case plan.PartMotor:
			foot := v.footOfMotor()
			v.lean("motor", ringOf(o.Ring), foot, solid.Level{Z: foot.At(middle, (low.Y+high.Y)/2) + 320})
		case plan.PartOutletPost:
			foot := v.footOfMotor()
			v.lean("outlet", ringOf(o.Ring), foot, solid.Level{Z: foot.At(middle, (low.Y+high.Y)/2) + 700})
		case plan.PartMeetingStop:
			v.lean("stop", ringOf(o.Ring), v.carried(0), v.carried(railHigh+40))
		case plan.PartHardStop:
			v.lean("stop", ringOf(o.Ring), v.carried(0), v.carried(180))
		}
	}
}

// track is what the wheels run on.
func (v *ownerView) track() {
	for _, side := range v.p.Sides() {
		t := side.Track
		from, to := side.At(t.Start), side.At(max(t.End, t.Start+10))
		v.lean("track", draw.RectRing(min(from, to), t.Offset-20, max(from, to), t.Offset+20),
			v.carried(0), v.carried(railHigh))
	}
}

// carriages stand under a leaf that hangs free.
func (v *ownerView) carriages() {
	for o := range v.p.Parts(plan.PartCarriage) {
		v.latch = o.Latch
		v.lean("runner", ringOf(o.Ring), v.atLeaf(0), v.atLeaf(v.p.Leaf.Foot))
	}
}

// atLeaf is a height above the foot of the leaf's track, or of its carriages.
func (v *ownerView) atLeaf(z float64) solid.Level {
	if h := v.side().Leaf.Hanging; h != nil {
		return solid.Level{Z: h.BlockTop + z}
	}
	return v.carried(z)
}

// side is the side on which stands what is drawn.
func (v *ownerView) side() *plan.Plan {
	if v.latch && v.p.Pair != nil {
		return v.p.Pair.Latch
	}
	if v.p.Pair != nil {
		return v.p.Pair.RunBack
	}
	return v.p
}

// topOfPost is the top of the guide post.
func (v *ownerView) topOfPost(x float64) float64 {
	if h := v.side().Leaf.Hanging; h != nil {
		return h.BlockTop + v.high() + 40
	}
	return v.p.Ground.TrackLevel(x) + v.high() + 40
}

// footOfMotor is the top of the pad on which the motor stands, or of its plate.
func (v *ownerView) footOfMotor() solid.Level {
	g := v.side().Ground
	if v.p.Ground.Known() && v.side().Has(plan.PartPad) && g.Known() && g.Pad != nil && g.Pad.HasLevel {
		return solid.Level{Z: g.Pad.Level}
	}
	return v.atLeaf(0)
}

// footOfPost is where the guide post comes out of the ground.
func (v *ownerView) footOfPost(low, high geom.Point) solid.Level {
	from, to, on := geom.Point{X: math.Inf(1), Y: math.Inf(1)}, geom.Point{X: math.Inf(-1), Y: math.Inf(-1)}, false
	for o := range v.p.Parts(plan.PartPad) {
		if o.Latch == v.latch {
			a, b := o.Ring.Bounds()
			from, to, on = geom.Point{X: min(from.X, a.X), Y: min(from.Y, a.Y)},
				geom.Point{X: max(to.X, b.X), Y: max(to.Y, b.Y)}, true
		}
	}
	if on && low.X >= from.X && high.X <= to.X && low.Y >= from.Y && high.Y <= to.Y {
		return v.footOfMotor()
	}
	return v.foot(low.X, low.Y, high.X, high.Y)
}
