package engine

import (
	"math"
	"strconv"

	"pegpour/engine/geom"
)

// pourFooting adds holes, bars and posts of the steel footing. Posts stand in
// the middle of their holes, except where the hole would reach under the fence.
func (plan *Plan) pourFooting(p *Practice, l *layout) {
	f := plan.Footing
	half := p.FootPost / 2
	for i := range f.Posts {
		q := &f.Posts[i]
		n := strconv.Itoa(q.Number)
		y := math.Max(0, q.Offset-f.HoleSize/2)
		x := q.Chainage - f.HoleSize/2
		plan.outline(Outline{ID: "footing.hole." + n, Kind: PartFootingHole, Number: q.Number, Name: fill("Hole of footing post {0}", n), Concrete: true}, // as deep as standPosts finds
			[]geom.Polygon{box{x, y, x + f.HoleSize, y + f.HoleSize}.ring()})
	}
	for i := range f.Posts {
		q := &f.Posts[i]
		n := strconv.Itoa(q.Number)
		plan.outline(Outline{ID: "footing.post." + n, Kind: PartFootingPost, Number: q.Number, Name: fill("Footing post {0}", n)},
			[]geom.Polygon{box{q.Chainage - half, q.Offset - half, q.Chainage + half, q.Offset + half}.ring()})
	}
	wide := p.BarWidth
	if f.Laid == BarOnEdge {
		wide = p.BarThickness
	}
	for i := range plan.Track.Lines {
		y := plan.Track.Lines[i].Offset
		plan.outline(Outline{ID: "footing.bar." + strconv.Itoa(i+1), Kind: PartFootingBar, Number: i + 1, Name: fill("Bar under track {0}", strconv.Itoa(i+1))},
			[]geom.Polygon{box{f.From, y - wide/2, f.To, y + wide/2}.ring()})
	}
}

// deepenPad takes the concrete pad down to the falling ground: the underside is
// level, the footing's depth below the lowest ground under it, and the guide
// post's hole goes as much deeper.
func (plan *Plan) deepenPad(in *inputs, p *Practice, l *layout) {
	f := plan.Footing
	if f == nil || in.padOnSteel() {
		return
	}
	for i := range plan.Outlines {
		o := &plan.Outlines[i]
		if o.Kind != PartPad {
			continue
		}
		for _, c := range o.Ring {
			drop, _ := plan.dropOff(p, c.X, c.Y)
			f.PadDrop = math.Max(f.PadDrop, drop)
		}
		c := o.Ring.Centroid()
		drop, _ := plan.dropOff(p, c.X, c.Y)
		f.PadMeanDrop = math.Min(f.PadDrop, math.Max(0, drop))
	}
	for i := range plan.Outlines {
		switch o := &plan.Outlines[i]; {
		case o.Kind == PartPad, o.Kind == PartPostHole && l.hasPad:
			o.Depth += f.PadDrop
		}
	}
}

// padDrop is how much deeper the pad goes because the ground falls, mm.
func (plan *Plan) padDrop() float64 {
	if plan.Footing == nil {
		return 0
	}
	return plan.Footing.PadDrop
}

// standsClear is how much of an outline's depth stands above the ground and is
// formed, not dug, mm in the mean.
func (plan *Plan) standsClear(o *Outline) float64 {
	if plan.Footing == nil || o.Kind != PartPad {
		return 0
	}
	return plan.Footing.PadMeanDrop
}

// pegPosts adds one peg for the middle of each footing post.
func (plan *Plan) pegPosts() {
	f := plan.Footing
	if f == nil {
		return
	}
	for i := range f.Posts {
		q := &f.Posts[i]
		n := strconv.Itoa(q.Number)
		plan.Pegs = append(plan.Pegs, Peg{Number: len(plan.Pegs) + 1, Of: PartFootingPost.ID(q.Number), Name: fill("Footing post {0}", n), Chainage: q.Chainage, Offset: q.Offset,
			FromLatch: math.Hypot(q.Chainage, q.Offset), FromRunBack: math.Hypot(q.Chainage-plan.Opening, q.Offset)})
	}
}

// holeVolume is what the hole of outline i adds to the holes before it where
// they run into each other: every place is dug to the greatest depth asked of it.
func (plan *Plan) holeVolume(i int) float64 {
	var before []geom.Deep
	for k := range plan.Outlines[:i] {
		if o := &plan.Outlines[k]; o.Kind == PartFootingHole || o.Kind == PartPostHole {
			before = append(before, geom.Deep{Polygon: o.Ring, Depth: o.Depth})
		}
	}
	hole := &plan.Outlines[i]
	volume, err := geom.VolumeBeyond(geom.Deep{Polygon: hole.Ring, Depth: hole.Depth}, before)
	if err != nil {
		return hole.Area * hole.Depth
	}
	return volume
}

// guideDrop is how much taller a guide post cast into falling ground stands
// because no concrete pad holds it at the level of the track, mm.
func (plan *Plan) guideDrop(p *Practice, l *layout) float64 {
	if plan.Footing == nil || !l.hasHole || plan.Footing.OnPad {
		return 0
	}
	at := l.guide.middle()
	drop, _ := plan.dropOff(p, at.X, at.Y)
	return math.Max(0, drop)
}
