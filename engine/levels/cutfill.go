package levels

import "math"

// Place is a corner of an outline in plan, mm.
type Place struct{ Chainage, Offset float64 }

// Formation is a plane to dig or fill to.
type Formation struct {
	Z0               float64 // level at chainage 0, offset 0, mm
	Grade, CrossFall Grade
}

// At is the level of the formation there, mm.
func (f Formation) At(chainage, offset float64) float64 {
	return f.Z0 + float64(f.Grade)*chainage + float64(f.CrossFall)*offset
}

// CutFill is what lies between a surface and a formation.
type CutFill struct {
	Cut, Fill         float64 // volumes, mm³, each 0 or more
	CutArea, FillArea float64 // in plan, mm²
	GreatestCut       float64 // depth, mm
	// Uncovered is how much of the outline lies where nothing was measured,
	// mm²: over 0 means that the volumes are too small.
	Uncovered float64
}

// MaxCorners is the most corners an outline takes.
const MaxCorners = 500

// Difference integrates the ground above (cut) and below (fill) a formation
// over an outline: exactly, triangle by triangle, split where the difference
// changes sign. The outline is a simple polygon of three or more corners,
// either way round, concave allowed.
//
// The difference is a plane over each piece: its integral is the sum over the
// piece's own triangles of area × mean of the corners. Checked: cases of
// testdata/references/levels.json and property tests against prismoids.
func (s *Surface) Difference(outline []Place, f Formation) (CutFill, error) {
	if err := checkOutline(outline); err != nil {
		return CutFill{}, err
	}
	if err := checkFormation(f); err != nil {
		return CutFill{}, err
	}
	subject := make([]corner, len(outline))
	for i, p := range outline {
		subject[i] = corner{x: p.Chainage, y: p.Offset}
	}
	total, _ := integrate(subject)
	if total < 0 { // make it anticlockwise
		for i, j := 0, len(subject)-1; i < j; i, j = i+1, j-1 {
			subject[i], subject[j] = subject[j], subject[i]
		}
		total = -total
	}
	var out CutFill
	var covered float64
	around := reach{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	for _, c := range subject {
		around = reach{min(around.left, c.x), max(around.right, c.x), min(around.front, c.y), max(around.back, c.y)}
	}
	// Clips take turns in two rooms; the third leaves the piece in the first.
	rooms := [2][]corner{make([]corner, 0, len(subject)+8), make([]corner, 0, len(subject)+8)}
	for i := range s.corners {
		if r := &s.reaches[i]; r.right < around.left || r.left > around.right || r.back < around.front ||
			r.front > around.back {
			continue
		}
		t := &s.corners[i]
		piece := subject
		for e := 0; e < 3 && len(piece) > 0; e++ {
			a, b := &s.points[t[e]], &s.points[t[(e+1)%3]]
			piece = clip(rooms[e%2][:0], piece, func(c *corner) float64 {
				return (b.Chainage-a.Chainage)*(c.y-a.Offset) - (b.Offset-a.Offset)*(c.x-a.Chainage)
			})
			rooms[e%2] = piece
		}
		if len(piece) < 3 {
			continue
		}
		for i := range piece {
			c := &piece[i]
			_, v, w := s.weights(t, c.x, c.y)
			z := s.points[t[0]].Level
			z += v*(s.points[t[1]].Level-z) + w*(s.points[t[2]].Level-z)
			c.d = z - f.At(c.x, c.y)
		}
		area, _ := integrate(piece)
		covered += area
		area, volume := integrate(clip(rooms[1][:0], piece, func(c *corner) float64 { return c.d }))
		out.Cut += volume
		out.CutArea += area
		area, volume = integrate(clip(rooms[1][:0], piece, func(c *corner) float64 { return -c.d }))
		out.Fill -= volume
		out.FillArea += area
		for _, c := range piece {
			out.GreatestCut = max(out.GreatestCut, c.d)
		}
	}
	out.Cut, out.Fill = max(0, out.Cut), max(0, out.Fill)
	// A millionth of the outline is rounding.
	if u := total - covered; u > 1e-6*total {
		out.Uncovered = u
	}
	return out, nil
}

// BatteredCut is the cut for a rectangular formation between two chainages and
// two offsets with vertical ends and, along its two long sides, batters rising
// at one vertical to batter horizontal out to reach (mm) at most. Where the
// ground still stands above a batter at reach, the cut is too small: Reached
// is false.
type BatteredCut struct {
	CutFill
	Reached bool
}

// DifferenceBattered integrates a cut with battered sides. The batters rise
// square to the chainage axis from the formation's own edge level. Ground that
// dips under a batter and rises above it again farther out is counted again
// there; keep reach near the crest.
func (s *Surface) DifferenceBattered(from, to, left, right float64, f Formation, batter,
	reach float64) (BatteredCut, error) {
	if err := within("batter", -1, batter, 0, 10); err != nil {
		return BatteredCut{}, err
	}
	if err := within("reach of the batter", -1, reach, 0, MaxCoordinate); err != nil {
		return BatteredCut{}, err
	}
	box := func(y0, y1 float64) []Place {
		return []Place{{from, y0}, {to, y0}, {to, y1}, {from, y1}}
	}
	base, err := s.Difference(box(left, right), f)
	out := BatteredCut{CutFill: base, Reached: true}
	if err != nil || batter == 0 || reach == 0 {
		return out, err
	}
	for _, side := range []struct{ toe, far, way float64 }{{left, left - reach, -1}, {right, right + reach, 1}} {
		rise := side.way / batter
		// The batter's own level: the formation's edge, then rise per offset.
		plane := Formation{Grade: f.Grade, CrossFall: Grade(rise), Z0: f.Z0 + float64(f.CrossFall)*side.toe -
			rise*side.toe}
		add, err := s.Difference(box(min(side.toe, side.far), max(side.toe, side.far)), plane)
		if err != nil {
			return out, err
		}
		out.Cut += add.Cut
		out.CutArea += add.CutArea
		edge, err := s.Breaks(from, side.far, to, side.far)
		if err != nil {
			return out, err
		}
		for _, d := range edge {
			if g := s.At(from+d, side.far, RefuseBeyond); !g.Known || g.Level > plane.At(from+d, side.far)+1e-6 {
				out.Reached = false
			}
		}
	}
	return out, nil
}

func checkOutline(outline []Place) error {
	if err := within("number of corners of the outline", -1, float64(len(outline)), 3, MaxCorners); err != nil {
		return err
	}
	for i, p := range outline {
		if err := within("chainage of corner", i, p.Chainage, -MaxCoordinate, MaxCoordinate); err != nil {
			return err
		}
		if err := within("offset of corner", i, p.Offset, -MaxCoordinate, MaxCoordinate); err != nil {
			return err
		}
	}
	return nil
}

func checkFormation(f Formation) error {
	if err := within("level of the formation", -1, f.Z0, -MaxLevel*10, MaxLevel*10); err != nil {
		return err
	}
	if err := within("grade of the formation", -1, float64(f.Grade), -MaxGrade, MaxGrade); err != nil {
		return err
	}
	return within("cross-fall of the formation", -1, float64(f.CrossFall), -MaxGrade, MaxGrade)
}

// corner is a corner of a piece with the difference in level there.
type corner struct{ x, y, d float64 }

// clip keeps the part of a polygon where side is 0 or more (Sutherland and
// Hodgman), put after what out holds. A concave polygon may come back with edges
// laid over each other, which hold no area.
func clip(out, p []corner, side func(*corner) float64) []corner {
	if len(p) == 0 {
		return out
	}
	sb := side(&p[0])
	for i := range p {
		a, b := &p[i], &p[0]
		sa := sb
		if i+1 < len(p) {
			b = &p[i+1]
		}
		sb = side(b)
		if sa >= 0 {
			out = append(out, *a)
		}
		if sa > 0 && sb < 0 || sa < 0 && sb > 0 {
			k := sa / (sa - sb)
			out = append(out, corner{a.x + k*(b.x-a.x), a.y + k*(b.y-a.y), a.d + k*(b.d-a.d)})
		}
	}
	return out
}

// integrate is the signed area of a polygon and the integral of d over it.
func integrate(p []corner) (area, volume float64) {
	for i := 1; i+1 < len(p); i++ {
		a := ((p[i].x-p[0].x)*(p[i+1].y-p[0].y) - (p[i+1].x-p[0].x)*(p[i].y-p[0].y)) / 2
		area += a
		volume += a * (p[0].d + p[i].d + p[i+1].d) / 3
	}
	return area, volume
}
