package steel

import (
	"math"
	"strconv"

	"pegpour/engine/refusal"
)

// Shape is the kind of a section.
type Shape string

// The shapes.
const (
	HollowShape Shape = "hollow section"
	PipeShape   Shape = "pipe"
	FlatShape   Shape = "flat bar"
	RoundShape  Shape = "round bar"
	AngleShape  Shape = "angle"
)

// Section is a prismatic steel section as it stands: Height is vertical.
//
// The two axes are named by the load that bends the section: Vertical values
// belong to a load along Height, Sideways values to one along Width.
type Section struct {
	Name      string // e.g. "RHS 100x50x3"
	Shape     Shape
	Height    float64 // mm, overall
	Width     float64 // mm, overall
	Thickness float64 // mm, of the wall or leg; 0 for solid bars
	Area      float64 // mm²

	InertiaVertical float64 // mm⁴, second moment of area for a vertical load
	InertiaSideways float64 // mm⁴, for a sideways load
	ModulusVertical float64 // mm³, elastic, to the farthest fibre
	ModulusSideways float64 // mm³
	// InertiaLeast is the least second moment about any axis, mm⁴. It is the
	// smaller of the two others except for angles.
	InertiaLeast float64
	// CentroidHeight and CentroidWidth are the distances of the centroid from
	// the bottom and from the left (the back of an angle's legs), mm.
	CentroidHeight, CentroidWidth float64
}

// MassPerMetre returns the mass of one metre, kg/m, at Density.
func (s Section) MassPerMetre() float64 { return s.Area * kilogramsPerMillimetre * 1000 }

// Mass returns the mass of a length (mm), kg.
func (s Section) Mass(length float64) float64 { return s.Area * kilogramsPerMillimetre * length }

// LeastRadius returns the least radius of gyration √(I/A), mm.
func (s Section) LeastRadius() float64 {
	if s.Area <= 0 || s.InertiaLeast <= 0 {
		return 0
	}
	return math.Sqrt(s.InertiaLeast / s.Area)
}

// Turned returns the section laid on its side, height and width exchanged: a
// flat bar on edge becomes one laid flat.
func (s Section) Turned() Section {
	s.Height, s.Width = s.Width, s.Height
	s.InertiaVertical, s.InertiaSideways = s.InertiaSideways, s.InertiaVertical
	s.ModulusVertical, s.ModulusSideways = s.ModulusSideways, s.ModulusVertical
	s.CentroidHeight, s.CentroidWidth = s.CentroidWidth, s.CentroidHeight
	return s
}

// The largest sizes taken, mm: anything beyond is a slip of the finger.
const (
	largestSide = 1000
	leastWall   = 0.5
)

// spandrel is the area between a square corner and the circle of radius r that
// rounds it, seen from the sharp corner.
type spandrel struct {
	area     float64 // mm²
	centroid float64 // mm from either side of the corner
	inertia  float64 // mm⁴ about its own centroid, parallel to a side
	product  float64 // mm⁴ product of inertia about its own centroid
}

// roundedCorner gives the corner's properties:
//
//	A = (1 − π/4)r²;  c = (10 − 3π)/(12 − 3π)·r
//	I = (1/3 − π/16 − 1/(3(12 − 3π)))·r⁴
//
// Source: EN 10219-2 annex B (memory), product of inertia derived here.
func roundedCorner(r float64) spandrel {
	area := (1 - math.Pi/4) * r * r
	c := (10 - 3*math.Pi) / (12 - 3*math.Pi) * r
	r4 := r * r * r * r
	return spandrel{
		area:     area,
		centroid: c,
		inertia:  (1.0/3 - math.Pi/16 - 1/(3*(12-3*math.Pi))) * r4,
		product:  (19.0/24-math.Pi/4)*r4 - area*c*c,
	}
}

// CornerRadii returns the outer and inner corner radii that section properties
// of cold-formed hollow sections are computed with, mm.
//
//	t ≤ 6: 2.0t and 1.0t;  6 < t ≤ 10: 2.5t and 1.5t;  t > 10: 3.0t and 2.0t
//
// Source: EN 10219-2, annex B; the published tables follow from these radii to
// the last figure (testdata/references/steel_en10219.json).
func CornerRadii(thickness float64) (outer, inner float64) {
	switch {
	case thickness <= 6:
		return 2 * thickness, thickness
	case thickness <= 10:
		return 2.5 * thickness, 1.5 * thickness
	}
	return 3 * thickness, 2 * thickness
}

// Hollow returns a cold-formed square or rectangular hollow section of height,
// width and wall thickness in mm, corners rounded as EN 10219-2 computes them.
// Sides up to 1000 mm; the corners must fit: the shorter side at least twice
// the outer radius. Returns *ArgumentError otherwise.
//
// Source: EN 10219-2 annex B. Checked: testdata/references/steel_en10219.json.
func Hollow(height, width, thickness float64) (Section, error) {
	if err := refusal.First(
		refusal.Allow("height", height, 2*leastWall, largestSide, "mm"),
		refusal.Allow("width", width, 2*leastWall, largestSide, "mm"),
		refusal.Allow("wall thickness", thickness, leastWall, 40, "mm"),
	); err != nil {
		return Section{}, err
	}
	ro, ri := CornerRadii(thickness)
	if side := min(height, width); side < 2*ro {
		return Section{}, &ArgumentError{Argument: "wall thickness", Given: thickness, Low: leastWall, High: side / 4,
			Unit: "mm", Detail: "the rounded corners do not fit the shorter side"}
	}
	out, in := roundedCorner(ro), roundedCorner(ri)
	second := func(h, b float64) float64 {
		hi, bi := h-2*thickness, b-2*thickness
		ho, hn := h/2-out.centroid, hi/2-in.centroid
		return b*h*h*h/12 - bi*hi*hi*hi/12 -
			4*(out.inertia+out.area*ho*ho) + 4*(in.inertia+in.area*hn*hn)
	}
	s := Section{
		Name: sectionName(hollowPrefix(height, width), height, width, thickness), Shape: HollowShape,
		Height: height, Width: width, Thickness: thickness,
		Area:            2*thickness*(height+width-2*thickness) - 4*(out.area-in.area),
		InertiaVertical: second(height, width),
		InertiaSideways: second(width, height),
	}
	return s.symmetric(), nil
}

// Pipe returns a circular hollow section of outside diameter and wall
// thickness, mm.
//
//	A = π(D² − d²)/4;  I = π(D⁴ − d⁴)/64
func Pipe(diameter, thickness float64) (Section, error) {
	if err := refusal.First(
		refusal.Allow("diameter", diameter, 2*leastWall, largestSide, "mm"),
		refusal.Allow("wall thickness", thickness, leastWall, diameter/2, "mm"),
	); err != nil {
		return Section{}, err
	}
	d := diameter - 2*thickness
	i := math.Pi * (math.Pow(diameter, 4) - math.Pow(d, 4)) / 64
	s := Section{Name: sectionName("CHS", diameter, thickness), Shape: PipeShape,
		Height: diameter, Width: diameter, Thickness: thickness,
		Area: math.Pi * (diameter*diameter - d*d) / 4, InertiaVertical: i, InertiaSideways: i}
	return s.symmetric(), nil
}

// Flat returns a flat bar of a height and a width, mm: height greater than
// width is a bar on edge, smaller is one laid flat.
//
//	I = b·h³/12;  W = b·h²/6
func Flat(height, width float64) (Section, error) {
	if err := refusal.First(
		refusal.Allow("height", height, leastWall, largestSide, "mm"),
		refusal.Allow("width", width, leastWall, largestSide, "mm"),
	); err != nil {
		return Section{}, err
	}
	s := Section{Name: sectionName("FL", max(height, width), min(height, width)), Shape: FlatShape,
		Height: height, Width: width, Area: height * width,
		InertiaVertical: width * height * height * height / 12,
		InertiaSideways: height * width * width * width / 12}
	return s.symmetric(), nil
}

// Round returns a solid round bar of a diameter, mm.
//
//	A = πd²/4;  I = πd⁴/64
func Round(diameter float64) (Section, error) {
	if err := refusal.First(refusal.Allow("diameter", diameter, leastWall, largestSide, "mm")); err != nil {
		return Section{}, err
	}
	i := math.Pi * math.Pow(diameter, 4) / 64
	s := Section{Name: sectionName("RD", diameter), Shape: RoundShape, Height: diameter, Width: diameter,
		Area: math.Pi * diameter * diameter / 4, InertiaVertical: i, InertiaSideways: i}
	return s.symmetric(), nil
}

// symmetric fills what follows from symmetry about both axes.
func (s Section) symmetric() Section {
	s.ModulusVertical = s.InertiaVertical / (s.Height / 2)
	s.ModulusSideways = s.InertiaSideways / (s.Width / 2)
	s.InertiaLeast = min(s.InertiaVertical, s.InertiaSideways)
	s.CentroidHeight, s.CentroidWidth = s.Height/2, s.Width/2
	return s
}

func hollowPrefix(height, width float64) string {
	if height == width {
		return "SHS"
	}
	return "RHS"
}

func sectionName(prefix string, sizes ...float64) string {
	name := append(make([]byte, 0, 32), prefix...)
	for i, v := range sizes {
		between := byte('x')
		if i == 0 {
			between = ' '
		}
		name = strconv.AppendFloat(append(name, between), v, 'f', -1, 64)
	}
	return string(name)
}
