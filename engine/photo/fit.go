package photo

import (
	"math"

	"pegpour/engine/refusal"
)

// StandardizedLimit is the standardised residual of a point, √χ² with two
// degrees of freedom, beyond which it is suspected: 0.1 %.
const StandardizedLimit = 3.716922188850406

// Residual is how one point sits in the fit.
type Residual struct {
	DU, DV float64 // fitted − picked in the picture, pixels
	Pixels float64 // their length
	DX, DY float64 // picked spot carried to the ground − ground given, mm
	Ground float64 // their length
	// Standardized is the length in standard uncertainties of what the other
	// points leave free; 0 when there is no check.
	Standardized float64
	// LeftOut says whether the point could be predicted from the others (five
	// points or more); PredictedPixels and PredictedGround are by how much they
	// miss it.
	LeftOut                          bool
	PredictedPixels, PredictedGround float64
}

// Fit is a homography between ground and picture.
type Fit struct {
	Residuals []Residual // in the order of the pairs
	// NoCheck: four points always fit, right or wrong. Ask for a fifth.
	NoCheck bool
	// UnitDeviation is √(Σ(v/σ)²/(2n − 8)): 1 when points were picked as well as
	// the uncertainty given says. 0 when there is no check.
	UnitDeviation float64
	// Suspects are the points whose Standardized is greatest and beyond
	// StandardizedLimit. All of them: the points cannot tell which is wrong.
	Suspects []int
	// Mirrored: in the picture X turns into Y clockwise. Seen from above that
	// is so for a ground frame with Y to the right of X, and for no other:
	// against it, points were swapped.
	Mirrored bool

	h, back   matrix3 // ground → picture, picture → ground; w > 0 at the points
	least     float64 // w from which on places are drawn
	normal    matrix3 // as h, ground and picture normalised
	ground    matrix3
	cov       matrix8 // of the normalised homography with its last entry 1
	pickScale float64 // picture scale of the normalisation
}

// nearest is how near to the camera, as a share of the nearest point's depth,
// things are still drawn. Common practice, no published source.
const nearest = 0.02

// ErrDegenerate: the points do not fix a homography.
var ErrDegenerate = error(refusal.Error("these points do not fix the picture: take points that spread out both ways"))

// Homography fits the picture to the ground by pairs, 4 to 24 of them.
// pointing is the standard uncertainty of a picked spot, pixels, 0.05 to 200.
//
// Both point sets are normalised (Hartley), the direct linear solution is the
// eigenvector of the smallest eigenvalue of AᵀA, and Gauss–Newton then
// minimises the sum of squared reprojection errors in the picture.
//
// Errors: RangeError; InLineError when no four points spread out; HorizonError
// when a point would lie behind the camera; ErrDegenerate.
//
// Source: R. Hartley and A. Zisserman, Multiple View Geometry, ch. 4 (memory).
// Checked: testdata/references/photo.json; Heckbert's closed form and
// synthetic cameras in the tests.
func Homography(pairs []Pair, pointing float64) (*Fit, error) {
	if err := checkPairs(pairs, pointing); err != nil {
		return nil, err
	}
	f, err := fitUnjudged(pairs)
	if err != nil {
		return nil, err
	}
	f.judge(pairs, pointing)
	return f, nil
}

func checkPairs(pairs []Pair, pointing float64) error {
	if err := within("number of points", -1, float64(len(pairs)), MinPairs, MaxPairs); err != nil {
		return err
	}
	if err := within("pointing uncertainty", -1, pointing, 0.05, 200); err != nil {
		return err
	}
	for i, p := range pairs {
		for _, v := range []float64{p.X, p.Y} {
			if err := within("ground coordinate of point", i, v, -MaxGround, MaxGround); err != nil {
				return err
			}
		}
		for _, v := range []float64{p.U, p.V} {
			if err := within("picture coordinate of point", i, v, -MaxPixel, MaxPixel); err != nil {
				return err
			}
		}
	}
	return nil
}

// fitUnjudged is Homography without the judgement of its points.
func fitUnjudged(pairs []Pair) (*Fit, error) {
	if err := refuseNarrow(pairs); err != nil {
		return nil, err
	}
	n := len(pairs)
	f := &Fit{Residuals: make([]Residual, n), NoCheck: n == MinPairs}
	var picture matrix3
	f.ground, _ = similarity(n, func(i int) (float64, float64) { return pairs[i].X, pairs[i].Y })
	picture, f.pickScale = similarity(n, func(i int) (float64, float64) { return pairs[i].U, pairs[i].V })
	norm := make([]Pair, n)
	for i, p := range pairs {
		x, y, _ := f.ground.apply(p.X, p.Y)
		u, v, _ := picture.apply(p.U, p.V)
		norm[i] = Pair{Name: p.Name, X: x, Y: y, U: u, V: v}
	}
	h, err := linear(norm)
	if err != nil {
		return nil, err
	}
	if h, f.cov, err = refine(norm, h); err != nil {
		return nil, err
	}
	if err := inFront(norm, &h); err != nil {
		return nil, err
	}
	f.normal = h
	s := f.pickScale
	unNormal := matrix3{1 / s, 0, -picture[2] / s, 0, 1 / s, -picture[5] / s, 0, 0, 1}
	m := h.times(&f.ground)
	f.h = unNormal.times(&m)
	return f, f.turnBack(pairs)
}

// turnBack finds the way back from the picture to the ground, and what is near
// enough to the camera to be left out. All pairs lie before it.
func (f *Fit) turnBack(pairs []Pair) error {
	back, det := f.h.adjugate()
	if det == 0 || math.IsNaN(det) {
		return ErrDegenerate
	}
	f.Mirrored = det > 0
	f.least = math.Inf(1)
	// The sign of the inverse that keeps the points this side of the horizon.
	_, _, w := back.apply(pairs[0].U, pairs[0].V)
	for i := range back {
		back[i] *= math.Copysign(1, w)
	}
	f.back = back
	for i, p := range pairs {
		_, _, w := f.h.apply(p.X, p.Y)
		f.least = min(f.least, nearest*w)
		if _, err := f.ToGround(Pixel{p.U, p.V}); err != nil {
			return beyond(pairs, []int{i})
		}
	}
	return nil
}

// linear is the direct linear solution, scaled to a last entry of 1: with the
// origin at the centroid of the points, w there is the mean of theirs and
// cannot be 0 for points before the camera.
func linear(pairs []Pair) (matrix3, error) {
	var a [9][9]float64
	for _, p := range pairs {
		for _, row := range [2][9]float64{
			{p.X, p.Y, 1, 0, 0, 0, -p.U * p.X, -p.U * p.Y, -p.U},
			{0, 0, 0, p.X, p.Y, 1, -p.V * p.X, -p.V * p.Y, -p.V},
		} {
			for i := range 9 {
				for j := range 9 {
					a[i][j] += row[i] * row[j]
				}
			}
		}
	}
	h := matrix3(jacobi(a))
	if math.Abs(h[8]) < 1e-6 {
		return h, beyond(pairs, every(pairs))
	}
	for i := range h[:8] {
		h[i] /= h[8]
	}
	h[8] = 1
	return h, nil
}

func every(pairs []Pair) []int {
	all := make([]int, len(pairs))
	for i := range all {
		all[i] = i
	}
	return all
}

// beyond is the refusal of the pairs that lie beyond the horizon.
func beyond(pairs []Pair, which []int) error {
	e := &HorizonError{Pairs: which}
	for _, i := range which {
		e.Names = append(e.Names, pairs[i].Name)
	}
	return e
}

func inFront(pairs []Pair, h *matrix3) error {
	var behind []int
	for i, p := range pairs {
		if _, _, w := h.apply(p.X, p.Y); !(w > 1e-6) {
			behind = append(behind, i)
		}
	}
	if len(behind) > 0 {
		return beyond(pairs, behind)
	}
	return nil
}

// derivatives of the projection to the first eight entries of h.
func derivatives(h *matrix3, x, y float64) (u, v float64, du, dv [8]float64) {
	a, b, w := h.apply(x, y)
	u, v = a/w, b/w
	return u, v, [8]float64{x / w, y / w, 1 / w, 0, 0, 0, -u * x / w, -u * y / w},
		[8]float64{0, 0, 0, x / w, y / w, 1 / w, -v * x / w, -v * y / w}
}

// planar is a homography over pairs.
type planar struct {
	pairs []Pair
	h     matrix3
}

func (m *planar) normal() (matrix8, [8]float64) { return normalEquations(m.pairs, &m.h) }

func (m *planar) cost() float64 { return reprojection(m.pairs, &m.h) }

func (m *planar) moved(by *[8]float64) model {
	to := *m
	for i, d := range by {
		to.h[i] += d
	}
	return &to
}

// refine minimises the reprojection error and returns the inverse of the normal
// matrix with it.
func refine(pairs []Pair, h matrix3) (matrix3, matrix8, error) {
	if err := inFront(pairs, &h); err != nil {
		return h, matrix8{}, err
	}
	m, ok := descend(&planar{pairs, h}, 100, 1e-12)
	if !ok {
		return h, matrix8{}, ErrDegenerate
	}
	h = m.(*planar).h
	n, _ := m.normal()
	q, ok := n.invert()
	if !ok {
		return h, q, ErrDegenerate
	}
	return h, q, nil
}

func reprojection(pairs []Pair, h *matrix3) float64 {
	var sum float64
	for _, p := range pairs {
		a, b, w := h.apply(p.X, p.Y)
		if !(w > 0) {
			return math.Inf(1)
		}
		sum += (a/w-p.U)*(a/w-p.U) + (b/w-p.V)*(b/w-p.V)
	}
	return sum
}

func normalEquations(pairs []Pair, h *matrix3) (n matrix8, t [8]float64) {
	for _, p := range pairs {
		u, v, du, dv := derivatives(h, p.X, p.Y)
		n.add(&t, &du, &dv, p.U-u, p.V-v)
	}
	return n, t
}
