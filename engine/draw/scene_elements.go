package draw

import "math"

func (t Tag) tag() Tag { return t }

// TagOf returns the tag of an element; the zero Tag for nil.
func TagOf(e Element) Tag {
	if e == nil {
		return Tag{}
	}
	return e.tag()
}

// The cover and check methods of the elements, in the order of scene.go.

func (e Line) cover(b *Box) { b.Grow(e.From); b.Grow(e.To) }
func (e Line) check() (string, bool) {
	return twoPoints("From", e.From, "To", e.To)
}

func (e Polyline) cover(b *Box) { b.growAll(e.Points) }
func (e Polyline) check() (string, bool) {
	return "Points", len(e.Points) < 2 || badPoints(e.Points)
}

func (e Circle) cover(b *Box) { b.growRound(e.Centre, e.Radius) }
func (e Circle) check() (string, bool) {
	if badPoint(e.Centre) {
		return "Centre", true
	}
	if e.Hatch >= hatchCount {
		return "Hatch", true
	}
	return "Radius", !finite(e.Radius) || e.Radius <= 0
}

func (e Arc) cover(b *Box) {
	for _, p := range arcPoints(e.Centre, e.Radius, e.Start, e.Sweep) {
		b.Grow(p)
	}
}
func (e Arc) check() (string, bool) {
	if badPoint(e.Centre) {
		return "Centre", true
	}
	if !finite(e.Start) || !(math.Abs(e.Sweep) <= 2*math.Pi) {
		return "Start or Sweep", true
	}
	return "Radius", !finite(e.Radius) || e.Radius <= 0
}

func (e Region) cover(b *Box) { b.growAll(e.Outer) }
func (e Region) check() (string, bool) {
	if len(e.Outer) < 3 || badPoints(e.Outer) {
		return "Outer", true
	}
	for _, h := range e.Holes {
		if len(h) < 3 || badPoints(h) {
			return "Holes", true
		}
	}
	if e.Light >= lightCount || e.Material >= materialCount {
		return "Light or Material", true
	}
	return "Hatch", e.Hatch >= hatchCount
}

func (e Dimension) cover(b *Box) { b.Grow(e.From); b.Grow(e.To) }
func (e Dimension) check() (string, bool) {
	if e.Direction > Vertical {
		return "Direction", true
	}
	if e.Side > Right {
		return "Side", true
	}
	if e.Placing > Through {
		return "Placing", true
	}
	return twoPoints("From", e.From, "To", e.To)
}

func (e AngleDimension) cover(b *Box) { b.Grow(e.Vertex) }
func (e AngleDimension) check() (string, bool) {
	if badPoint(e.Vertex) || e.Vertex == e.From || e.Vertex == e.To {
		return "Vertex", true
	}
	return twoPoints("From", e.From, "To", e.To)
}

func (e RadiusDimension) cover(b *Box) { b.Grow(e.OnArc) }
func (e RadiusDimension) check() (string, bool) {
	if e.Centre == e.OnArc {
		return "OnArc", true
	}
	return twoPoints("Centre", e.Centre, "OnArc", e.OnArc)
}

func (e Leader) cover(b *Box)          { b.Grow(e.At) }
func (e Leader) check() (string, bool) { return "At", badPoint(e.At) || e.Side > Right }

func (e LevelMark) cover(b *Box)          { b.Grow(e.At) }
func (e LevelMark) check() (string, bool) { return "At", badPoint(e.At) }

func (e Text) cover(b *Box)          { b.Grow(e.At) }
func (e Text) check() (string, bool) { return "At", badPoint(e.At) }

func (e Peg) cover(b *Box)          { b.Grow(e.At) }
func (e Peg) check() (string, bool) { return "At", badPoint(e.At) }

func (e HandArrow) cover(b *Box) { b.Grow(e.From); b.Grow(e.To) }
func (e HandArrow) check() (string, bool) {
	if e.From == e.To {
		return "To", true
	}
	return twoPoints("From", e.From, "To", e.To)
}

func (e NorthArrow) cover(*Box)            {}
func (e NorthArrow) check() (string, bool) { return "Angle", !finite(e.Angle) }
func (e ScaleBar) cover(*Box)              {}
func (e ScaleBar) check() (string, bool)   { return "", false }
func (e Grid) cover(*Box)                  {}
func (e Grid) check() (string, bool)       { return "Step", !finite(e.Step) || e.Step < 1 }
func twoPoints(an string, a Point, bn string, b Point) (string, bool) {
	if badPoint(a) {
		return an, true
	}
	return bn, badPoint(b)
}

func badPoints(ps []Point) bool {
	for _, p := range ps {
		if badPoint(p) {
			return true
		}
	}
	return false
}

// arcPoints returns the arc as a fine broken line, at most 7.5° a step.
func arcPoints(c Point, r, start, sweep float64) []Point {
	n := int(math.Ceil(math.Abs(sweep)/(math.Pi/24))) + 1
	if n < 2 {
		n = 2
	}
	out := make([]Point, n)
	for i := range out {
		s, co := math.Sincos(start + sweep*float64(i)/float64(n-1))
		out[i] = Point{c.X + r*co, c.Y + r*s}
	}
	return out
}
