package ground

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/levels"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
	"pegpour/engine/sorting"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Site is the drive and what is built on it, as far as the ground decides over it.
// Places and depths are mm: StripEnd and Pinion chainages, StripWidth and PadOut
// offsets from the fence, FootDepth the depth of the concrete under the track.
type Site struct {
	Drive                Driveway
	StripEnd, StripWidth float64
	FootDepth            float64
	PadOut, Pinion       float64
	MotorOnPad           bool
	Block                bool        // under the carriages of a leaf that hangs free, in the strip's place
	Excavation           *Excavation // nil where none is dug
	Bearing              Bearing
}

// Shape works out what has to be built because the ground is not level:
// the ground as it was read and its model, and with them the profile, what is
// packed, the level of the pad, the cavity and its wall, and what is cut. parts
// are the outlines of what is built, before their depths are known.
func Shape(read *plan.Ground, site *Site, parts []plan.Outline, p *practice.Practice) (*plan.Ground, []PadDepth,
	[]plan.Refusal) {
	if !read.Known() {
		return read, nil, nil
	}
	shaped := *read
	g := &shaped
	var refused []plan.Refusal
	refuse := func(what text.Name, err error) {
		refused = plan.AppendRefusal(refused, plan.QuestionGroundUnjudged, plan.Stop, what, err, survey.GroundLevelsTaken)
	}
	model, err := ModelGround(read, &site.Drive, site.PadOut)
	refuse("The ground beside the drive", err)
	g.Model = model
	g.Profile = profileOf(g, site, p)
	g.Packing, err = packingOf(g, p.LevelTolerance)
	refuse("The drive under the track", err)
	g.Slab = slabStepOf(g.Readings, p.LevelTolerance)
	if site.MotorOnPad {
		g.Pad = LevelPad(g, parts, site, g.Choices.Channel, p)
	}
	switch {
	case site.Excavation != nil && g.HasBank():
		g.Rising, err = shapeRising(site.Excavation, g, site, p)
		refuse("The wall of the cavity", err)
		g.Cut = g.Rising.Prismoidal + g.Rising.EndBatter + g.Rising.BaseDig
	case g.Shape == survey.GroundSlopes:
		g.Cut, err = cutAlong(g, parts)
		refuse("The dig above the track's grade", err)
	}
	var depths []PadDepth
	if g.Pad != nil && g.Pad.HasLevel {
		depths, err = padDepths(parts, &g.Track, g.Pad.Level, site.FootDepth)
		refuse("The thickness of the motor pad", err)
		if n := len(depths); n > 0 {
			last := depths[n-1]
			g.Pad.Formation, g.Pad.Thick = last.Depth, last.Depth-last.Top
		}
	}
	if p.StripBedding > 0 {
		g.Bedding = p.StripBedding * geom.UnionArea(BesideDrive(parts)...)
	}
	return g, depths, refused
}

// BesideDrive are the rings of what is dug in the ground beside the drive.
func BesideDrive(parts []plan.Outline) []geom.Polygon {
	rings := make([]geom.Polygon, 0, 4)
	for i := range parts {
		switch o := &parts[i]; o.Kind {
		case plan.PartRunBackStrip, plan.PartLatchStrip, plan.PartPad:
			rings = append(rings, o.Ring)
		}
	}
	return rings
}

// profileOf lists the ground along the track line and the strip on it: the ends,
// the edges, the readings on the line, and every interval between.
func profileOf(g *plan.Ground, site *Site, p *practice.Practice) []plan.ProfilePoint {
	y := g.Track.Offset
	end := site.StripEnd
	type mark struct {
		x    float64
		name text.Name
	}
	at := make([]mark, 0, len(g.Readings)+16)
	add := func(x float64, called text.Name) {
		if x < -plan.Tolerance || x > end+plan.Tolerance {
			return
		}
		at = append(at, mark{x, called})
	}
	add(0, "latch post")
	add(site.Drive.Width, "run-back post")
	add(site.Drive.RunBackEdge.At(y), "edge of the drive")
	last := text.Name("end of the strip")
	if site.Block {
		last = "end of the block"
	}
	add(end, last)
	for i := range g.Readings {
		if q := &g.Readings[i]; !q.OnSlab && math.Abs(q.Offset-y) <= p.TrackBand {
			add(q.Chainage, q.Name)
		}
	}
	for x := p.LevelInterval; x < end; x += p.LevelInterval {
		add(x, "")
	}
	sorting.Stable(at, func(a, b mark) int { return cmp.Compare(a.x, b.x) })
	profile := make([]plan.ProfilePoint, 0, len(at))
	const same = 25 // mm: a mark in a list of its own
	for _, m := range at {
		if n := len(profile); n > 0 && m.x-profile[n-1].Chainage < same {
			if profile[n-1].Name == "" {
				profile[n-1].Name = m.name
			}
			continue
		}
		z, beyond := g.GroundLevel(m.x, y)
		profile = append(profile,
			plan.ProfilePoint{Chainage: m.x, Level: z, Extrapolated: beyond, Strip: g.TrackLevel(m.x), Name: m.name})
	}
	return profile
}

// packingOf compares the drive's levels on the track line with the track's
// grade; there is nothing to compare with fewer than two of them.
func packingOf(g *plan.Ground, levelTolerance float64) ([]plan.Packing, error) {
	readings := make([]*plan.GroundReading, 0, len(g.Readings))
	for i := range g.Readings {
		if q := &g.Readings[i]; q.OnTrack && q.Chainage > -plan.Tolerance {
			readings = append(readings, q)
		}
	}
	sorting.Stable(readings, func(a, b *plan.GroundReading) int { return cmp.Compare(a.Chainage, b.Chainage) })
	readings = slices.CompactFunc(readings, func(a, b *plan.GroundReading) bool {
		return math.Abs(b.Chainage-a.Chainage) < samePlace
	})
	if len(readings) < 2 {
		return nil, nil
	}
	line := make([]levels.Point, len(readings))
	for i, q := range readings {
		level := q.Level - g.Track.CrossFall*(q.Offset-g.Track.Offset)
		line[i] = levels.Point{Chainage: q.Chainage, Level: level, Sigma: q.Sigma}
	}
	ground, err := levels.NewGroundLine(line)
	if err != nil {
		return nil, err
	}
	schedule, err := ground.Against(g.Track.Z0, levels.Grade(g.Track.Grade), levelTolerance)
	if err != nil {
		return nil, err
	}
	var packing []plan.Packing
	for _, d := range schedule.Deviations {
		packing = append(packing,
			plan.Packing{Chainage: d.Chainage, Height: d.Height, Treatment: string(d.Treatment), Name: readings[d.Point].Name})
	}
	return packing, nil
}

// slabStepOf compares a slab that is there already with the track's grade.
func slabStepOf(readings []plan.GroundReading, levelTolerance float64) *plan.SlabStep {
	var s plan.SlabStep
	first, last := math.Inf(1), math.Inf(-1)
	for i := range readings {
		q := &readings[i]
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
		return nil
	}
	s.Fits = math.Abs(s.Greatest) <= levelTolerance+1e-9
	return &s
}

// cutAlong is what stands above the track's plane where strip and pad go, mm³.
func cutAlong(g *plan.Ground, parts []plan.Outline) (cut float64, err error) {
	if !g.HasBank() {
		return 0, nil
	}
	united, err := geom.Union(BesideDrive(parts)...)
	if err != nil {
		return 0, err
	}
	for i := range united {
		volume, err := CutOver(g.Model, &g.Track, united[i].Outer)
		if err != nil {
			return 0, err
		}
		cut += volume
	}
	return cut, nil
}

// CutOver is the volume of the ground above the track's plane over an outline,
// by the difference of the two surfaces, mm³.
func CutOver(m *plan.GroundModel, track *plan.TrackGrade, ring geom.Polygon) (float64, error) {
	places := make([]levels.Place, len(ring))
	for i, q := range ring {
		places[i] = levels.Place{Chainage: q.X, Offset: q.Y}
	}
	trend := &m.Trend
	volume, err := m.Surface.Difference(places, levels.Formation{
		Z0:    track.At(0, 0) - trend.At(0, 0),
		Grade: levels.Grade(track.Grade - trend.Grade), CrossFall: levels.Grade(track.CrossFall - trend.CrossFall)})
	if err == nil && (math.IsNaN(volume.Cut) || math.IsInf(volume.Cut, 0)) {
		err = error(refusal.Error("the ground is too broken to be measured"))
	}
	if err != nil {
		return 0, err
	}
	return volume.Cut, nil
}
