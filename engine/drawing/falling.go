package drawing

import (
	"math"
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// FallingScene draws the steel footing in elevation, true to scale: the ground
// as it falls away, bar, posts and their holes, pad, and the open leaf above.
// It is nil where there is no steel footing.
func FallingScene(p *plan.Plan, o SceneOptions) *draw.Scene {
	f := p.Footing
	if f == nil {
		return nil
	}
	e := &elevation{p: p, o: &o, s: &draw.Scene{Title: o.words("Steel footing over falling ground")},
		slope: math.Tan(p.Leaf.Slope)}
	count := 0
	for i := range f.Posts {
		if f.Posts[i].Panel > 0 {
			count++
		}
	}
	desc := text.Say("A flat bar of {0} from chainage {1} to {2} on {3} posts, {4} apart.", text.MM(f.Bar),
		text.MM(f.From), text.MM(f.To), text.Number(float64(count)), text.MM(f.Spacing))
	e.s.Desc = o.sentence(desc)
	deepest := e.footGround()
	e.footHoles()
	e.footPad()
	e.footPosts()
	e.footBar()
	e.footLeaf()
	e.footSizes(deepest)
	e.s.Add(draw.ScaleBar{Tag: e.tag("scale", "", draw.RoleNote), Feet: o.Feet})
	return e.s
}

// ground is the height of the ground over the track at chainage 0.
func (e *elevation) ground(x, y float64) float64 {
	g := e.p.Ground
	drop, _ := g.DropBelowTrack(x, y)
	return e.slope*x - drop
}

// footGround draws the ground on the line of the track, and returns the lowest
// height in the drawing.
func (e *elevation) footGround() float64 {
	f := e.p.Footing
	y := e.p.Track.Offset
	from, to := e.p.Opening*0.7, f.To+400
	var line []draw.Point
	deepest := math.Inf(1)
	edge := edgeChainage(e.p)
	const step = 100
	add := func(x float64) {
		q := draw.Pt(x, e.ground(x, y))
		line = append(line, q)
		deepest = min(deepest, q.Y)
	}
	for x := from; x < to; x += step {
		if len(line) > 0 && line[len(line)-1].X < edge && edge < x {
			add(edge)
			add(edge + 1)
		}
		add(x)
	}
	add(to)
	for i := range f.Posts {
		q := &f.Posts[i]
		deepest = min(deepest, e.ground(q.Chainage, q.Offset)-q.Depth)
	}
	deepest -= 150
	earth := draw.Ring(append(append([]draw.Point{}, line...), draw.Pt(to, deepest), draw.Pt(from, deepest)))
	t := e.tag("earth", LayerSite, draw.RoleExisting)
	e.s.Add(draw.Region{Tag: t, Outer: earth, Hatch: draw.HatchEarth, Open: true})
	e.s.Add(draw.Polyline{Tag: e.tag("ground", LayerSite, draw.RoleGround), Points: line})
	return deepest
}

// edgeChainage is where the drive's edge crosses the track line.
func edgeChainage(p *plan.Plan) float64 {
	if x, ok := edgeAlong(p.Site.RunBackEdge, p.Track.Offset); ok {
		return x
	}
	return p.Opening
}

func (e *elevation) footHoles() {
	f := e.p.Footing
	for i := range f.Posts {
		q := &f.Posts[i]
		if q.Panel > 1 { // behind those of the first track
			continue
		}
		top := e.ground(q.Chainage, q.Offset)
		half := f.HoleSize / 2
		e.s.Add(draw.Region{Tag: e.tag(plan.PartFootingHole.ID(q.Number), LayerFooting, draw.RoleOutline),
			Outer: draw.RectRing(q.Chainage-half, top-q.Depth, q.Chainage+half, top), Hatch: draw.HatchConcrete})
	}
}

func (e *elevation) footPad() {
	for o := range e.p.Parts(plan.PartPad) {
		low, high := o.Ring.Bounds()
		e.s.Add(draw.Region{Tag: e.tag(o.ID, LayerConcrete, draw.RoleOutline),
			Outer: draw.Ring{e.at(low.X, -o.Top), e.at(high.X, -o.Top), e.at(high.X, -o.Depth), e.at(low.X, -o.Depth)},
			Hatch: draw.HatchConcrete})
	}
	for o := range e.p.Parts(plan.PartPadPlate) {
		low, high := o.Ring.Bounds()
		e.s.Add(draw.Region{Tag: e.tag(o.ID, LayerFooting, draw.RoleHidden),
			Outer: e.raked(low.X, high.X, -e.p.Footing.Plate, 0), Hatch: draw.HatchNone})
	}
}

func (e *elevation) footPosts() {
	f := e.p.Footing
	half := f.PostSize / 2
	for i := range f.Posts {
		q := &f.Posts[i]
		if q.Panel > 1 {
			continue
		}
		role := draw.RoleSteel
		if q.Panel == 0 {
			role = draw.RoleHidden // behind the track
		}
		top := e.ground(q.Chainage, q.Offset)
		e.s.Add(draw.Region{Tag: e.tag(plan.PartFootingPost.ID(q.Number), LayerFooting, role),
			Outer: draw.RectRing(q.Chainage-half, top-q.Depth, q.Chainage+half, top+q.Above), Hatch: draw.HatchPaper})
	}
}

func (e *elevation) footBar() {
	f := e.p.Footing
	e.s.Add(draw.Region{Tag: e.tag(plan.PartFootingBar.ID(1), LayerFooting, draw.RoleCut),
		Outer: e.raked(f.From, f.To, -f.Deep, 0), Hatch: draw.HatchSteel})
}

// footLeaf draws the open leaf up to a little above its bottom rail.
func (e *elevation) footLeaf() {
	leaf := &e.p.Leaf
	high := leaf.Foot + leaf.BottomSize + 250
	for i := range leaf.Panels {
		panel := &leaf.Panels[i]
		e.s.Add(draw.Polyline{Tag: e.tag(plan.PartLeafOpen.ID(1), LayerLeaf, draw.RoleMotion),
			Points: []draw.Point{e.at(leaf.OpenAt, high), e.at(leaf.OpenAt, leaf.Foot),
				e.at(panel.Rear(leaf, leaf.OpenAt), leaf.Foot), e.at(panel.Rear(leaf, leaf.OpenAt), high)}})
	}
	for _, w := range leaf.Panels[0].Wheels {
		e.s.Add(draw.Circle{Tag: e.tag("wheel", LayerLeaf, draw.RoleSteel), Centre: e.at(leaf.OpenAt+w.At, leaf.Foot*0.7),
			Radius: max(10, leaf.Foot*0.7), Hatch: draw.HatchPaper})
	}
	if o, ok := e.p.Part(plan.PartHardStop, 1); ok {
		low, high := o.Ring.Bounds()
		e.s.Add(draw.Region{Tag: e.tag(o.ID, LayerGate, draw.RoleCut), Outer: e.raked(low.X, high.X, 0, 150),
			Hatch: draw.HatchSteel})
	}
}

func (e *elevation) footSizes(deepest float64) {
	f := e.p.Footing
	e.size("footing.bar", e.at(f.From, 0), e.at(f.To, 0), draw.Horizontal, draw.Above, f.To-f.From)
	var before *plan.FootingPost
	// A page holds the sizes of so many posts; of more only some are written, and the
	// table has them all.
	const readable = 16
	every := 1 + (len(f.Posts)-1)/readable
	for i := range f.Posts {
		q := &f.Posts[i]
		if q.Panel != 1 || q.Number%every != 0 && before != nil && i < len(f.Posts)-1 {
			continue
		}
		top := e.ground(q.Chainage, q.Offset)
		if before != nil {
			e.size("footing.spacing."+strconv.Itoa(q.Number), draw.Pt(before.Chainage, deepest), draw.Pt(q.Chainage, deepest),
				draw.Horizontal, draw.Below, q.Chainage-before.Chainage)
		} else if !f.OnPad {
			e.size("footing.first", draw.Pt(e.p.Opening, deepest), draw.Pt(q.Chainage, deepest), draw.Horizontal, draw.Below,
				q.Chainage-e.p.Opening)
		} else {
			e.size("footing.first", draw.Pt(f.From, deepest), draw.Pt(q.Chainage, deepest), draw.Horizontal, draw.Below,
				q.Chainage-f.From)
		}
		before = q
		if !f.Levelled {
			continue
		}
		e.note("footing.cut."+strconv.Itoa(q.Number), draw.Pt(q.Chainage, top+q.Above/2), draw.SideAuto,
			text.Say("Post {0}: {1}", text.Number(float64(q.Number)), text.MM(q.Length)))
	}
	if before == nil || !f.Levelled {
		return
	}
	top := e.ground(before.Chainage, before.Offset)
	x := before.Chainage + f.HoleSize/2
	e.size("footing.above", draw.Pt(x, top), draw.Pt(x, top+before.Above), draw.Vertical, draw.Right, before.Above)
	e.size("footing.depth", draw.Pt(x, top-before.Depth), draw.Pt(x, top), draw.Vertical, draw.Right, before.Depth)
	e.note("edge", draw.Pt(edgeChainage(e.p), e.slope*edgeChainage(e.p)), draw.Above, text.Say("edge of the drive"))
}
