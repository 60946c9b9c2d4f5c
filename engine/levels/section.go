package levels

import "math"

// MaxArea is the greatest cross-section taken, mm² (100 000 m²).
const MaxArea = 1e11

// Section is a cross-section of a dig.
type Section struct {
	Chainage float64 // mm
	Area     float64 // mm², 0 or more
}

func checkSections(sections []Section) error {
	if err := within("number of sections", -1, float64(len(sections)), 2, 100*MaxPoints); err != nil {
		return err
	}
	for i, s := range sections {
		low := -float64(MaxCoordinate)
		if i > 0 {
			low = sections[i-1].Chainage
		}
		if err := within("chainage of section", i, s.Chainage, low, MaxCoordinate); err != nil {
			return err
		}
		if err := within("area of section", i, s.Area, 0, MaxArea); err != nil {
			return err
		}
	}
	return nil
}

// EndArea is the volume between sections by average end area, mm³.
//
//	V = Σ L(A₁ + A₂)/2
//
// Two or more sections by ascending chainage. Over-states a volume that tapers
// to nothing: by half for a pyramid. Checked: case end-area-pyramid.
func EndArea(sections []Section) (float64, error) {
	if err := checkSections(sections); err != nil {
		return 0, err
	}
	var v float64
	for i := 1; i < len(sections); i++ {
		v += (sections[i].Chainage - sections[i-1].Chainage) * (sections[i].Area + sections[i-1].Area) / 2
	}
	return v, nil
}

// Prismoid is the volume of one prismoid of a length (mm) from the areas at
// its ends and at its middle (mm²), in mm³.
//
//	V = L(A₁ + 4Aₘ + A₂)/6
//
// Exact for prisms, wedges, pyramids and whatever has an area that changes as
// a cubic of the length. Checked: case prismoidal.
func Prismoid(length, first, middle, last float64) (float64, error) {
	if err := within("length of the prismoid", -1, length, 0, 2*MaxCoordinate); err != nil {
		return 0, err
	}
	for i, a := range []float64{first, middle, last} {
		if err := within("area of section", i, a, 0, MaxArea); err != nil {
			return 0, err
		}
	}
	return length * (first + 4*middle + last) / 6, nil
}

// Prismoidal is the volume between sections taken at the ends and the middle
// of each prismoid: an odd number by ascending chainage, every second one
// half-way (to 1 mm) between its neighbours.
//
//	V = Σ L(A₁ + 4Aₘ + A₂)/6
//
// Checked: cases prismoidal-series and prismoidal.
func Prismoidal(sections []Section) (float64, error) {
	if err := checkSections(sections); err != nil {
		return 0, err
	}
	if len(sections)%2 == 0 {
		return 0, &RangeError{Argument: "number of sections, which must be odd", Index: -1,
			Given: float64(len(sections)), Low: float64(len(sections) - 1), High: float64(len(sections) + 1)}
	}
	var v float64
	for i := 2; i < len(sections); i += 2 {
		a, m, b := sections[i-2], sections[i-1], sections[i]
		middle := (a.Chainage + b.Chainage) / 2
		if err := within("chainage of the middle section", i-1, m.Chainage, middle-1, middle+1); err != nil {
			return 0, err
		}
		v += (b.Chainage - a.Chainage) * (a.Area + 4*m.Area + b.Area) / 6
	}
	return v, nil
}

// LevelSection is the area of a cut with a level bottom, level ground and
// battered sides, mm².
//
//	A = (b + s·d)·d
//
// width b of the bottom and depth d in mm, batter s horizontal per vertical
// (0 for vertical sides, to 10).
func LevelSection(width, depth, batter float64) (float64, error) {
	if err := within("width of the cut", -1, width, 0, MaxCoordinate); err != nil {
		return 0, err
	}
	if err := within("depth of the cut", -1, depth, 0, MaxStaff*10); err != nil {
		return 0, err
	}
	if err := within("batter", -1, batter, 0, 10); err != nil {
		return 0, err
	}
	return (width + batter*depth) * depth, nil
}

// CutSection is the area of the ground above a formation across one section.
// ground gives levels by offset (its Chainage field holds the offset, as for
// any GroundLine). The bottom runs from left to right (offsets, mm) at
// formation + crossfall·(offset − left); beyond it each side rises at one
// vertical to batter horizontal until it first meets the ground. Cut only:
// where the ground is under the formation nothing is counted.
//
// short reports that the readings end before a side meets the ground, so that
// the area is too small. Batter 0 is vertical and never short on that account.
func CutSection(ground *GroundLine, left, right, formation float64, crossfall Grade, batter float64) (area float64,
	short bool, err error) {
	if err := within("right side of the cut", -1, right, left, MaxCoordinate); err != nil {
		return 0, false, err
	}
	if err := within("left side of the cut", -1, left, -MaxCoordinate, MaxCoordinate); err != nil {
		return 0, false, err
	}
	if err := within("formation level", -1, formation, -MaxLevel, MaxLevel); err != nil {
		return 0, false, err
	}
	if err := within("cross-fall", -1, float64(crossfall), -MaxGrade, MaxGrade); err != nil {
		return 0, false, err
	}
	if err := within("batter", -1, batter, 0, 10); err != nil {
		return 0, false, err
	}
	bottom := func(y float64) float64 { return formation + float64(crossfall)*(y-left) }
	depth := func(y float64) float64 { return ground.At(y, HoldBeyond).Level - bottom(y) }
	stops := []float64{left}
	for _, p := range ground.points {
		if p.Chainage > left && p.Chainage < right {
			stops = append(stops, p.Chainage)
		}
	}
	stops = append(stops, right)
	for i := 1; i < len(stops); i++ {
		w := stops[i] - stops[i-1]
		area += w * positiveMean(depth(stops[i-1]), depth(stops[i]))
	}
	first, last := ground.points[0].Chainage, ground.points[len(ground.points)-1].Chainage
	short = left < first || right > last
	if batter > 0 {
		a, s1 := ground.batterArea(left, -1, bottom(left), batter)
		b, s2 := ground.batterArea(right, 1, bottom(right), batter)
		area, short = area+a+b, short || s1 || s2
	}
	return area, short, nil
}

// batterArea is the cut above a side that rises outwards from the toe.
func (g *GroundLine) batterArea(toe, way, toeLevel, batter float64) (area float64, short bool) {
	depth := func(y float64) float64 {
		return g.At(y, HoldBeyond).Level - toeLevel - math.Abs(y-toe)/batter
	}
	y, d := toe, depth(toe)
	if d <= 0 {
		return 0, false
	}
	for k := range g.points {
		next := g.points[k]
		if way < 0 {
			next = g.points[len(g.points)-1-k]
		}
		if (next.Chainage-y)*way <= 0 {
			continue
		}
		dn := depth(next.Chainage)
		if dn <= 0 {
			return area + math.Abs(next.Chainage-y)*positiveMean(d, dn), false
		}
		area += math.Abs(next.Chainage-y) * (d + dn) / 2
		y, d = next.Chainage, dn
	}
	return area, true
}

// positiveMean is the mean over a stretch of max(0, d), with d straight from
// a to b.
func positiveMean(a, b float64) float64 {
	switch {
	case a >= 0 && b >= 0:
		return (a + b) / 2
	case a <= 0 && b <= 0:
		return 0
	case a > 0:
		return a * a / (2 * (a - b))
	}
	return b * b / (2 * (b - a))
}
