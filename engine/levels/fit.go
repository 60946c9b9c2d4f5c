package levels

import (
	"math"

	"pegpour/engine/refusal"
)

// StandardizedLimit is the standardised residual beyond which a reading is
// suspected. Source: GEOMETRY notes of this project; common practice in
// adjustment, e.g. Ghilani and Wolf (memory).
const StandardizedLimit = 3

// CheckedFrom is the redundancy number under which nothing checks a reading.
// Common practice, no published source.
const CheckedFrom = 0.01

// Residual is how one point sits against a fit.
type Residual struct {
	Value        float64 // fitted − read, mm
	Standardized float64 // Value/(σ√redundancy); 0 where nothing checks it
	Redundancy   float64 // share of an error in this reading that shows in its residual, 0 to 1
	Checked      bool    // Redundancy ≥ CheckedFrom
}

// Fit is what every least-squares fit reports about its readings.
type Fit struct {
	Residuals        []Residual // in the order of the points
	DegreesOfFreedom int
	// UnitDeviation is √(Σ(v/σ)²/degrees of freedom): 1 when the readings are
	// as good as their uncertainties say. 0 without degrees of freedom.
	UnitDeviation float64
	// Suspects are the points whose standardised residual is greatest and
	// beyond StandardizedLimit. More than one: the readings cannot tell which
	// of them is wrong.
	Suspects []int
}

// Plane is z = Z0 + Grade·chainage + CrossFall·offset fitted to points.
type Plane struct {
	Fit
	Z0               float64 // level at chainage 0, offset 0, mm
	Grade, CrossFall Grade   // along and across
	// Covariance of Z0, Grade and CrossFall, in that order, from the
	// uncertainties given.
	Covariance [3][3]float64
}

// At is the level of the plane there, and its standard uncertainty, mm.
func (p *Plane) At(chainage, offset float64) (level, sigma float64) {
	a := [3]float64{1, chainage, offset}
	var v float64
	for i := range a {
		for j := range a {
			v += a[i] * p.Covariance[i][j] * a[j]
		}
	}
	return p.Z0 + float64(p.Grade)*chainage + float64(p.CrossFall)*offset, math.Sqrt(max(0, v))
}

// Sigmas are the standard uncertainties of grade and cross-fall, from the
// uncertainties of the readings and where they lie.
func (p *Plane) Sigmas() (grade, crossFall float64) {
	return math.Sqrt(max(0, p.Covariance[1][1])), math.Sqrt(max(0, p.Covariance[2][2]))
}

// Line is z = Z0 + Grade·chainage fitted to points; offsets play no part.
type Line struct {
	Fit
	Z0         float64 // level at chainage 0, mm
	Grade      Grade
	Covariance [2][2]float64 // of Z0 and Grade
}

// Sigma is the standard uncertainty of the grade.
func (l *Line) Sigma() float64 { return math.Sqrt(max(0, l.Covariance[1][1])) }

// At is the level of the line there, and its standard uncertainty, mm.
func (l *Line) At(chainage float64) (level, sigma float64) {
	v := l.Covariance[0][0] + 2*chainage*l.Covariance[0][1] + chainage*chainage*l.Covariance[1][1]
	return l.Z0 + float64(l.Grade)*chainage, math.Sqrt(max(0, v))
}

// Unknowable says which fall a set of points cannot give.
type Unknowable string

// What points may fail to give.
const (
	NoLevel      Unknowable = "any level"
	NoFall       Unknowable = "any fall"
	NoGrade      Unknowable = "the fall along"
	NoCrossFall  Unknowable = "the fall across"
	NoSquareFall Unknowable = "the fall square to the line on which they lie"
)

// DegenerateError says what points too few or too nearly in line cannot give.
type DegenerateError struct {
	Points     int
	CannotKnow Unknowable
	// Bearing of the line on which the points lie, from the chainage axis
	// towards offset, rad, −π/2 to π/2; 0 when they lie on no line.
	Bearing float64
}

// Error is the refusal in one sentence.
func (e *DegenerateError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *DegenerateError) Refusal() refusal.Message {
	return refusal.Say("points so placed ({0} of them) cannot give {1}", refusal.Count(e.Points),
		refusal.Name(string(e.CannotKnow)))
}

// leastSpread is how far points must stand off a line, root mean square in mm
// and relative to their length, to give a fall across it. Common practice, no
// published source: chainages are taped to a few millimetres.
const (
	leastSpread         = 5.0
	leastRelativeSpread = 1e-4
)

// FitPlane fits z = z0 + grade·chainage + crossfall·offset by weighted least
// squares, weights 1/σ².
//
//	x̂ = (AᵀPA)⁻¹AᵀPz,  Qx = (AᵀPA)⁻¹,  rᵢ = 1 − aᵢQxaᵢᵀ/σᵢ²,  wᵢ = vᵢ/(σᵢ√rᵢ)
//
// Needs three points that do not lie on a line; else DegenerateError says
// which fall cannot be known. Source: Ghilani and Wolf, Adjustment
// Computations (memory). Checked: testdata/references/levels.json, plane cases.
func FitPlane(points []Point) (Plane, error) {
	if err := checkPoints(points, true); err != nil {
		return Plane{}, err
	}
	if err := planeKnowable(points); err != nil {
		return Plane{}, err
	}
	cx, cy := weightedCentre(points)
	rows := make([][3]float64, len(points))
	for i, p := range points {
		rows[i] = [3]float64{1, p.Chainage - cx, p.Offset - cy}
	}
	x, q, fit, ok := leastSquares(points, rows, 3)
	if !ok {
		return Plane{}, &DegenerateError{Points: len(points), CannotKnow: NoSquareFall}
	}
	// Back from the centre of the points to chainage 0, offset 0.
	shift := [3]float64{1, -cx, -cy}
	out := Plane{Fit: fit, Grade: Grade(x[1]), CrossFall: Grade(x[2]), Z0: x[0] - x[1]*cx - x[2]*cy, Covariance: q}
	for j := range 3 {
		var first float64
		for i := range 3 {
			first += shift[i] * q[i][j]
		}
		out.Covariance[0][j], out.Covariance[j][0] = first, first
	}
	var zero float64
	for i := range 3 {
		for j := range 3 {
			zero += shift[i] * q[i][j] * shift[j]
		}
	}
	out.Covariance[0][0] = zero
	return out, nil
}

// FitLine fits z = z0 + grade·chainage by weighted least squares. Needs two
// points at different chainages.
func FitLine(points []Point) (Line, error) {
	if err := checkPoints(points, true); err != nil {
		return Line{}, err
	}
	if len(points) == 0 {
		return Line{}, &DegenerateError{CannotKnow: NoLevel}
	}
	cx, _ := weightedCentre(points)
	var spread float64
	rows := make([][3]float64, len(points))
	for i, p := range points {
		rows[i] = [3]float64{1, p.Chainage - cx}
		spread += rows[i][1] * rows[i][1]
	}
	if len(points) < 2 || math.Sqrt(spread/float64(len(points))) < leastSpread {
		return Line{}, &DegenerateError{Points: len(points), CannotKnow: NoGrade}
	}
	x, q, fit, ok := leastSquares(points, rows, 2)
	if !ok {
		return Line{}, &DegenerateError{Points: len(points), CannotKnow: NoGrade}
	}
	return Line{Fit: fit, Grade: Grade(x[1]), Z0: x[0] - x[1]*cx, Covariance: [2][2]float64{
		{q[0][0] - 2*cx*q[0][1] + cx*cx*q[1][1], q[0][1] - cx*q[1][1]},
		{q[0][1] - cx*q[1][1], q[1][1]},
	}}, nil
}

func weightedCentre(points []Point) (x, y float64) {
	var w float64
	for _, p := range points {
		k := 1 / (p.Sigma * p.Sigma)
		x += k * p.Chainage
		y += k * p.Offset
		w += k
	}
	return x / w, y / w
}

// planeKnowable refuses points that lie on a line or in a spot.
func planeKnowable(points []Point) error {
	n := float64(len(points))
	if n == 0 {
		return &DegenerateError{CannotKnow: NoLevel}
	}
	var mx, my, xx, xy, yy float64
	for _, p := range points {
		mx += p.Chainage / n
		my += p.Offset / n
	}
	for _, p := range points {
		xx += (p.Chainage - mx) * (p.Chainage - mx) / n
		xy += (p.Chainage - mx) * (p.Offset - my) / n
		yy += (p.Offset - my) * (p.Offset - my) / n
	}
	half, diff := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	long, short := math.Sqrt(half+diff), math.Sqrt(max(0, half-diff))
	bearing := math.Atan2(2*xy, xx-yy) / 2
	e := &DegenerateError{Points: len(points), Bearing: bearing}
	switch {
	case long < leastSpread:
		e.CannotKnow, e.Bearing = NoFall, 0
	case len(points) >= 3 && short >= leastSpread && short >= leastRelativeSpread*long:
		return nil
	case math.Abs(math.Sin(bearing)) < 0.02:
		e.CannotKnow = NoCrossFall
	case math.Abs(math.Cos(bearing)) < 0.02:
		e.CannotKnow = NoGrade
	default:
		e.CannotKnow = NoSquareFall
	}
	return e
}

var errSingular = error(refusal.Error("the readings contradict each other so that no fit is found"))

// leastSquares solves for m ≤ 3 unknowns; unused columns of rows are ignored.
func leastSquares(points []Point, rows [][3]float64, m int) (x [3]float64, q [3][3]float64, fit Fit, ok bool) {
	// Columns are scaled to unit size, so that the 3×3 inverse keeps its digits.
	var scale [3]float64
	for j := range m {
		for i, r := range rows {
			scale[j] += r[j] * r[j] / (points[i].Sigma * points[i].Sigma)
		}
		scale[j] = math.Sqrt(scale[j])
		if !(scale[j] > 0) {
			return x, q, fit, false
		}
	}
	var n [3][3]float64
	var t [3]float64
	z0 := points[0].Level
	for i, r := range rows {
		w := 1 / (points[i].Sigma * points[i].Sigma)
		for j := range m {
			t[j] += w * r[j] / scale[j] * (points[i].Level - z0)
			for k := range m {
				n[j][k] += w * r[j] / scale[j] * r[k] / scale[k]
			}
		}
	}
	q, err := invert(n, m)
	if err != nil {
		return x, q, fit, false
	}
	for j := range m {
		for k := range m {
			q[j][k] /= scale[j] * scale[k]
			x[j] += q[j][k] * t[k] * scale[k]
		}
	}
	fit = judge(points, rows, m, x, q, z0)
	x[0] += z0
	return x, q, fit, true
}

// judge finds residuals and the reading most likely wrong.
func judge(points []Point, rows [][3]float64, m int, x [3]float64, q [3][3]float64, z0 float64) Fit {
	fit := Fit{Residuals: make([]Residual, len(points)), DegreesOfFreedom: len(points) - m}
	var sum, worst float64
	for i, r := range rows {
		var fitted, variance float64
		for j := range m {
			fitted += r[j] * x[j]
			for k := range m {
				variance += r[j] * q[j][k] * r[k]
			}
		}
		s := points[i].Sigma
		res := Residual{Value: fitted - (points[i].Level - z0), Redundancy: min(1, max(0, 1-variance/(s*s)))}
		res.Checked = res.Redundancy >= CheckedFrom
		if res.Checked {
			res.Standardized = res.Value / (s * math.Sqrt(res.Redundancy))
		}
		worst = max(worst, math.Abs(res.Standardized))
		sum += res.Value / s * res.Value / s
		fit.Residuals[i] = res
	}
	if fit.DegreesOfFreedom > 0 {
		fit.UnitDeviation = math.Sqrt(sum / float64(fit.DegreesOfFreedom))
	}
	fit.suspect(worst)
	return fit
}

// suspect names the readings whose standardised residual is the worst there is.
func (f *Fit) suspect(worst float64) {
	if worst <= StandardizedLimit {
		return
	}
	for i, r := range f.Residuals {
		if math.Abs(r.Standardized) > worst*(1-1e-3) {
			f.Suspects = append(f.Suspects, i)
		}
	}
}

// invert inverts the leading m×m of a symmetric positive definite matrix by
// Cholesky.
func invert(n [3][3]float64, m int) ([3][3]float64, error) {
	var l, li, out [3][3]float64
	for i := range m {
		for j := 0; j <= i; j++ {
			s := n[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				if !(s > 1e-13*n[i][i]) {
					return out, errSingular
				}
				l[i][i] = math.Sqrt(s)
			} else {
				l[i][j] = s / l[j][j]
			}
		}
	}
	for i := range m {
		li[i][i] = 1 / l[i][i]
		for j := range i {
			var s float64
			for k := j; k < i; k++ {
				s -= l[i][k] * li[k][j]
			}
			li[i][j] = s / l[i][i]
		}
	}
	for i := range m {
		for j := range m {
			for k := max(i, j); k < m; k++ {
				out[i][j] += li[k][i] * li[k][j]
			}
		}
	}
	return out, nil
}
