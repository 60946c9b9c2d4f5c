package ground

import (
	"errors"
	"math"

	"pegpour/engine/levels"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

// driveLevels are levels of the drive, and which readings they are.
type driveLevels struct {
	points []levels.Point
	from   []int
}

func (d *driveLevels) add(q levels.Point, i int) {
	d.points, d.from = append(d.points, q), append(d.from, i)
}

// trackFit is the track's grade as it is being found.
type trackFit struct {
	*plan.Ground
	practice  *practice.Practice
	suspected bool // a reading is marked as doubtful
}

// fitTrack fits one straight grade by weighted least squares through the
// drive's levels on the track line, and the cross-fall through all of the
// drive's levels. A slope whose standard uncertainty is beyond practice's limit
// is left out: it stays 0 and unknown, as does one that the readings do not give
// at all. Readings that fit badly, and those that are checked by others, are
// marked.
func fitTrack(g *plan.Ground, offset float64, p *practice.Practice) {
	f, t := trackFit{Ground: g, practice: p}, &g.Track
	*t = plan.TrackGrade{Offset: offset}
	var drive, onTrack driveLevels
	for i := range g.Readings {
		if q := &g.Readings[i]; q.OnDrive {
			drive.add(levels.Point{Chainage: q.Chainage, Offset: q.Offset, Level: q.Level, Sigma: q.Sigma}, i)
		}
	}
	if len(drive.points) == 0 {
		return
	}
	t.SigmaGrade, t.SigmaCrossFall = p.SigmaGuessGrade, p.SigmaGuessGrade
	plane, err := levels.FitPlane(drive.points)
	if cannot := (*levels.DegenerateError)(nil); errors.As(err, &cannot) {
		g.InLine = cannot.Points
	}
	along := math.Inf(1)
	if err == nil {
		var across float64
		along, across = plane.Sigmas()
		if across <= p.SlopeSure && believable(plane.CrossFall) {
			t.CrossFall, t.SigmaCrossFall, t.CrossFallKnown = float64(plane.CrossFall), across, true
		} else {
			g.Untold.CrossFall = across
		}
	}
	for k, q := range drive.points {
		if g.Readings[drive.from[k]].OnTrack {
			onTrack.add(q, drive.from[k])
		}
	}
	switch {
	case f.line(&onTrack):
	case t.CrossFallKnown && along <= p.SlopeSure && believable(plane.Grade):
		t.Z0, t.Grade, t.SigmaGrade = plane.Z0+t.CrossFall*t.Offset, float64(plane.Grade), along
		t.GradeKnown, t.OffLine, t.Fitted = true, true, len(drive.points)
	case !t.CrossFallKnown && f.line(&drive):
		t.OffLine = true
	case len(onTrack.points) > 0:
		f.level(&onTrack)
	default:
		f.level(&drive)
	}
	if err == nil && t.GradeKnown {
		f.mark(&plane.Fit, drive.from)
	}
	if g.Untold != (plan.UntoldSlopes{}) || g.InLine > 0 {
		g.Untold.Farther = tellingDistance(drive.points, p.SlopeSure)
	}
}

// carried are levels as they would stand on the track line by the cross-fall.
func (f *trackFit) carried(d *driveLevels) []levels.Point {
	out := make([]levels.Point, len(d.points))
	for i, q := range d.points {
		q.Level -= f.Track.CrossFall * (q.Offset - f.Track.Offset)
		out[i] = q
	}
	return out
}

// line fits the grade along a line of levels, if they tell it. What is not sure
// of the cross-fall turns the grade of a line that leans across the fence:
//
//	u = u(fit) + u(cross-fall)·|lean|
//
// with the lean of the line's offsets along its chainages. Both come of the same
// readings, so that they are added and not their squares.
func (f *trackFit) line(d *driveLevels) bool {
	t := &f.Track
	fit, err := levels.FitLine(f.carried(d))
	if err != nil || !believable(fit.Grade) {
		return false
	}
	across := make([]levels.Point, len(d.points))
	for i, q := range d.points {
		q.Level = q.Offset
		across[i] = q
	}
	lean, err := levels.FitLine(across)
	if err != nil {
		return false
	}
	sigma := fit.Sigma() + t.SigmaCrossFall*math.Abs(float64(lean.Grade))
	if sigma > f.practice.SlopeSure {
		f.Untold.Grade = sigma
		return false
	}
	t.Z0, t.Grade, t.SigmaGrade, t.GradeKnown, t.Fitted = fit.Z0, float64(fit.Grade), sigma, true, len(d.points)
	f.Untold.Grade = 0
	f.mark(&fit.Fit, d.from)
	return true
}

// level runs the track level through the mean of levels that tell no fall.
func (f *trackFit) level(d *driveLevels) {
	points := f.carried(d)
	var sum, weight float64
	for _, q := range points {
		w := 1 / (q.Sigma * q.Sigma)
		sum, weight = sum+w*(q.Level-points[0].Level), weight+w
	}
	f.Track.Z0, f.Track.Fitted = points[0].Level+sum/weight, len(points)
}

// mark says of readings what a fit says of them; the first doubtful ones are
// enough.
func (f *trackFit) mark(fit *levels.Fit, from []int) {
	for k, i := range from {
		f.Readings[i].Checked = f.Readings[i].Checked || fit.Residuals[k].Checked
	}
	if f.suspected {
		return
	}
	for _, k := range fit.Suspects {
		f.Readings[from[k]].Suspect = true
		f.suspected = true
	}
}

// tellingDistance is how far from another reading, along, or from the line of
// all of them, across, one more reading must lie so that a slope is known to a
// standard uncertainty of sure, mm, in full decimetres:
//
//	d = √2·σ/sure
//
// The fall from a line of readings to one at the distance d beside it has the
// uncertainty σ·√(1 + h)/d. The leverage h of a place at which one of the line's
// readings was taken is at most 1.
func tellingDistance(points []levels.Point, sure float64) float64 {
	var worst float64
	for _, q := range points {
		worst = max(worst, q.Sigma)
	}
	const step = 100 // mm
	return math.Ceil(math.Sqrt2*worst/sure/step) * step
}

// believable refuses a fall that only readings a hand's width apart can give.
func believable(g levels.Grade) bool { return math.Abs(float64(g)) <= levels.MaxGrade }
