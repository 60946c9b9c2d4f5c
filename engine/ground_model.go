package engine

import (
	"errors"
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/levels"
)

// groundModel is the ground as a surface of triangles through the readings and
// through what is known of the drive. The trend is taken off first and put back
// after, so that ground beyond the readings keeps its cross-fall.
type groundModel struct {
	trend   TrackGrade
	surface *levels.Surface // over the whole site, through points
	points  []levels.Point
	sides   []levels.Side      // of its triangles, each once
	bank    *levels.Surface    // through the readings beside the drive; nil when they lie on a line
	line    *levels.GroundLine // by distance from the edge of the drive
	// The readings beside the drive lie between these.
	low, high geom.Point
	lone      *levels.Point // the only reading beside the drive
	latch     geom.Edge
	edge      geom.Edge
}

// holdReach is how far from a line of readings the ground still counts as read, mm.
const holdReach = 500

// groundWishes are the choices that go with the ground.
type groundWishes struct {
	slab, channel bool
	drained       bool
	posts         bool // the wall is of sleepers between posts
	load          string
	cannot        *levels.DegenerateError // what the drive's readings could not give
	stepKnown     bool                    // a bank read as step and slope
}

// gradeGround reduces the readings and fits the track's grade. On level ground
// it leaves plan.Ground nil.
func (plan *Plan) gradeGround(r *Reader, in *inputs, p *Practice, l *layout) {
	shape := r.Choice(GroundShape)
	if shape == GroundLevel {
		return
	}
	g := &GroundPlan{Shape: shape, Taken: r.Choice(GroundLevelsTaken)}
	plan.Ground = g
	g.wishes.slab = r.Choice(GroundSlab) == Yes
	g.wishes.channel = r.Choice(GroundChannel) == Yes
	if shape == GroundRises {
		g.wishes.drained = r.Choice(GroundCavityDrain) == Yes
		g.wishes.posts = r.Choice(GroundCavityWall) == WallOfPosts
		g.wishes.load = r.Choice(GroundCavityLoad)
	}
	g.Track.Offset = l.trackOffset
	switch g.Taken {
	case LevelsByStaff:
		g.Readings, g.Booking = bookReadings(r, g.wishes.slab)
	case LevelsBySlopes:
		slopeReadings(r, g, in)
	default:
		g.Readings = stringReadings(r, g.wishes.slab)
	}
	for i := range g.Readings {
		q := &g.Readings[i]
		q.OnDrive = !q.OnSlab && q.Chainage >= in.latchEdge.At(q.Offset)-tolerance && q.Chainage <= in.runBackEdge.At(q.Offset)+tolerance
		q.OnTrack = q.OnDrive && math.Abs(q.Offset-g.Track.Offset) <= p.TrackBand
	}
	if g.Taken != LevelsBySlopes {
		g.fitTrack()
	}
	for i := range g.Readings {
		q := &g.Readings[i]
		q.Above = q.Level - g.Track.At(q.Chainage, q.Offset)
	}
}

// modelGround makes the ground model, where there is a level to count from.
func (plan *Plan) modelGround(in *inputs, l *layout) {
	if g := plan.Ground; g.known() {
		g.model = g.surfaceModel(in, l)
	}
}

// offEdge reports whether a reading lies in the ground beside the drive.
func (q *GroundReading) offEdge(in *inputs) bool {
	return !q.OnDrive && !q.OnSlab && q.Chainage > in.runBackEdge.At(q.Offset)
}

// known reports whether there is a level to count from.
func (g *GroundPlan) known() bool {
	return g != nil && (g.Taken == LevelsBySlopes || g.Track.Fitted > 0)
}

// slopeReadings takes the grade and the cross-fall as they were read; levels
// are counted from the assumed datum at the latch post on the track line.
func slopeReadings(r *Reader, g *GroundPlan, in *inputs) {
	t := &g.Track
	t.Z0 = assumedDatum
	t.Grade, _ = r.Number(GroundLevelsAlong)
	t.CrossFall, _ = r.Number(GroundLevelsOut)
	_, sigma, taken := r.Reading(GroundLevelsAlong)
	t.SigmaGrade, t.GradeKnown = sigma, taken
	_, _, t.CrossFallKnown = r.Reading(GroundLevelsOut)
	edge := in.runBackEdge.At(t.Offset)
	run := func(name string, step, slope float64, slab bool) {
		const beside = 20 // mm beyond the edge
		long := math.Max(2*in.width, 1000)
		at := t.At(edge, t.Offset)
		for i, x := range [...]float64{edge + beside, edge + beside + long} {
			path := GroundLevelsBankStep
			if i == 1 {
				path = GroundLevelsBankAlong
			}
			if slab {
				path = GroundLevelsSlabStep
			}
			g.Readings = append(g.Readings, GroundReading{Path: path, Name: name, Chainage: x, Offset: t.Offset, Level: at + step + slope*(x-edge), Sigma: r.Practice().SurfaceRoughness + sigma*(x-edge), OnSlab: slab})
		}
	}
	if g.Shape == GroundRises || g.Shape == GroundFalls {
		step, _ := r.Number(GroundLevelsBankStep)
		if slope, known := r.Number(GroundLevelsBankAlong); known {
			g.wishes.stepKnown = true
			run("bank", step, slope, false)
		}
	}
	if g.wishes.slab {
		step, _ := r.Number(GroundLevelsSlabStep)
		slope, _ := r.Number(GroundLevelsSlabAlong)
		run("slab", step, slope, true)
	}
}

// fitTrack fits one straight grade by weighted least squares through the
// drive's levels on the track line, and the cross-fall through all of the
// drive's levels. What the readings cannot give stays 0 and unknown.
func (g *GroundPlan) fitTrack() {
	t := &g.Track
	drive, from := make([]levels.Point, 0, len(g.Readings)), make([]int, 0, len(g.Readings))
	for i := range g.Readings {
		if q := &g.Readings[i]; q.OnDrive {
			drive = append(drive, levels.Point{Name: q.Name, Chainage: q.Chainage, Offset: q.Offset, Level: q.Level, Sigma: q.Sigma})
			from = append(from, i)
		}
	}
	if len(drive) == 0 {
		return
	}
	plane, err := levels.FitPlane(drive)
	errors.As(err, &g.wishes.cannot)
	if err == nil {
		t.CrossFall, t.CrossFallKnown = float64(plane.CrossFall), true
	}
	line, lineFrom := make([]levels.Point, 0, len(drive)), make([]int, 0, len(drive))
	for k, q := range drive {
		if !g.Readings[from[k]].OnTrack {
			continue
		}
		q.Level -= t.CrossFall * (q.Offset - t.Offset)
		line, lineFrom = append(line, q), append(lineFrom, from[k])
	}
	if fit, e := levels.FitLine(line); e == nil && steady(fit.Grade) {
		t.Z0, t.Grade, t.GradeKnown, t.Fitted = fit.Z0, float64(fit.Grade), true, len(line)
		t.SigmaGrade = math.Sqrt(math.Max(0, fit.Covariance[1][1]))
		g.mark(&fit.Fit, lineFrom)
	} else if err == nil && steady(plane.Grade) && steady(plane.CrossFall) {
		t.Z0, t.Grade, t.GradeKnown, t.Fitted, t.OffLine = plane.Z0+t.CrossFall*t.Offset, float64(plane.Grade), true, len(drive), true
		t.SigmaGrade = math.Sqrt(math.Max(0, plane.Covariance[1][1]))
	} else if fit, e := levels.FitLine(drive); e == nil && steady(fit.Grade) {
		t.Z0, t.Grade, t.GradeKnown, t.Fitted, t.OffLine = fit.Z0, float64(fit.Grade), true, len(drive), true
		t.SigmaGrade = math.Sqrt(math.Max(0, fit.Covariance[1][1]))
		t.CrossFall, t.CrossFallKnown = 0, false
		g.mark(&fit.Fit, from)
	} else {
		// One level and no fall: the track runs level through it.
		at := drive[0]
		if len(line) > 0 {
			at = line[0]
		}
		*t = TrackGrade{Offset: t.Offset, Z0: at.Level, Fitted: 1}
		return
	}
	if err == nil {
		g.mark(&plane.Fit, from)
	}
	if !steady(levels.Grade(t.CrossFall)) {
		t.CrossFall, t.CrossFallKnown = 0, false
	}
}

// steady refuses a fall that only readings a hand's width apart can give.
func steady(g levels.Grade) bool { return math.Abs(float64(g)) <= levels.MaxGrade }

// mark notes which readings fit badly, and which are checked by others.
func (g *GroundPlan) mark(fit *levels.Fit, from []int) {
	for k, i := range from {
		g.Readings[i].Checked = g.Readings[i].Checked || fit.Residuals[k].Checked
	}
	if g.suspected {
		return
	}
	for _, k := range fit.Suspects {
		g.Readings[from[k]].Suspect = true
		g.suspected = true
	}
}

// surfaceModel makes the ground of the whole site. The drive is the plane of
// the track but for its own humps; a single line of readings beside it is
// carried out square to the fence; beyond the readings the last level is held.
func (g *GroundPlan) surfaceModel(in *inputs, l *layout) *groundModel {
	m := &groundModel{latch: in.latchEdge, edge: in.runBackEdge}
	bank := make([]levels.Point, 0, len(g.Readings))
	for i := range g.Readings {
		if q := &g.Readings[i]; q.offEdge(in) {
			bank = append(bank, levels.Point{Chainage: q.Chainage, Offset: q.Offset, Level: q.Level, Sigma: q.Sigma})
		}
	}
	m.trend = TrackGrade{CrossFall: g.Track.CrossFall, Offset: g.Track.Offset}
	if g.Shape == GroundSlopes || len(bank) == 0 {
		m.trend = g.Track
	}
	for i := range bank {
		bank[i].Level -= m.trend.At(bank[i].Chainage, bank[i].Offset)
	}
	m.holdBank(bank)

	low, high := geom.Point{X: -3000, Y: -3000}, geom.Point{X: 2*in.width + 6000, Y: l.padOut + 4000}
	for i := range g.Readings {
		low.X, low.Y = math.Min(low.X, g.Readings[i].Chainage-1000), math.Min(low.Y, g.Readings[i].Offset-1000)
		high.X, high.Y = math.Max(high.X, g.Readings[i].Chainage+1000), math.Max(high.Y, g.Readings[i].Offset+1000)
	}
	points := make([]levels.Point, 0, len(g.Readings)+2*len(bank)+24)
	put := func(x, y, level float64) {
		const apart = 5 // mm: nearer than that it is the same place
		for i := range points {
			if math.Abs(points[i].Chainage-x) < apart && math.Abs(points[i].Offset-y) < apart {
				return
			}
		}
		points = append(points, levels.Point{Chainage: x, Offset: y, Level: level, Sigma: 1})
	}
	for i := range g.Readings {
		if q := &g.Readings[i]; !q.OnSlab {
			put(q.Chainage, q.Offset, q.Level-m.trend.At(q.Chainage, q.Offset))
		}
	}
	// Rows across the site: the drive's edges on each, and the ground beside the
	// drive carried to each at its distance from the edge, so that no triangle
	// spans from the drive to far-off ground over the top of a bank.
	rows := [...]float64{low.Y, 0, g.Track.Offset, l.padOut, l.padOut + 600, high.Y}
	onDrive := func(x, y float64) { put(x, y, g.Track.At(x, y)-m.trend.At(x, y)) }
	for i, y := range rows {
		edge := in.runBackEdge.At(y)
		onDrive(edge, y)
		onDrive(in.latchEdge.At(y), y)
		outer := i == 0 || i == len(rows)-1
		if outer {
			onDrive(math.Min(low.X, in.latchEdge.At(y)-1000), y)
		}
		far := math.Max(high.X, edge+1000)
		put(far, y, m.beside(far, y))
		for k := range bank {
			from := bank[k].Chainage - in.runBackEdge.At(bank[k].Offset)
			// A long list of readings says enough by itself away from the edge.
			if outer || len(bank) <= 12 || from < 1500 {
				put(edge+from, y, m.beside(edge+from, y))
			}
		}
	}
	surface, err := levels.NewSurface(points)
	if err != nil {
		return nil // the plane of the track stands in
	}
	m.surface = surface
	m.points, m.sides = points, surface.Sides()
	return m
}

// holdBank keeps the readings beside the drive as a surface, a line or a point.
func (m *groundModel) holdBank(bank []levels.Point) {
	if len(bank) == 0 {
		return
	}
	m.low = geom.Point{X: bank[0].Chainage, Y: bank[0].Offset}
	m.high = m.low
	for i := range bank {
		m.low.X, m.high.X = math.Min(m.low.X, bank[i].Chainage), math.Max(m.high.X, bank[i].Chainage)
		m.low.Y, m.high.Y = math.Min(m.low.Y, bank[i].Offset), math.Max(m.high.Y, bank[i].Offset)
	}
	if m.high.Y-m.low.Y >= holdReach/2 {
		if s, err := levels.NewSurface(bank); err == nil {
			m.bank = s
			return
		}
	}
	byChainage := slices.Clone(bank)
	for i := range byChainage {
		byChainage[i].Chainage -= m.edge.At(byChainage[i].Offset)
	}
	slices.SortStableFunc(byChainage, func(a, b levels.Point) int {
		switch {
		case a.Chainage < b.Chainage:
			return -1
		case a.Chainage > b.Chainage:
			return 1
		}
		return 0
	})
	byChainage = slices.CompactFunc(byChainage, func(a, b levels.Point) bool { return math.Abs(b.Chainage-a.Chainage) < 1 })
	if line, err := levels.NewGroundLine(byChainage); err == nil {
		m.line = line
		return
	}
	m.lone = &byChainage[0]
}

// beside is the ground beside the drive without its trend, held beyond the readings.
func (m *groundModel) beside(x, y float64) float64 {
	switch {
	case m.bank != nil:
		return m.bank.At(x, y, levels.HoldBeyond).Level
	case m.line != nil:
		return m.line.At(x-m.edge.At(y), levels.HoldBeyond).Level
	case m.lone != nil:
		return m.lone.Level
	}
	return 0
}

// at is the level of the ground, extrapolated where nothing was read near.
func (m *groundModel) at(x, y float64) (level float64, extrapolated bool) {
	q := m.surface.At(x, y, levels.HoldBeyond)
	level = q.Level + m.trend.At(x, y)
	if !q.Known {
		return m.trend.At(x, y), true
	}
	if x >= m.latch.At(y)-tolerance && x <= m.edge.At(y)+tolerance {
		return level, false
	}
	// Between the edge and the first readings the ground is straight.
	switch {
	case m.bank != nil:
		extrapolated = x > m.high.X+holdReach || y > m.high.Y+holdReach || y < m.low.Y-holdReach ||
			x > m.low.X && m.bank.At(x, y, levels.HoldBeyond).Outside > holdReach
	case m.line != nil:
		extrapolated = x > m.high.X+holdReach
	default:
		extrapolated = true
	}
	return level, extrapolated
}
