package draw

import "math"

// Nearest returns the group whose figure or line lies nearest to a place on
// the sheet, within reach (sheet units), for taps: a thumb is wider than a
// line. accept says which groups count; nil counts all. A figure is preferred
// to a line as near. The groups are those of the sheet: do not change them.
func (s *Sheet) Nearest(at Point, reach float64, accept func(*Group) bool) (*Group, bool) {
	var best *Group
	least := math.Inf(1)
	for i := range s.Groups {
		g := &s.Groups[i]
		if accept != nil && !accept(g) {
			continue
		}
		for j := range g.Marks {
			d := markDistance(&g.Marks[j], at)
			if d <= reach && d < least {
				best, least = g, d
			}
		}
	}
	return best, best != nil
}

// lineHandicap, in sheet units, makes a figure win over a line that passes
// equally near.
const lineHandicap = 2

func markDistance(m *Mark, at Point) float64 {
	switch m.Kind {
	case MarkText:
		s := newSlab(m.Points[0], m.Width, boxHeight*m.Size, m.Angle)
		dx, dy := at.X-s.c.X, at.Y-s.c.Y
		u := max(0, math.Abs(dx*s.ux+dy*s.uy)-s.hw)
		v := max(0, math.Abs(-dx*s.uy+dy*s.ux)-s.hh)
		return math.Hypot(u, v)
	case MarkRound:
		return math.Abs(distance(m.Points[0], at)-m.Radius) + lineHandicap
	case MarkStroke:
		d := math.Inf(1)
		for i := 1; i < len(m.Points); i++ {
			d = min(d, lineDistance(m.Points[i-1], m.Points[i], at))
		}
		if m.Closed && len(m.Points) > 2 {
			d = min(d, lineDistance(m.Points[len(m.Points)-1], m.Points[0], at))
		}
		return d + lineHandicap
	}
	return math.Inf(1)
}

func lineDistance(a, b, at Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	l := dx*dx + dy*dy
	if l == 0 {
		return distance(a, at)
	}
	t := ((at.X-a.X)*dx + (at.Y-a.Y)*dy) / l
	return distance(between(a, b, max(0, min(1, t))), at)
}
