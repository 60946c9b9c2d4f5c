package drawing

import (
	"math"
	"slices"

	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
)

// How the ground of a sloping site is shown to its owner, mm: a block cut out
// of the site (common practice, no published source).
const (
	ownerGarden  = 2600.0 // how far into the property beside the drive
	blockUnder   = 350.0  // how far the block reaches below its lowest place
	seenBend     = 15.0   // a bend of the ground less than this is not seen
	besideEdge   = 25.0   // where a step at the edge of the drive is over
	underStrip   = 2.0    // how far the dug ground lies below the strip's top
	railHigh     = 22.0   // of the track
	footingPosts = 40.0   // least size shown of a post of the steel footing
)

// ownerSlope is the ground of a site that is not level, as bodies.
type ownerSlope struct {
	v           *ownerView
	g           *plan.Ground
	start, end  float64
	bottom      float64
	right, left []geom.Point // the drive's edges as far as they are shown
	bends       []float64    // chainages at which the ground beside the drive bends
	bodies      []solid.Body
}

// surface is the plane of the track: of the drive, the strip and the bottom of
// the cavity.
func trackPlane(g *plan.Ground) solid.Level {
	if g == nil {
		return solid.Level{}
	}
	return solid.Level{Z: g.Track.Z0 - g.Track.CrossFall*g.Track.Offset, DX: g.Track.Grade, DY: g.Track.CrossFall}
}

// carried is a level along the track's grade, above it by z (mm); across the
// track it is level.
func (v *ownerView) carried(z float64) solid.Level {
	return solid.Level{Z: v.p.Ground.TrackLevel(0) + z, DX: v.p.Ground.Grade()}
}

// edgeAt is where an edge of the drive lies at an offset, held beyond its ends.
func edgeAt(line []geom.Point, y float64) float64 {
	x, ok := edgeAlong(line, y)
	if !ok && len(line) > 0 && y >= line[0].Y {
		return line[len(line)-1].X
	}
	return x
}

// standing is the level on which something stands, as it is when all is built.
func (v *ownerView) standing(x, y float64) float64 {
	g := v.p.Ground
	if !g.Known() {
		return 0
	}
	right, left := ownerEdges(v.p, v.o)
	if x >= edgeAt(left, y) && x <= edgeAt(right, y) {
		return g.SurfaceLevel(x, y)
	}
	if r := g.Rising; r != nil && y >= 0 && y <= r.Width+r.Thickness && x <= r.End+r.Thickness && x > edgeAt(right, y) {
		return g.SurfaceLevel(x, y)
	}
	level, _ := g.GroundLevel(x, y)
	return level
}

// foot is the plane on which something of a size stands, mm.
func (v *ownerView) foot(x1, y1, x2, y2 float64) solid.Level {
	if !v.p.Ground.Known() {
		return solid.Level{}
	}
	x, y := (x1+x2)/2, (y1+y2)/2
	l := solid.Level{}
	if x2-x1 > 1 {
		l.DX = (v.standing(x2, y) - v.standing(x1, y)) / (x2 - x1)
	}
	if y2-y1 > 1 {
		l.DY = (v.standing(x, y2) - v.standing(x, y1)) / (y2 - y1)
	}
	l.Z = v.standing(x, y) - l.DX*x - l.DY*y
	return l
}

// stand sets a body of a height down on the ground: its bottom lies on it, its
// top is level. On level ground it is a plain prism.
func (v *ownerView) stand(id string, ring draw.Ring, high float64) {
	box := draw.EmptyBox()
	for _, q := range ring {
		box.Grow(q)
	}
	foot := v.foot(box.Min.X, box.Min.Y, box.Max.X, box.Max.Y)
	top := v.standing((box.Min.X+box.Max.X)/2, (box.Min.Y+box.Max.Y)/2) + high
	for _, q := range ring { // a body lower than the fall under it follows the ground
		if foot.At(q.X, q.Y) >= top-1 {
			v.lean(id, ring, foot, solid.Level{Z: foot.Z + high, DX: foot.DX, DY: foot.DY})
			return
		}
	}
	v.lean(id, ring, foot, solid.Level{Z: top})
}

func (v *ownerView) lean(id string, ring draw.Ring, bottom, top solid.Level) {
	b, err := solid.Prism(v.tag(id), ring, bottom, top)
	v.add(b, err)
}

// slopingGround makes the ground of a site that is not level: the drive on the plane of
// its track, the ground beside it as it was read, and what is built into it. It
// returns the offsets at which the ground steps.
func (v *ownerView) slopingGround() (ground []solid.Body, cuts []float64) {
	s := &ownerSlope{v: v, g: v.p.Ground}
	s.right, s.left = ownerEdges(v.p, v.o)
	s.start, s.end = ownerExtent(v.p)
	if v.o.Figures {
		s.start -= personRoom
	}
	cuts = []float64{0} // the fence stands before it, the footing behind
	if r := s.g.Rising; r != nil {
		s.end = max(s.end, r.End+r.Thickness+600)
		cuts = append(cuts, r.Width, r.Width+r.Thickness)
	}
	s.bottom = s.lowest() - blockUnder
	s.bends = s.columns()
	s.drive()
	s.beside()
	s.concrete()
	s.walls()
	s.footing()
	return s.bodies, cuts
}

// lowest is the lowest level shown.
func (s *ownerSlope) lowest() float64 {
	low := math.Inf(1)
	outer, inner := s.v.o.reach()
	for _, y := range [...]float64{-outer, 0, ownerGarden, inner} {
		for _, x := range [...]float64{s.start, edgeAt(s.left, y), edgeAt(s.right, y), edgeAt(s.right, y) + besideEdge,
			s.end} {
			level, _ := s.g.GroundLevel(x, y)
			low = min(low, min(level, s.g.SurfaceLevel(x, y)))
		}
	}
	for _, x := range s.columns() {
		for _, y := range [...]float64{-ownerOuter, 0, ownerGarden} {
			level, _ := s.g.GroundLevel(x, y)
			low = min(low, level)
		}
	}
	return low
}

func (s *ownerSlope) add(b solid.Body, err error) {
	if err != nil && s.v.err == nil {
		s.v.err = err
	}
	s.bodies = append(s.bodies, b)
}

func (s *ownerSlope) drive() {
	b, err := solid.Prism(s.v.tag("drive"), ringOf(ownerDrive(s.v.p, s.v.o)), solid.Level{Z: s.bottom},
		trackPlane(s.g))
	s.add(b.Sides(s.v.tag("earth")), err)
}

// columns are the chainages at which the ground beside the drive may bend.
func (s *ownerSlope) columns() []float64 {
	var xs []float64
	for i := range s.g.Readings {
		if q := &s.g.Readings[i]; !q.OnDrive && !q.OnSlab {
			xs = append(xs, q.Chainage)
		}
	}
	for i := range s.g.Profile {
		xs = append(xs, s.g.Profile[i].Chainage)
	}
	xs = append(xs, s.start, s.end)
	slices.Sort(xs)
	xs = slices.DeleteFunc(xs, func(x float64) bool { return x < s.start || x > s.end })
	return straightened(xs, func(x float64) []float64 {
		var out []float64
		for _, y := range [...]float64{-ownerOuter, 0, ownerGarden} {
			level, _ := s.g.GroundLevel(x, y)
			out = append(out, level)
		}
		return out
	})
}

// straightened keeps those of the rising places between which the levels run
// straight to within seenBend, the first and the last always.
func straightened(places []float64, levels func(float64) []float64) []float64 {
	if len(places) < 3 {
		return places
	}
	last := len(places) - 1
	from, to := levels(places[0]), levels(places[last])
	worst, at := seenBend, 0
	for i := 1; i < last; i++ {
		share := (places[i] - places[0]) / (places[last] - places[0])
		for k, z := range levels(places[i]) {
			if off := math.Abs(z - from[k] - share*(to[k]-from[k])); off > worst {
				worst, at = off, i
			}
		}
	}
	if at == 0 {
		return []float64{places[0], places[last]}
	}
	before := straightened(places[:at+1], levels)
	return append(before[:len(before):len(before)], straightened(places[at:], levels)[1:]...)
}

// patch is a piece of ground between two offsets, from one side of it to
// another at each offset.
type patch struct {
	y1, y2   float64
	from, to func(y float64) float64
	level    func(x, y float64) float64
}

// beside is the ground on either side of the drive.
func (s *ownerSlope) beside() {
	ground := func(x, y float64) float64 { z, _ := s.g.GroundLevel(x, y); return z }
	right := func(y float64) float64 { return edgeAt(s.right, y) }
	left := func(y float64) float64 { return edgeAt(s.left, y) }
	fixed := func(x float64) func(float64) float64 { return func(float64) float64 { return x } }
	if len(s.g.Both) > 1 {
		s.besideLatch(ground, left, fixed)
	} else {
		s.lay(patch{-ownerOuter, ownerGarden, fixed(s.start), left, ground})
	}
	r := s.g.Rising
	if r == nil {
		y1, y2, until := s.strip()
		if until == 0 {
			s.lay(patch{-ownerOuter, ownerGarden, right, fixed(s.end), ground})
			return
		}
		dug := func(x, y float64) float64 { return min(ground(x, y), s.g.SurfaceLevel(x, y)-underStrip) }
		s.lay(patch{-ownerOuter, y1, right, fixed(s.end), ground})
		s.lay(patch{y1, y2, right, fixed(until), dug})
		s.lay(patch{y1, y2, fixed(until), fixed(s.end), ground})
		s.lay(patch{y2, ownerGarden, right, fixed(s.end), ground})
		return
	}
	end := fixed(r.End + r.Thickness)
	far := r.Width + r.Thickness
	bottom := func(x, y float64) float64 { return s.g.SurfaceLevel(x, y) - underStrip }
	s.lay(patch{-ownerOuter, 0, right, fixed(s.end), ground})
	s.lay(patch{0, far, right, end, bottom})
	s.lay(patch{0, far, end, fixed(s.end), ground})
	s.lay(patch{far, ownerGarden, right, fixed(s.end), ground})
}

// besideLatch is the ground beside the drive into which the other leaf of two runs.
func (s *ownerSlope) besideLatch(ground func(x, y float64) float64, left func(float64) float64,
	fixed func(float64) func(float64) float64) {
	own := &s.g.Both[1]
	low, high, ok := own.Extent(plan.PartRunBackStrip)
	if !ok {
		s.lay(patch{-ownerOuter, ownerGarden, fixed(s.start), left, ground})
		return
	}
	until := fixed(max(own.At(high.X), s.start+1))
	dug := func(x, y float64) float64 { return min(ground(x, y), s.g.SurfaceLevel(x, y)-underStrip) }
	s.lay(patch{-ownerOuter, low.Y, fixed(s.start), left, ground})
	s.lay(patch{low.Y, high.Y, until, left, dug})
	s.lay(patch{low.Y, high.Y, fixed(s.start), until, ground})
	s.lay(patch{high.Y, ownerGarden, fixed(s.start), left, ground})
}

// strip is where the run-back strip is dug into the ground, if it is.
func (s *ownerSlope) strip() (y1, y2, until float64) {
	run := s.v.p
	if run.Pair != nil {
		run = run.Pair.RunBack
	}
	low, high, ok := run.Extent(plan.PartRunBackStrip)
	if !ok {
		return 0, 0, 0
	}
	if run != s.v.p {
		high.X = s.g.Both[0].At(high.X)
	}
	return low.Y, high.Y, min(high.X, s.end-1)
}

// lay makes a patch of triangles, with sides down to the bottom of the block.
func (s *ownerSlope) lay(p patch) {
	rows := []float64{p.y1, p.y2}
	for _, line := range [...][]geom.Point{s.right, s.left} {
		for _, q := range line {
			if q.Y > p.y1+1 && q.Y < p.y2-1 {
				rows = append(rows, q.Y)
			}
		}
	}
	slices.Sort(rows)
	at := func(y float64) []solid.Point {
		from, to := p.from(y), p.to(y)
		near := min(besideEdge, max(0, (to-from)/4))
		xs := []float64{from, from + near}
		for _, x := range s.bends {
			xs = append(xs, max(from+near, min(to-near, x)))
		}
		xs = append(xs, to-near, to)
		out := make([]solid.Point, len(xs))
		for i, x := range xs {
			out[i] = solid.Point{X: x, Y: y, Z: p.level(x, y)}
		}
		return out
	}
	var triangles [][3]solid.Point
	before := at(rows[0])
	for _, y := range rows[1:] {
		next := at(y)
		for i := 1; i < len(next); i++ {
			triangles = append(triangles, [3]solid.Point{before[i-1], before[i], next[i]},
				[3]solid.Point{before[i-1], next[i], next[i-1]})
		}
		before = next
	}
	if p.to(p.y1) <= p.from(p.y1)+1 || p.to(p.y2) <= p.from(p.y2)+1 {
		return // the drive takes all of the room there is
	}
	b, err := solid.Relief(s.v.tag("ground"), s.v.tag("earth"), triangles, s.bottom, s.lined)
	s.add(b, err)
}

// lined reports whether a side of the ground is one that is seen as an edge:
// that of the block, and that of the cavity.
func (s *ownerSlope) lined(a, b solid.Point) bool {
	on := func(u, w, at float64) bool { return math.Abs(u-at) < 1 && math.Abs(w-at) < 1 }
	if on(a.X, b.X, s.start) || on(a.X, b.X, s.end) || on(a.Y, b.Y, -ownerOuter) || on(a.Y, b.Y, ownerGarden) {
		return true
	}
	r := s.g.Rising
	return r != nil && on(a.Y, b.Y, 0) && max(a.X, b.X) <= r.End+r.Thickness+1
}
