package ground

import (
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Excavation is what is dug into ground that rises off the edge: the cavity and
// its wall in plan, before their heights are known.
type Excavation struct {
	width, start, end float64 // inside; chainages of its ends
	formation         float64 // of the bottom under the strip, below the grade
	thickness         float64 // of the wall
	ofPosts           bool
	Cavity, Walls     geom.Polygon
}

// LayoutExcavation lays out the cavity and its wall where the ground was read to
// rise off the edge; nil elsewhere. back is the greatest offset, and end the
// greatest chainage, of what needs room in the cavity, mm; footDepth is the depth
// of the concrete under the track, mm.
func LayoutExcavation(g *plan.Ground, d *Driveway, back, end, footDepth float64, p *practice.Practice) *Excavation {
	if !g.Known() || g.Shape != survey.GroundRises ||
		!slices.ContainsFunc(g.Readings, func(q plan.GroundReading) bool { return d.beyondEdge(&q) }) {
		return nil
	}
	edge := &d.RunBackEdge
	s := &Excavation{width: max(p.CavityWidth, back), start: edge.At(0), end: end + p.CavityEnd,
		formation: footDepth + p.StripBedding,
		thickness: p.WallThickness, ofPosts: g.Choices.Posts}
	if s.ofPosts {
		s.thickness = p.SleeperThickness
	}
	if cavities := geom.Between(geom.RectangleOf(math.Inf(-1), 0, s.end, s.width), edge, nil); len(cavities) > 0 {
		s.Cavity = cavities[0]
	}
	outer, far := s.width+s.thickness, s.end+s.thickness
	s.Walls = geom.Polygon{{X: edge.At(s.width), Y: s.width}, {X: s.end, Y: s.width}, {X: s.end, Y: 0}, {X: far, Y: 0},
		{X: far, Y: outer}, {X: edge.At(outer), Y: outer}}
	if s.Walls.Area() < 0 {
		slices.Reverse(s.Walls)
	}
	return s
}

// shapeRising finds the heights of the wall of an excavation, the cut, and a
// first pass at the wall's stability. What a formula refused is nil, and in err.
func shapeRising(s *Excavation, g *plan.Ground, site *Site, p *practice.Practice) (*plan.Rising, error) {
	r := &plan.Rising{Width: s.width, Start: s.start, End: s.end, Formation: s.formation, Thickness: s.thickness,
		OfPosts: s.ofPosts, Cavity: s.Cavity, Walls: s.Walls}
	walk := sectionWalk{GroundWalk: plan.GroundWalk{Model: g.Model}, track: g.Track}
	raiseWall(r, g, &walk, &site.Drive.RunBackEdge, p)
	if !r.OfPosts {
		r.Base = max(p.WallBaseLeast, max(p.WallThickness, p.WallBaseRatio*min(r.Highest, p.WallMost)))
	}
	var err error
	if r.Highest >= plan.LeastHeld && r.Highest <= p.WallMost {
		if r.Stability, err = wallStability(r, g, site, p); r.Stability != nil && !r.OfPosts {
			r.Base = r.Stability.Base
		}
	}
	if e := digCut(r, g, &walk, &site.Drive.RunBackEdge, p); err == nil {
		err = e
	}
	return r, err
}

// raiseWall finds the wall's height at each break of the ground behind it:
// ground + freeboard − finished surface in front.
func raiseWall(r *plan.Rising, g *plan.Ground, walk *sectionWalk, edge *geom.Edge, p *practice.Practice) {
	t := r.Thickness
	back := r.Width + t
	at := func(x, y, frontX, frontY float64) plan.WallSection {
		ground, beyond := g.GroundLevel(x, y)
		r.Extrapolated = r.Extrapolated || beyond
		s := plan.WallSection{Chainage: x, Offset: y, Ground: ground, Strip: g.Track.At(frontX, frontY)}
		s.Held = max(0, ground-s.Strip)
		s.Top = max(s.Strip, ground+p.WallFreeboard)
		s.Height = s.Top - s.Strip
		if s.Held > r.Highest {
			r.Highest, r.HighestAt = s.Held, x
		}
		r.Tallest = max(r.Tallest, s.Height)
		return s
	}
	from := edge.At(back)
	side := walk.Along(from, back, r.End+t, back)
	r.Wall = make([]plan.WallSection, 0, len(side))
	for _, c := range side {
		r.Wall = append(r.Wall, at(from+c.Distance, back, min(from+c.Distance, r.End), r.Width))
	}
	end := walk.Along(r.End+t, 0, r.End+t, back)
	r.EndWall = make([]plan.WallSection, 0, len(end))
	for _, c := range end {
		r.EndWall = append(r.EndWall, at(r.End+t, c.Distance, r.End, min(c.Distance, r.Width)))
	}
	r.WallLength = max(0, r.End+t/2-edge.At(r.Width+t/2)) + r.Width + t/2
	r.WallFace = wallFace(r.Wall) + wallFace(r.EndWall)
	if g.Choices.Drained {
		r.Drain = r.WallLength
	}
	if long := r.End + t - from; r.OfPosts && long > 0 {
		n := min(mostWallPosts, math.Ceil(long/p.WallPostSpacing-1e-9))
		r.Posts = make([]float64, 0, int(n)+1)
		for i := 0.0; i <= n; i++ {
			r.Posts = append(r.Posts, from+long*i/n)
		}
	}
}

// mostWallPosts bounds the spans of a sleeper wall that are listed: no drive is so
// long, but a wrong reading makes one.
const mostWallPosts = 200

// wallFace is the area of the wall from the finished surface to its top.
func wallFace(wall []plan.WallSection) (area float64) {
	for i := 1; i < len(wall); i++ {
		a, b := &wall[i-1], &wall[i]
		area += (a.Height + b.Height) / 2 * math.Hypot(b.Chainage-a.Chainage, b.Offset-a.Offset)
	}
	return area
}

// digCut sums the dig for the cavity, the wall and its base by sections at every
// break of the ground and half-way between, with the prismoidal rule; its part
// without batters also as the difference of two surfaces.
//
//	V = Σ L (A₁ + 4 Aₘ + A₂)/6
//
// It counts from the ground down to the track's plane: the footing's own dig
// below that plane is not in it.
func digCut(r *plan.Rising, g *plan.Ground, walk *sectionWalk, edge *geom.Edge, p *practice.Practice) (err error) {
	behind := max(r.Base, r.Thickness)
	far, out := r.End+behind, r.Width+behind
	pieces := geom.Between(geom.RectangleOf(math.Inf(-1), 0, far, out), edge, nil)
	if len(pieces) == 0 {
		return nil
	}
	core := pieces[0]
	low, high := core.Bounds()
	breaks := cutBreaks(walk, core)
	areas := func(x float64) (float64, float64) {
		const inside = 1e-3 // a section is taken just within the outline's ends
		x = max(low.X+inside, min(high.X-inside, x))
		var area, batter float64
		spans := walk.spansAt(core, x)
		for _, s := range spans {
			area += walk.excess(x, s.from, x, s.to)
		}
		if n := len(spans); n > 0 && spans[n-1].to > out-1 {
			batter = walk.batter(x, out, 0, 1, p.CutBatter)
		}
		return area, batter
	}
	section := func(x float64, middle bool) plan.CutSection {
		a, b := areas(x)
		return plan.CutSection{Chainage: x, Core: a, Batter: b, Middle: middle}
	}
	before := section(breaks[0], false)
	r.Sections = make([]plan.CutSection, 0, 4*len(breaks))
	r.Sections = append(r.Sections, before)
	for _, x := range breaks[1:] {
		now := section(x, false)
		digStretch(r, section, before, section((x+before.Chainage)/2, true), now, 0)
		before = now
	}
	r.SurfaceCore, err = CutOver(g.Model, &g.Track, core)
	r.EndBatter = endBatter(g, walk, far, out, p.CutBatter)
	switch {
	case r.Highest < plan.LeastHeld:
	case r.OfPosts && r.Stability != nil:
		// Posts along the side, and those of the end beyond its corner.
		n := float64(len(r.Posts)) + math.Ceil((r.Width+r.Thickness)/p.WallPostSpacing-1e-9)
		r.BaseDig = n * math.Pi / 4 * p.WallHole * p.WallHole * r.Stability.PostDepth
	case !r.OfPosts:
		r.BaseDig = p.WallBaseDepth * r.Base * r.WallLength
		if r.Stability != nil {
			r.BaseDig += r.Stability.BaseDown * r.Base * r.WallLength
		}
	}
	return err
}

// digStretch adds one stretch by the prismoidal rule. Where its two halves do not
// agree with the whole, as over a kerb between two breaks, it is halved again.
func digStretch(r *plan.Rising, section func(float64, bool) plan.CutSection, first, middle, last plan.CutSection,
	halved int) {
	rule := func(a, m, b plan.CutSection) (core, whole float64) {
		long := b.Chainage - a.Chainage
		core = long * (a.Core + 4*m.Core + b.Core) / 6
		return core, core + long*(a.Batter+4*m.Batter+b.Batter)/6
	}
	const (
		mostHalved = 9   // a stretch is then a five-hundredth of what it was
		agree      = 3e5 // mm³, 0.3 litres: less than anybody digs
		shortest   = 2.0 // mm that are still halved
	)
	core, whole := rule(first, middle, last)
	if last.Chainage-first.Chainage > shortest && halved < mostHalved {
		near, far := section((first.Chainage+middle.Chainage)/2, true), section((middle.Chainage+last.Chainage)/2, true)
		_, a := rule(first, near, middle)
		_, b := rule(middle, far, last)
		if math.Abs(a+b-whole) > agree {
			middle.Middle = false
			digStretch(r, section, first, near, middle, halved+1)
			digStretch(r, section, middle, far, last, halved+1)
			return
		}
	}
	r.Sections = append(r.Sections, middle, last)
	r.Core += core
	r.Prismoidal += whole
}

// Breaks nearer than breaksApart, mm, and more than mostBreaks of them over the
// cut are one: a design stays quick with a score of them, and stretches over which
// the sections do not agree are halved.
const (
	breaksApart = 50
	mostBreaks  = 20
)

// cutBreaks are the chainages at which the ground changes slope within the cut.
func cutBreaks(walk *sectionWalk, core geom.Polygon) []float64 {
	low, high := core.Bounds()
	at := make([]float64, 0, 64)
	for _, q := range core {
		at = append(at, q.X)
	}
	for _, y := range [...]float64{low.Y, (low.Y + high.Y) / 2, high.Y} {
		for _, c := range walk.Along(low.X, y, high.X, y) {
			at = append(at, low.X+c.Distance)
		}
	}
	slices.Sort(at)
	apart := max(breaksApart, (high.X-low.X)/mostBreaks)
	out := at[:1]
	for _, x := range at[1:] {
		if x-out[len(out)-1] >= apart {
			out = append(out, x)
		}
	}
	if out[len(out)-1] < high.X {
		out = append(out, high.X)
	}
	return out
}

// endBatter is the dig behind the end wall where the face leans back: wedges
// square to the end, and the quarter cone at the corner.
func endBatter(g *plan.Ground, walk *sectionWalk, far, out, batter float64) float64 {
	if batter <= 0 {
		return 0
	}
	var volume float64
	line := slices.Clone(walk.Along(far, 0, far, out)) // each wedge walks a line of its own
	wedge := func(y float64) float64 { return walk.batter(far, y, 1, 0, batter) }
	for i := 1; i < len(line); i++ {
		a, b := line[i-1].Distance, line[i].Distance
		volume += (b - a) * (wedge(a) + 4*wedge((a+b)/2) + wedge(b)) / 6
	}
	ground, _ := g.GroundLevel(far, out)
	if h := ground - g.Track.At(far, out); h > 0 {
		volume += math.Pi / 12 * batter * batter * h * h * h
	}
	return volume
}
