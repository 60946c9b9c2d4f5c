package draw

import "math"

// View is the target that a scene is laid out for.
type View struct {
	// Width and Height of the target in view units, margins included. Height
	// 0 takes what the drawing needs.
	Width, Height float64
	// Paper is true when view units are millimetres of paper, false for CSS
	// pixels.
	Paper bool
	// Scale in view units per model mm (on paper 1:50 is 0.02). 0 fits the
	// drawing to the target. With a scale given the sheet grows as needed;
	// Sheet.Fits tells.
	Scale float64
	// TextHeight is the size of the lettering in view units (the font size,
	// not the height of a capital). 0 means 16 px or 3.5 mm; on screen less
	// than 16 px is taken as 16.
	TextHeight float64
	// Margin kept free around everything. 0 means 8 px or 2 mm.
	Margin float64
	// Mirror turns right to left, for the other hand. Text is never mirrored.
	Mirror bool
	// Turn draws the model a quarter turn counter-clockwise, x running up the
	// sheet: a long plan then fills a phone held upright. Figures still read
	// from below or from the right.
	Turn bool
	// Window is the part of the model to show; the zero Box shows all.
	Window Box
	// Hidden layers are left out.
	Hidden []string
	// NoDimensions leaves out dimensions, as for the owner's view.
	NoDimensions bool

	first []int // groups whose labels are brought out before all others
	room  *Room // may be nil
}

// Phone returns the view of a phone screen: CSS pixels, 16 px text.
func Phone(width, height float64) View { return View{Width: width, Height: height} }

// PaperAt returns a view on paper at 1:ratio, sizes in mm.
func PaperAt(width, height, ratio float64) View {
	return View{Width: width, Height: height, Paper: true, Scale: 1 / ratio}
}

var issueRatios = [...]float64{10, 20, 25, 50, 100, 200}

// StandardRatios lists the ratios 1:n that a drawing is issued at.
func StandardRatios() []float64 { return append([]float64(nil), issueRatios[:]...) }

// Part says what a mark is to its element; writers and the overlap check go by
// it.
type Part uint8

// The parts.
const (
	PartEdge       Part = iota // line of the drawn thing itself
	PartFill                   // hatch
	PartDimension              // dimension line
	PartExtension              // extension line
	PartTerminator             // stroke or arrow
	PartLeader                 // leader line
	PartTape                   // line of a Through dimension: may cross edges
	PartSymbol                 // body of a peg, level mark, arrow, scale bar
	PartText                   // lettering
	partCount
)

// MarkKind is the shape of a mark.
type MarkKind uint8

// The kinds.
const (
	MarkStroke MarkKind = iota // Points as a broken line, closed when Closed
	MarkArea                   // Rings filled by the even-odd rule with Hatch
	MarkRound                  // circle around Points[0], Radius, filled with Hatch or Solid
	MarkText                   // Text, centred on Points[0], turned by Angle
)

// Mark is one thing to render, in sheet coordinates.
type Mark struct {
	Kind   MarkKind
	Part   Part
	Closed bool
	// Solid fills a closed stroke or a round with the line's own colour.
	Solid  bool
	Hatch  Hatch
	Light  Light // in which an area shows its group's material, under the hatch
	Radius float64
	// Points of a stroke; the centre of a round or a text.
	Points []Point
	// Rings of an area, the first the outer one.
	Rings [][]Point
	Text  string
	// Size of the lettering (font size), Width of the text as set, both in
	// view units.
	Size, Width float64
	// Angle of the text, rad, counter-clockwise as seen; within ±π/2.
	Angle float64
}

// Group is one element as laid out.
type Group struct {
	Tag
	// Kind is the plain word for the element: "region", "dimension", ...
	Kind  string
	Marks []Mark
}

// ToScale reports whether the group is drawn to scale. The notes, which are not,
// come after those that are.
func (g *Group) ToScale() bool {
	switch g.Kind {
	case "line", "arc", "circle", "region", "grid":
		return true
	}
	return false
}

// Sheet is a scene laid out: what goes where, in view units.
type Sheet struct {
	Title, Desc   string
	Width, Height float64
	Paper         bool
	// Scale in view units per model mm, as used.
	Scale float64
	// Fits is false when the target was too small and the sheet grew.
	Fits bool
	// Mirror and Turn as in the view.
	Mirror, Turn bool
	// Origin is where model (0, 0) lies on the sheet.
	Origin Point
	// Clip is the part of the sheet to which shapes are clipped when the view
	// has a window; the empty box otherwise.
	Clip Box
	// TextHeight as used.
	TextHeight float64
	Groups     []Group
}

// ToSheet maps a model point to the sheet.
func (s *Sheet) ToSheet(p Point) Point {
	x, y := p.X, p.Y
	if s.Mirror {
		x = -x
	}
	if s.Turn {
		x, y = -y, x
	}
	return Point{s.Origin.X + s.Scale*x, s.Origin.Y - s.Scale*y}
}

// ToModel maps a place on the sheet to the model.
func (s *Sheet) ToModel(p Point) Point {
	x, y := (p.X-s.Origin.X)/s.Scale, (s.Origin.Y-p.Y)/s.Scale
	if s.Turn {
		x, y = y, -x
	}
	if s.Mirror {
		x = -x
	}
	return Point{x, y}
}

// Ink is the box around all that is drawn, surroundings and lettering too; of shapes no more
// than what the window shows.
func (s *Sheet) Ink() Box {
	all := EmptyBox()
	for g := range s.Groups {
		box := EmptyBox()
		for i := range s.Groups[g].Marks {
			m := &s.Groups[g].Marks[i]
			switch m.Kind {
			case MarkText:
				sin, cos := math.Sincos(m.Angle)
				w, h := m.Width/2, m.Size/2
				x, y := math.Abs(w*cos)+math.Abs(h*sin), math.Abs(w*sin)+math.Abs(h*cos)
				box.Join(Box{Point{m.Points[0].X - x, m.Points[0].Y - y}, Point{m.Points[0].X + x, m.Points[0].Y + y}})
			case MarkRound:
				box.growRound(m.Points[0], m.Radius)
			default:
				box.growAll(m.Points)
				for _, ring := range m.Rings {
					box.growAll(ring)
				}
			}
		}
		if !s.Clip.Empty() && s.Groups[g].ToScale() {
			box.Min.X, box.Min.Y = max(box.Min.X, s.Clip.Min.X), max(box.Min.Y, s.Clip.Min.Y)
			box.Max.X, box.Max.Y = min(box.Max.X, s.Clip.Max.X), min(box.Max.Y, s.Clip.Max.Y)
		}
		all.Join(box)
	}
	if all.Empty() {
		return Box{}
	}
	return all
}
