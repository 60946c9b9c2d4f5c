package photo

import "math"

// How far the third of any three points of the best four must stand off the
// line of the other two, as a share of the spread of all points. A picture
// foreshortens, so it is allowed less. Common practice, no published source.
const (
	groundSpread  = 0.03
	pictureSpread = 0.01
)

// refuseNarrow refuses points of which no four are in general position.
func refuseNarrow(pairs []Pair) error {
	for _, plane := range []struct {
		where Where
		least float64
		at    func(Pair) Pixel
	}{
		{OnGround, groundSpread, func(p Pair) Pixel { return Pixel{p.X, p.Y} }},
		{InPicture, pictureSpread, func(p Pair) Pixel { return Pixel{p.U, p.V} }},
	} {
		points := make([]Pixel, len(pairs))
		for i, p := range pairs {
			points[i] = plane.at(p)
		}
		share, worst := spreadOf(points)
		if !(share >= plane.least) {
			return inLine(plane.where, worst, pairs)
		}
	}
	return nil
}

func inLine(where Where, three [3]int, pairs []Pair) error {
	return &InLineError{where, three, [3]string{pairs[three[0]].Name, pairs[three[1]].Name, pairs[three[2]].Name}}
}

// spreadOf is how far the third of any three points of the best four stands off
// the line of the other two, as a share of the spread of all; 0 for fewer than
// four points or all in one spot. worst are those three.
func spreadOf(points []Pixel) (share float64, worst [3]int) {
	best, worst := -1.0, [3]int{0, 1, 2}
	n := len(points)
	for a := range n {
		for b := a + 1; b < n; b++ {
			for c := b + 1; c < n; c++ {
				for d := c + 1; d < n; d++ {
					if off, three := flattest(points, [4]int{a, b, c, d}); off > best {
						best, worst = off, three
					}
				}
			}
		}
	}
	size := extent(points)
	if best <= 0 || size == 0 {
		return 0, worst
	}
	return best / size, worst
}

// Spread tells how well places spread out both ways: how far the third of any
// three of the best four stands off the line of the other two, as a share of the
// whole spread. 0 for fewer than four, for places in line, and for what are no
// numbers.
func Spread(places []Ground) float64 {
	points, ok := pointsOf(places)
	if !ok {
		return 0
	}
	share, _ := spreadOf(points)
	return share
}

func pointsOf(places []Ground) ([]Pixel, bool) {
	points := make([]Pixel, len(places))
	for i, g := range places {
		if !(math.Abs(g.X) <= MaxGround && math.Abs(g.Y) <= MaxGround) {
			return nil, false
		}
		points[i] = Pixel{g.X, g.Y}
	}
	return points, true
}

func extent(points []Pixel) float64 {
	lu, hu, lv, hv := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range points {
		lu, hu = min(lu, p.U), max(hu, p.U)
		lv, hv = min(lv, p.V), max(hv, p.V)
	}
	return math.Hypot(hu-lu, hv-lv)
}

// flattest is the least height of the four triangles of a quad, and which.
func flattest(points []Pixel, quad [4]int) (float64, [3]int) {
	least, which := math.Inf(1), [3]int{quad[0], quad[1], quad[2]}
	for skip := range 4 {
		var t [3]int
		k := 0
		for i, q := range quad {
			if i != skip {
				t[k] = q
				k++
			}
		}
		a, b, c := points[t[0]], points[t[1]], points[t[2]]
		twice := math.Abs((b.U-a.U)*(c.V-a.V) - (b.V-a.V)*(c.U-a.U))
		longest := max(math.Hypot(b.U-a.U, b.V-a.V),
			max(math.Hypot(c.U-b.U, c.V-b.V), math.Hypot(a.U-c.U, a.V-c.V)))
		off := 0.0
		if longest > 0 {
			off = twice / longest
		}
		if off < least {
			least, which = off, t
		}
	}
	return least, which
}
