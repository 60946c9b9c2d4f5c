package steel

import (
	"math"

	"pegpour/engine/refusal"
)

// Angle returns a rolled angle with a vertical leg (height), a horizontal leg
// (width), both of one thickness, the root fillet rootRadius between them and
// half of it at the toes, mm. Its principal axes are turned, so InertiaLeast is
// less than either other: buckling goes by it. Bending values hold for an angle
// held so that it bends along the load only.
//
// The fillets are added and taken off exactly.
//
// Source: EN 10056-1, whose tables give r2 = r1/2. Checked:
// testdata/references/steel_en10056.json.
func Angle(height, width, thickness, rootRadius float64) (Section, error) {
	least := min(height, width)
	if err := refusal.First(
		refusal.Allow("height", height, 10, largestSide, "mm"),
		refusal.Allow("width", width, 10, largestSide, "mm"),
		refusal.Allow("thickness", thickness, leastWall, least/2, "mm"),
		refusal.Allow("root radius", rootRadius, 0, min(2*thickness, least-thickness-min(thickness, least/2)),
			"mm"),
	); err != nil {
		return Section{}, err
	}
	t, toe := thickness, rootRadius/2
	var m areaMoments
	m.rectangle(0, 0, t, height)
	m.rectangle(t, 0, width, t)
	m.corner(1, t, t, 1, 1, rootRadius)  // fillet between the legs
	m.corner(-1, t, height, -1, -1, toe) // toe of the vertical leg
	m.corner(-1, width, t, -1, -1, toe)  // toe of the horizontal leg
	x, y := m.sx/m.area, m.sy/m.area
	vertical := m.yy - m.area*y*y
	sideways := m.xx - m.area*x*x
	product := m.xy - m.area*x*y
	return Section{
		Name: sectionName("L", height, width, thickness), Shape: AngleShape,
		Height: height, Width: width, Thickness: t, Area: m.area,
		InertiaVertical: vertical, InertiaSideways: sideways,
		ModulusVertical: vertical / max(y, height-y),
		ModulusSideways: sideways / max(x, width-x),
		InertiaLeast:    (vertical+sideways)/2 - math.Hypot((vertical-sideways)/2, product),
		CentroidHeight:  y, CentroidWidth: x,
	}, nil
}

// areaMoments sums areas with their first and second moments about the origin.
type areaMoments struct{ area, sx, sy, xx, yy, xy float64 }

func (m *areaMoments) add(sign, area, x, y, ownX, ownY, ownXY float64) {
	m.area += sign * area
	m.sx += sign * area * x
	m.sy += sign * area * y
	m.xx += sign * (ownX + area*x*x)
	m.yy += sign * (ownY + area*y*y)
	m.xy += sign * (ownXY + area*x*y)
}

func (m *areaMoments) rectangle(x0, y0, x1, y1 float64) {
	b, h := x1-x0, y1-y0
	m.add(1, b*h, (x0+x1)/2, (y0+y1)/2, h*b*b*b/12, b*h*h*h/12, 0)
}

// corner adds (sign 1) or removes (−1) the spandrel of radius r whose sharp
// corner is at x, y and which lies towards dx, dy (each 1 or −1).
func (m *areaMoments) corner(sign, x, y, dx, dy, r float64) {
	c := roundedCorner(r)
	m.add(sign, c.area, x+dx*c.centroid, y+dy*c.centroid, c.inertia, c.inertia, dx*dy*c.product)
}
