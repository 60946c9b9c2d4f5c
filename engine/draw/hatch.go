package draw

import (
	"math"
	"strconv"
)

// hatchTile is one repeat of a hatch, in units of a sixteenth of the text
// height; path is in the path language of SVG with M, L and a only.
type hatchTile struct {
	w, h float64
	path string
}

// Our own drawing of the ISO 128-50 habit: what a material looks like when cut.
var tilesByHatch = [hatchCount]hatchTile{
	HatchConcrete: {26, 22, "M3 4L3.01 4M11 2L11.01 2M20 5L20.01 5M7 11L7.01 11M24 13L24.01 13M13 19L13.01 19M3 17L3.01 17M21 20L21.01 20M12 8L16 10L12.5 12.2ZM18 15L20.5 13.6L20.8 16.4ZM5.5 20L8 19L7.6 21.2Z"},
	HatchEarth:    {28, 20, "M2 10L8 2M5 11L11 3M8 12L14 4M16 20L22 12M19 20.5L25 13M14 19L16.5 16M26 8L27.5 6"},
	HatchGravel:   {20, 18, "M2 5a3 2.6 0 1 0 6 0a3 2.6 0 1 0 -6 0M12 4a2.2 2 0 1 0 4.4 0a2.2 2 0 1 0 -4.4 0M8 13a3.2 2.8 0 1 0 6.4 0a3.2 2.8 0 1 0 -6.4 0M1.5 13.5a1.8 1.6 0 1 0 3.6 0a1.8 1.6 0 1 0 -3.6 0M16.5 11a1.4 1.3 0 1 0 2.8 0a1.4 1.3 0 1 0 -2.8 0"},
	HatchSteel:    {4, 4, "M-1 1L1 -1M0 4L4 0M3 5L5 3"},
	HatchWater:    {24, 10, "M0 5L3 3.4L6 3L9 3.6L12 5L15 6.4L18 7L21 6.6L24 5"},
	HatchPavers:   {28, 20, "M0 0L28 0M0 10L28 10M7 0L7 10M21 10L21 20"},
	HatchBitumen:  {9, 9, "M-1 1L1 -1M0 9L9 0M8 10L10 8M0 0L9 9"},
}

// Stroke is a broken line of a hatch in sheet coordinates; a dot is a stroke
// of no length, to be drawn with round ends.
type Stroke struct {
	Points []Point
	Closed bool
}

// maxTiles bounds the work of HatchStrokes; an A0 sheet has fewer.
const maxTiles = 100_000

// HatchStrokes returns the strokes of a hatch over the area within rings
// (even-odd), whole tiles, to be clipped to the area by the writer: for
// writers that have no patterns. textHeight is that of the sheet. The
// result is empty for a plain fill, and for an area of more than 100 000 tiles.
func HatchStrokes(rings [][]Point, h Hatch, textHeight float64) []Stroke {
	strokes, places := HatchTiles(rings, h, textHeight, EmptyBox())
	var out []Stroke
	for _, at := range places {
		for _, s := range strokes {
			ps := make([]Point, len(s.Points))
			for i, q := range s.Points {
				ps[i] = Point{at.X + q.X, at.Y + q.Y}
			}
			out = append(out, Stroke{ps, s.Closed})
		}
	}
	return out
}

// HatchTiles is HatchStrokes in its parts: the strokes of one tile, and the
// places where the tile goes. Tiles outside within are left out unless within
// is empty.
func HatchTiles(rings [][]Point, h Hatch, textHeight float64, within Box) (tile []Stroke, at []Point) {
	if h >= hatchCount || tilesByHatch[h].path == "" || textHeight <= 0 {
		return nil, nil
	}
	t := &tilesByHatch[h]
	k := textHeight / 16
	tile = parseTile(t.path)
	for i := range tile {
		for j := range tile[i].Points {
			tile[i].Points[j].X *= k
			tile[i].Points[j].Y *= k
		}
	}
	box := EmptyBox()
	var edges []segment
	for _, r := range rings {
		for i := range r {
			box.Grow(r[i])
			edges = append(edges, newSegment(r[i], r[(i+1)%len(r)], PartEdge, false))
		}
	}
	if box.Empty() {
		return nil, nil
	}
	if !within.Empty() {
		box.Min = Point{max(box.Min.X, within.Min.X), max(box.Min.Y, within.Min.Y)}
		box.Max = Point{min(box.Max.X, within.Max.X), min(box.Max.Y, within.Max.Y)}
		if box.Empty() {
			return nil, nil
		}
	}
	w, height := t.w*k, t.h*k
	if box.Width()/w*box.Height()/height > maxTiles {
		return nil, nil
	}
	for row := int(math.Floor(box.Min.Y / height)); float64(row)*height < box.Max.Y; row++ {
		for col := int(math.Floor(box.Min.X / w)); float64(col)*w < box.Max.X; col++ {
			x, y := float64(col)*w, float64(row)*height
			cell := newSlab(Point{x + w/2, y + height/2}, w, height, 0)
			if touches(&cell, edges) {
				at = append(at, Point{x, y})
			}
		}
	}
	return tile, at
}

// touches reports whether a cell meets the area inside edges.
func touches(cell *slab, edges []segment) bool {
	inside := false
	c := cell.c
	for i := range edges {
		e := &edges[i]
		if cell.crossed(e) {
			return true
		}
		if (e.a.Y > c.Y) != (e.b.Y > c.Y) && c.X < e.a.X+(c.Y-e.a.Y)/(e.b.Y-e.a.Y)*(e.b.X-e.a.X) {
			inside = !inside
		}
	}
	return inside
}

// parseTile reads the small path language of the tiles: M and L with absolute
// pairs, Z, and a with a half turn of an ellipse along x.
func parseTile(path string) []Stroke {
	var out []Stroke
	i := 0
	number := func() float64 {
		for i < len(path) && (path[i] == ' ' || path[i] == ',') {
			i++
		}
		start := i
		for i < len(path) && (path[i] == '-' && i == start || path[i] == '.' || path[i] >= '0' && path[i] <= '9') {
			i++
		}
		v, _ := strconv.ParseFloat(path[start:i], 64)
		return v
	}
	for i < len(path) {
		c := path[i]
		i++
		switch c {
		case 'M':
			out = append(out, Stroke{Points: []Point{{number(), number()}}})
		case 'L':
			last := &out[len(out)-1]
			last.Points = append(last.Points, Point{number(), number()})
		case 'Z':
			out[len(out)-1].Closed = true
		case 'a':
			rx, ry := number(), number()
			number()
			number()
			sweep := number()
			dx := number()
			number()
			last := &out[len(out)-1]
			from := last.Points[len(last.Points)-1]
			centre := Point{from.X + dx/2, from.Y}
			turn := math.Pi // anticlockwise on the sheet when sweep is 0
			if sweep != 0 {
				turn = -math.Pi
			}
			start := 0.0
			if dx > 0 {
				start = math.Pi
			}
			for n := 1; n <= 6; n++ {
				s, co := math.Sincos(start + turn*float64(n)/6)
				last.Points = append(last.Points, Point{centre.X + rx*co, centre.Y - ry*s})
			}
		}
	}
	return out
}
