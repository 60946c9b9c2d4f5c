package ground

import (
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/levels"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/sorting"
	"pegpour/engine/survey"
)

// Driveway is where the drive lies: the width of the opening, mm, and its edges.
type Driveway struct {
	Width                  float64
	LatchEdge, RunBackEdge geom.Edge
}

// beyondEdge reports whether a reading lies in the ground beside the drive.
func (d *Driveway) beyondEdge(q *plan.GroundReading) bool {
	return !q.OnDrive && !q.OnSlab && q.Chainage > d.RunBackEdge.At(q.Offset)
}

// Fit fits the track's grade to the ground as it was read, and says of
// each reading where it lies. It is nil on level ground.
func Fit(s *Survey, d *Driveway, trackOffset float64, p *practice.Practice) *plan.Ground {
	if s.shape == survey.GroundLevel {
		return nil
	}
	g := &plan.Ground{Shape: s.shape, Taken: s.taken, Choices: s.choices, Booking: s.booking}
	if s.taken == survey.LevelsBySlopes {
		g.Track = s.slopes.track(trackOffset)
		g.Readings = s.slopes.readings(&g.Track, d, p.SurfaceRoughness)
	} else {
		g.Readings = slices.Clone(s.readings)
	}
	for i := range g.Readings {
		q := &g.Readings[i]
		q.OnDrive = !q.OnSlab && q.Chainage >= d.LatchEdge.At(q.Offset)-plan.Tolerance &&
			q.Chainage <= d.RunBackEdge.At(q.Offset)+plan.Tolerance
		q.OnTrack = q.OnDrive && math.Abs(q.Offset-trackOffset) <= p.TrackBand
	}
	if s.taken != survey.LevelsBySlopes {
		fitTrack(g, trackOffset, p)
	}
	if s.laid != nil { // no reading says more of it
		t := &g.Track
		t.Offset, t.Z0, t.Grade, t.SigmaGrade, t.GradeKnown = trackOffset, s.laid.Z0, s.laid.Grade, 0, true
		if s.taken != survey.LevelsBySlopes {
			t.Fitted = s.laid.Read
		}
	}
	for i := range g.Readings {
		q := &g.Readings[i]
		q.Above = q.Level - g.Track.At(q.Chainage, q.Offset)
	}
	return g
}

// How far the model reaches, mm: farther than anything is built, so that it is the
// readings and not the model's ends that shape the ground where it is asked for.
const (
	siteBefore = 3000 // before the latch post, and in front of the fence
	siteAlong  = 6000 // beyond twice the width of the opening
	siteOut    = 4000 // behind the pad
	siteAround = 1000 // around every reading, and beyond the edges of the drive
	// rowBehindPad is where the row behind the pad lies: a cavity and its wall
	// stand between the two.
	rowBehindPad = 600
	// Of up to fewReadings all are carried to every row; of more those within
	// nearEdge of the drive.
	fewReadings = 12
	nearEdge    = 1500
)

// ModelGround makes the ground of the whole site. The drive is the plane of the
// track but for its own humps; a single line of readings beside it is carried
// out square to the fence; beyond the readings the last level is held. padOut is
// how far out the ground is built on, mm.
//
// The error is that of the surface. The drive's own edges span one whatever was
// read, so that it is only refused where a level is out of all bounds.
func ModelGround(g *plan.Ground, d *Driveway, padOut float64) (*plan.GroundModel, error) {
	m := &plan.GroundModel{LatchEdge: d.LatchEdge, RunBackEdge: d.RunBackEdge}
	bank := make([]levels.Point, 0, len(g.Readings))
	for i := range g.Readings {
		if q := &g.Readings[i]; d.beyondEdge(q) {
			bank = append(bank, levels.Point{Chainage: q.Chainage, Offset: q.Offset, Level: q.Level, Sigma: q.Sigma})
		}
	}
	m.Trend = plan.TrackGrade{CrossFall: g.Track.CrossFall, Offset: g.Track.Offset}
	if g.Shape == survey.GroundSlopes || len(bank) == 0 {
		m.Trend = g.Track
	}
	for i := range bank {
		bank[i].Level -= m.Trend.At(bank[i].Chainage, bank[i].Offset)
	}
	holdBank(m, bank)

	low := geom.Point{X: -siteBefore, Y: -siteBefore}
	high := geom.Point{X: 2*d.Width + siteAlong, Y: padOut + siteOut}
	for i := range g.Readings {
		low.X, low.Y = min(low.X, g.Readings[i].Chainage-siteAround), min(low.Y, g.Readings[i].Offset-siteAround)
		high.X, high.Y = max(high.X, g.Readings[i].Chainage+siteAround),
			max(high.Y, g.Readings[i].Offset+siteAround)
	}
	points := make([]levels.Point, 0, len(g.Readings)+2*len(bank)+24)
	add := func(x, y, level float64) {
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
			add(q.Chainage, q.Offset, q.Level-m.Trend.At(q.Chainage, q.Offset))
		}
	}
	// Rows across the site: the drive's edges on each, and the ground beside the
	// drive carried to each at its distance from the edge, so that no triangle
	// spans from the drive to far-off ground over the top of a bank.
	rows := [...]float64{low.Y, 0, g.Track.Offset, padOut, padOut + rowBehindPad, high.Y}
	onDrive := func(x, y float64) { add(x, y, g.Track.At(x, y)-m.Trend.At(x, y)) }
	for i, y := range rows {
		edge := d.RunBackEdge.At(y)
		onDrive(edge, y)
		onDrive(d.LatchEdge.At(y), y)
		outer := i == 0 || i == len(rows)-1
		if outer {
			onDrive(min(low.X, d.LatchEdge.At(y)-siteAround), y)
		}
		far := max(high.X, edge+siteAround)
		add(far, y, m.Beside(far, y))
		for k := range bank {
			from := bank[k].Chainage - d.RunBackEdge.At(bank[k].Offset)
			// A long list of readings says enough by itself away from the edge.
			if outer || len(bank) <= fewReadings || from < nearEdge {
				add(edge+from, y, m.Beside(edge+from, y))
			}
		}
	}
	surface, err := levels.NewSurface(points)
	if err != nil {
		return nil, err
	}
	m.Surface, m.Points, m.Sides = surface, points, surface.Sides()
	return m, nil
}

// samePlace is how near to each other readings on one line are of one place, mm.
const samePlace = 1

// holdBank keeps the readings beside the drive as a surface, a line or a point
// of the model that is being made.
func holdBank(m *plan.GroundModel, bank []levels.Point) {
	if len(bank) == 0 {
		return
	}
	m.Low = geom.Point{X: bank[0].Chainage, Y: bank[0].Offset}
	m.High = m.Low
	for i := range bank {
		m.Low.X, m.High.X = min(m.Low.X, bank[i].Chainage), max(m.High.X, bank[i].Chainage)
		m.Low.Y, m.High.Y = min(m.Low.Y, bank[i].Offset), max(m.High.Y, bank[i].Offset)
	}
	if m.High.Y-m.Low.Y >= plan.HoldReach/2 {
		if s, err := levels.NewSurface(bank); err == nil {
			m.Bank = s
			return
		}
	}
	byChainage := slices.Clone(bank)
	for i := range byChainage {
		byChainage[i].Chainage -= m.RunBackEdge.At(byChainage[i].Offset)
	}
	sorting.Stable(byChainage, func(a, b levels.Point) int {
		switch {
		case a.Chainage < b.Chainage:
			return -1
		case a.Chainage > b.Chainage:
			return 1
		}
		return 0
	})
	byChainage = slices.CompactFunc(byChainage,
		func(a, b levels.Point) bool { return math.Abs(b.Chainage-a.Chainage) < samePlace })
	if line, err := levels.NewGroundLine(byChainage); err == nil {
		m.Line = line
		return
	}
	m.Lone = &byChainage[0]
}
