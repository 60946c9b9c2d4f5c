package engine

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/levels"
)

// shapeGround works out what has to be built because the ground is not level.
// It runs before volumes are summed.
func (plan *Plan) shapeGround(in *inputs, p *Practice, l *layout) {
	g := plan.Ground
	if !g.known() {
		return
	}
	g.profile(in, p, l)
	g.pack(in, p)
	g.slabStep(in, p, l)
	if l.hasMotor && l.hasPad {
		g.Pad = g.padLevel(plan, in, p, l)
	}
	switch {
	case g.Rising != nil && g.hasBank():
		g.rise(plan, in, p, l)
	case g.Rising != nil: // no surface goes through the readings
		g.Rising = nil
		plan.Outlines = slices.DeleteFunc(plan.Outlines, func(o Outline) bool { return o.Kind == PartCavity || o.Kind == PartWall })
	case g.Shape == GroundSlopes:
		g.cutAlong(plan)
	}
	plan.thickenPad(p, l)
	if p.StripBedding > 0 {
		g.Bedding = p.StripBedding * geom.UnionArea(plan.besideDrive()...)
	}
}

// hasBank reports whether anything was read beside the drive.
func (g *GroundPlan) hasBank() bool {
	return g.model != nil && (g.model.bank != nil || g.model.line != nil || g.model.lone != nil)
}

// besideDrive are the outlines that are dug in the ground beside the drive.
func (plan *Plan) besideDrive() []geom.Polygon {
	var rings []geom.Polygon
	for i := range plan.Outlines {
		switch o := &plan.Outlines[i]; o.Kind {
		case PartRunBackStrip, PartLatchStrip, PartPad:
			rings = append(rings, o.Ring)
		}
	}
	return rings
}

// profile lists the ground along the track line and the strip on it: the ends,
// the edges, the readings on the line, and every interval between.
func (g *GroundPlan) profile(in *inputs, p *Practice, l *layout) {
	y := g.Track.Offset
	end := l.stripEnd
	type mark struct {
		x    float64
		name string
	}
	at := make([]mark, 0, len(g.Readings)+16)
	put := func(x float64, called string) {
		if x < -tolerance || x > end+tolerance {
			return
		}
		at = append(at, mark{x, called})
	}
	put(0, "latch post")
	put(in.width, "run-back post")
	put(in.runBackEdge.At(y), "edge of the drive")
	put(end, "end of the strip")
	for i := range g.Readings {
		if q := &g.Readings[i]; !q.OnSlab && math.Abs(q.Offset-y) <= p.TrackBand {
			put(q.Chainage, q.Name)
		}
	}
	for x := p.LevelInterval; x < end; x += p.LevelInterval {
		put(x, "")
	}
	slices.SortStableFunc(at, func(a, b mark) int { return cmp.Compare(a.x, b.x) })
	g.Profile = make([]ProfilePoint, 0, len(at))
	const same = 25 // mm: a mark in a list of its own
	for _, m := range at {
		if n := len(g.Profile); n > 0 && m.x-g.Profile[n-1].Chainage < same {
			if g.Profile[n-1].Name == "" {
				g.Profile[n-1].Name = m.name
			}
			continue
		}
		z, beyond := g.GroundLevel(m.x, y)
		g.Profile = append(g.Profile, ProfilePoint{Chainage: m.x, Level: z, Extrapolated: beyond, Strip: g.TrackLevel(m.x), Name: m.name})
	}
}

// pack compares the drive's levels on the track line with the track's grade.
func (g *GroundPlan) pack(in *inputs, p *Practice) {
	line := make([]levels.Point, 0, len(g.Readings))
	for i := range g.Readings {
		if q := &g.Readings[i]; q.OnTrack && q.Chainage > -tolerance {
			line = append(line, levels.Point{Name: q.Name, Chainage: q.Chainage, Level: q.Level - g.Track.CrossFall*(q.Offset-g.Track.Offset), Sigma: q.Sigma})
		}
	}
	slices.SortStableFunc(line, func(a, b levels.Point) int {
		switch {
		case a.Chainage < b.Chainage:
			return -1
		case a.Chainage > b.Chainage:
			return 1
		}
		return 0
	})
	line = slices.CompactFunc(line, func(a, b levels.Point) bool { return math.Abs(b.Chainage-a.Chainage) < 1 })
	ground, err := levels.NewGroundLine(line)
	if err != nil {
		return
	}
	schedule, err := ground.Against(g.Track.Z0, levels.Grade(g.Track.Grade), p.LevelTolerance)
	if err != nil {
		return
	}
	for _, d := range schedule.Deviations {
		g.Packing = append(g.Packing, Packing{Chainage: d.Chainage, Height: d.Height, Treatment: string(d.Treatment), Name: line[d.Point].Name})
	}
}

// slabStep compares a slab that is there already with the track's grade.
func (g *GroundPlan) slabStep(in *inputs, p *Practice, l *layout) {
	var s SlabStep
	first, last := math.Inf(1), math.Inf(-1)
	for i := range g.Readings {
		q := &g.Readings[i]
		if !q.OnSlab {
			continue
		}
		if q.Chainage < first {
			first, s.AtEdge = q.Chainage, q.Above
		}
		if q.Chainage > last {
			last, s.AtEnd = q.Chainage, q.Above
		}
		if math.Abs(q.Above) > math.Abs(s.Greatest) {
			s.Greatest, s.At = q.Above, q.Chainage
		}
	}
	if math.IsInf(first, 1) {
		return
	}
	s.Fits = math.Abs(s.Greatest) <= p.LevelTolerance+1e-9
	g.Slab = &s
}

// cutAlong is what stands above the track's plane where strip and pad go.
func (g *GroundPlan) cutAlong(plan *Plan) {
	if !g.hasBank() {
		return
	}
	united, err := geom.Union(plan.besideDrive()...)
	if err != nil {
		return
	}
	for i := range united {
		g.Cut += g.cutOver(united[i].Outer)
	}
}

// cutOver is the volume of the ground above the track's plane over an outline,
// by the difference of the two surfaces, mm³.
func (g *GroundPlan) cutOver(ring geom.Polygon) float64 {
	if g.model == nil {
		return 0
	}
	places := make([]levels.Place, len(ring))
	for i, q := range ring {
		places[i] = levels.Place{Chainage: q.X, Offset: q.Y}
	}
	t, m := g.Track, g.model.trend
	volume, err := g.model.surface.Difference(places, levels.Formation{
		Z0:    t.At(0, 0) - m.At(0, 0),
		Grade: levels.Grade(t.Grade - m.Grade), CrossFall: levels.Grade(t.CrossFall - m.CrossFall)})
	if err != nil || math.IsNaN(volume.Cut) || math.IsInf(volume.Cut, 0) {
		return 0
	}
	return volume.Cut
}

// levelPegs gives each peg the level of the top of the concrete at it: the
// track's plane for strips, the pad's own level for the pad and what stands in it.
func (plan *Plan) levelPegs() {
	g := plan.Ground
	if !g.known() {
		return
	}
	for i := range plan.Pegs {
		peg := &plan.Pegs[i]
		o, ok := plan.Outline(peg.Of)
		if !ok {
			continue
		}
		peg.Level, peg.Levelled = g.Track.At(peg.Chainage, peg.Offset)-math.Max(0, o.Top), true
		if o.Kind != PartPad && o.Kind != PartPostHole {
			continue
		}
		if g.Pad != nil {
			if peg.Levelled = g.Pad.HasLevel; peg.Levelled {
				peg.Level = g.Pad.Level
			} else {
				peg.Level = 0
			}
		}
	}
}
