package levels

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/sorting"
)

// GroundLine is ground known along one line only: straight between readings.
type GroundLine struct {
	points []Point // by chainage
	index  []int   // of each in the points given
}

// NewGroundLine takes two or more points at different chainages; offsets play
// no part.
func NewGroundLine(points []Point) (*GroundLine, error) {
	if err := checkPoints(points, false); err != nil {
		return nil, err
	}
	if len(points) == 0 {
		return nil, &DegenerateError{CannotKnow: NoLevel}
	}
	if len(points) < 2 {
		return nil, &DegenerateError{Points: len(points), CannotKnow: NoGrade}
	}
	g := &GroundLine{index: make([]int, len(points))}
	for i := range g.index {
		g.index[i] = i
	}
	slices.SortStableFunc(g.index, func(a, b int) int { return cmp.Compare(points[a].Chainage, points[b].Chainage) })
	for k, i := range g.index {
		if k > 0 && points[i].Chainage-g.points[k-1].Chainage < gridStep {
			return nil, &SamePlaceError{g.index[k-1], i}
		}
		g.points = append(g.points, points[i])
	}
	return g, nil
}

// At is the level at a chainage.
func (g *GroundLine) At(chainage float64, beyond Beyond) GroundLevel {
	out := GroundLevel{Chainage: chainage}
	first, last := g.points[0], g.points[len(g.points)-1]
	switch {
	case !(math.Abs(chainage) <= MaxCoordinate):
	case chainage < first.Chainage:
		out.Level, out.Extrapolated, out.Outside, out.Known = first.Level, true, first.Chainage-chainage,
			beyond == HoldBeyond
	case chainage > last.Chainage:
		out.Level, out.Extrapolated, out.Outside, out.Known = last.Level, true, chainage-last.Chainage,
			beyond == HoldBeyond
	default:
		out.Known = true
		k, exact := slices.BinarySearchFunc(g.points, chainage, func(p Point, c float64) int {
			return cmp.Compare(p.Chainage, c)
		})
		if exact {
			out.Level = g.points[k].Level
			return out
		}
		a, b := g.points[k-1], g.points[k]
		out.Level = a.Level + (b.Level-a.Level)*(chainage-a.Chainage)/(b.Chainage-a.Chainage)
	}
	if !out.Known {
		out.Level = 0
	}
	return out
}

// Cliffs are the steps between neighbours steeper than limit, steepest first,
// by the indices of the points given.
func (g *GroundLine) Cliffs(limit Grade) []Cliff {
	var out []Cliff
	for k := 1; k < len(g.points); k++ {
		grade := Grade((g.points[k].Level - g.points[k-1].Level) / (g.points[k].Chainage - g.points[k-1].Chainage))
		if math.Abs(float64(grade)) > math.Abs(float64(limit)) {
			out = append(out, Cliff{From: g.index[k-1], To: g.index[k], Grade: grade})
		}
	}
	sortCliffs(out)
	return out
}

// Treatment is what an existing level needs to meet a straight grade.
type Treatment string

// Treatments.
const (
	WithinTolerance Treatment = "within tolerance"
	Pack            Treatment = "pack"  // the ground is low
	Grind           Treatment = "grind" // the ground is high
)

// Deviation is one reading against the grade.
type Deviation struct {
	Point            int // index of the reading
	Chainage         float64
	Existing, Wanted float64   // levels, mm
	Height           float64   // Wanted − Existing, mm: over 0 to pack, under 0 to grind
	Treatment        Treatment // against the tolerance
}

// Stretch is a length of the line over which the ground is out of tolerance
// one way.
type Stretch struct {
	From, To  float64 // chainages, mm
	Treatment Treatment
	Greatest  float64 // height at its worst, mm, signed as Deviation.Height
	At        float64 // chainage of the worst
}

// Schedule is what to pack and what to grind along a straight grade.
type Schedule struct {
	Deviations []Deviation // by chainage
	Stretches  []Stretch   // by chainage
}

// Against compares the ground with the straight grade z0 + grade·chainage:
// deviations at each reading, and the stretches between them that lie beyond
// tolerance (mm, 0 or more), with the ground straight between readings.
func (g *GroundLine) Against(z0 float64, grade Grade, tolerance float64) (Schedule, error) {
	if err := within("level of the grade at chainage 0", -1, z0, -MaxLevel-MaxGrade*MaxCoordinate,
		MaxLevel+MaxGrade*MaxCoordinate); err != nil {
		return Schedule{}, err
	}
	if err := within("grade", -1, float64(grade), -MaxGrade, MaxGrade); err != nil {
		return Schedule{}, err
	}
	if err := within("tolerance", -1, tolerance, 0, 1000); err != nil {
		return Schedule{}, err
	}
	var out Schedule
	for k, p := range g.points {
		wanted := z0 + float64(grade)*p.Chainage
		d := Deviation{Point: g.index[k], Chainage: p.Chainage, Existing: p.Level, Wanted: wanted, Height: wanted -
			p.Level, Treatment: WithinTolerance}
		switch {
		case d.Height > tolerance:
			d.Treatment = Pack
		case d.Height < -tolerance:
			d.Treatment = Grind
		}
		out.Deviations = append(out.Deviations, d)
	}
	for _, sign := range []float64{1, -1} {
		out.Stretches = append(out.Stretches, stretches(out.Deviations, sign, tolerance)...)
	}
	sorting.Stable(out.Stretches, func(a, b Stretch) int { return cmp.Compare(a.From, b.From) })
	return out, nil
}

// stretches are the runs where sign·height exceeds the tolerance.
func stretches(ds []Deviation, sign, tolerance float64) []Stretch {
	treatment := Pack
	if sign < 0 {
		treatment = Grind
	}
	var out []Stretch
	open := false
	for k := range ds {
		h := sign * ds[k].Height
		over := h > tolerance
		if over != open && k > 0 {
			before := sign * ds[k-1].Height
			at := ds[k-1].Chainage + (ds[k].Chainage-ds[k-1].Chainage)*(tolerance-before)/(h-before)
			if over {
				out = append(out, Stretch{From: at, Treatment: treatment})
			} else {
				out[len(out)-1].To = at
			}
		} else if over && k == 0 {
			out = append(out, Stretch{From: ds[0].Chainage, Treatment: treatment})
		}
		open = over
		if over {
			s := &out[len(out)-1]
			s.To = ds[k].Chainage
			if h > sign*s.Greatest {
				s.Greatest, s.At = ds[k].Height, ds[k].Chainage
			}
		}
	}
	return out
}
