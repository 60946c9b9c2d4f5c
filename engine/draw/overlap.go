package draw

import "math"

// Overlap is a place on a sheet where two things lie over one another that
// must not.
type Overlap struct {
	A, B string // IDs of the two elements
	What string // "text on text", "text on line", "dimension line on edge", ...
	At   Point
}

// Overlaps checks a finished sheet, from its marks alone: no text over another
// text, over a symbol or over any line (the grid and hatches apart); no
// dimension line across or along an edge that is not context, nor across or
// along another dimension line; no text off the sheet. An empty result proves
// the sheet.
func Overlaps(s *Sheet) []Overlap {
	var found []Overlap
	texts, lines := sheetTexts(s), sheetLines(s)
	whole := Box{Point{-1e-6, -1e-6}, Point{s.Width + 1e-6, s.Height + 1e-6}}
	for i := range texts {
		a := &texts[i]
		if !whole.Holds(a.box.Min) || !whole.Holds(a.box.Max) {
			found = append(found, Overlap{a.id, "", "text off the sheet", a.c})
		}
		if a.symbol {
			continue
		}
		for j := range texts {
			b := &texts[j]
			if (j > i || b.symbol) && j != i && a.meets(&b.slab) {
				what := "text on text"
				if b.symbol {
					what = "text on symbol"
				}
				found = append(found, Overlap{a.id, b.id, what, a.c})
			}
		}
		for j := range lines {
			if a.crossed(&lines[j].segment) {
				found = append(found, Overlap{a.id, lines[j].id, "text on line", a.c})
			}
		}
	}
	for i := range lines {
		a := &lines[i]
		if a.part != PartDimension {
			continue
		}
		for j := range lines {
			b := &lines[j]
			other := b.part == PartDimension && j > i && b.group != a.group
			if !other && (b.part != PartEdge || b.context) {
				continue
			}
			if !a.crosses(&b.segment) && !alongside(&a.segment, &b.segment) {
				continue
			}
			what := "dimension line on edge"
			if other {
				what = "dimension line on dimension line"
			}
			found = append(found, Overlap{a.id, b.id, what, a.a})
		}
	}
	return found
}

type sheetText struct {
	slab
	id string
}

type sheetLine struct {
	segment
	id    string
	group int
}

func sheetTexts(s *Sheet) []sheetText {
	var out []sheetText
	for _, g := range s.Groups {
		for _, m := range g.Marks {
			switch {
			case m.Kind == MarkText:
				out = append(out, sheetText{newSlab(m.Points[0], m.Width, boxHeight*m.Size, m.Angle), g.ID})
			case m.Kind == MarkRound && m.Part == PartSymbol:
				sl := newSlab(m.Points[0], 2*m.Radius, 2*m.Radius, 0)
				sl.symbol = true
				out = append(out, sheetText{sl, g.ID})
			}
		}
	}
	return out
}

func sheetLines(s *Sheet) []sheetLine {
	var out []sheetLine
	for gi, g := range s.Groups {
		if g.Role == RoleGrid {
			continue
		}
		add := func(a, b Point, part Part) {
			if part == PartEdge && !s.Clip.Empty() {
				var ok bool
				if a, b, ok = clipToBox(a, b, s.Clip); !ok {
					return
				}
			}
			out = append(out, sheetLine{newSegment(a, b, part, g.Context), g.ID, gi})
		}
		for _, m := range g.Marks {
			switch {
			case m.Part == PartFill || m.Kind == MarkText || m.Kind == MarkArea:
			case m.Kind == MarkStroke:
				for i := 1; i < len(m.Points); i++ {
					add(m.Points[i-1], m.Points[i], m.Part)
				}
				if m.Closed {
					add(m.Points[len(m.Points)-1], m.Points[0], m.Part)
				}
			case m.Part == PartEdge:
				ps := arcPoints(m.Points[0], m.Radius, 0, 2*math.Pi)
				for i := 1; i < len(ps); i++ {
					add(ps[i-1], ps[i], m.Part)
				}
			}
		}
	}
	return out
}

// alongside reports whether two segments lie on one line and share more than
// a point of it.
func alongside(a, b *segment) bool {
	const near = 1e-6
	d := distance(a.a, a.b)
	if d < near || distance(b.a, b.b) < near {
		return false
	}
	if math.Abs(cross(a.a, a.b, b.a))/d > near || math.Abs(cross(a.a, a.b, b.b))/d > near {
		return false
	}
	ux, uy := (a.b.X-a.a.X)/d, (a.b.Y-a.a.Y)/d
	p := (b.a.X-a.a.X)*ux + (b.a.Y-a.a.Y)*uy
	q := (b.b.X-a.a.X)*ux + (b.b.Y-a.a.Y)*uy
	return max(p, q) > near && min(p, q) < d-near
}
