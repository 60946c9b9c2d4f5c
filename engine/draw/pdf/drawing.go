package pdf

import (
	"math"
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/refusal"
	"pegpour/engine/words"
)

// Orientation of a drawing page.
type Orientation uint8

// The orientations.
const (
	BestOrientation Orientation = iota // the one with the larger scale; portrait when equal
	Portrait
	Landscape
)

// DrawingPage says how a scene goes on its page.
type DrawingPage struct {
	Orientation Orientation
	// Ratio is n of the scale 1:n; 0 takes the largest standard one that fits.
	Ratio float64
	Block TitleBlock
	// MayTurn lets the drawing be turned a quarter on a portrait page where
	// that gives a larger scale.
	MayTurn bool
	// Mirror, Hidden, NoDimensions and Window as in draw.View.
	Mirror       bool
	Hidden       []string
	NoDimensions bool
	Window       draw.Box
}

// ErrTooLarge is returned for a scene that does not fit the page at the scale
// asked for, or at 1:200.
var ErrTooLarge = error(
	refusal.Error("the drawing does not fit an A4 page at this scale; allow a smaller scale or draw it in parts"))

// Drawing adds a page with a scene on it, and a scale bar if the scene has
// none. It returns ErrTooLarge, an error of draw.Layout, or the first error of
// the document.
func (d *Document) Drawing(s *draw.Scene, page DrawingPage) error {
	if d.err != nil {
		return d.err
	}
	d.running = nil
	if hasVoices(s) {
		page.Block.key = d.say(VoiceKey)
	}
	sheet, landscape, err := d.layout(d.withScaleBar(s), page)
	if err != nil {
		d.err = err
		return err
	}
	block := page.Block
	if block.Title == "" {
		block.Title = s.Title
	}
	ratio := 1 / sheet.Scale
	block.scale = words.Fill(d.say("{0} at A4"), "1:"+strconv.FormatFloat(math.Round(ratio*100)/100, 'f', -1, 64))
	d.page(landscape)
	room := d.titleBlock(block)
	d.sheet(sheet, room.x, room.y)
	return nil
}

func hasVoices(s *draw.Scene) bool {
	for _, e := range s.Elements {
		switch draw.TagOf(e).Voice {
		case draw.VoiceMeasured, draw.VoiceAssumed:
			return true
		}
	}
	return false
}

func (d *Document) withScaleBar(s *draw.Scene) *draw.Scene {
	for _, e := range s.Elements {
		if _, ok := e.(draw.ScaleBar); ok {
			return s
		}
	}
	c := *s
	c.Elements = append(append([]draw.Element(nil), s.Elements...),
		draw.ScaleBar{Tag: draw.Tag{ID: "scale", Role: draw.RoleNote}, Feet: d.o.Feet})
	return &c
}

func (d *Document) layout(s *draw.Scene, page DrawingPage) (*draw.Sheet, bool, error) {
	var best *draw.Sheet
	bestLandscape := false
	for _, o := range [...]Orientation{Portrait, Landscape} {
		if page.Orientation != BestOrientation && page.Orientation != o {
			continue
		}
		d.wide, d.high = shortEdge, longEdge
		if o == Landscape {
			d.wide, d.high = longEdge, shortEdge
		}
		room := d.drawingRoom(page.Block)
		v := draw.View{Width: room.w, Height: room.h, Paper: true, Mirror: page.Mirror, Hidden: page.Hidden,
			NoDimensions: page.NoDimensions, Window: page.Window, TextHeight: sheetText}
		if page.Ratio > 0 {
			v.Scale = 1 / page.Ratio
		}
		for _, v.Turn = range [...]bool{false, true} {
			if v.Turn && (!page.MayTurn || o == Landscape) {
				continue
			}
			sheet, err := draw.Layout(s, v)
			if err != nil {
				return nil, false, err
			}
			if sheet.Fits && (best == nil || sheet.Scale > best.Scale*1.001) {
				best, bestLandscape = sheet, o == Landscape
			}
		}
	}
	if best == nil {
		return nil, false, ErrTooLarge
	}
	return best, bestLandscape, nil
}

// sheetText is the lettering of drawings, font size in mm.
const sheetText = 3.2

// sheet renders a laid-out sheet with its corner at x, y of the page. Shapes
// are clipped to the window, where there is one; notes stand around it.
func (d *Document) sheet(s *draw.Sheet, x, y float64) {
	d.laidOut = append(d.laidOut, s)
	f := d.new("Figure")
	if f.alt = read(s.Desc); f.alt == "" {
		f.alt = read(s.Title)
	}
	ink := s.Ink()
	at := []byte("/O /Layout /Placement /Block /BBox [")
	for _, mm := range [...]float64{x + ink.Min.X, d.high - y - ink.Max.Y, x + ink.Max.X, d.high - y - ink.Min.Y} {
		at = append(strconv.AppendFloat(at, mm*ptPerMM, 'f', 1, 64), ' ')
	}
	f.attributes = string(append(at, ']'))
	d.mark(f)
	r := renderer{d: d, s: s, x: x, y: y}
	clipped := !s.Clip.Empty()
	if clipped {
		d.op("q")
		d.path(r.all(draw.RectRing(s.Clip.Min.X, s.Clip.Min.Y, s.Clip.Max.X, s.Clip.Max.Y)), true)
		d.op("W n")
	}
	for i := range s.Groups {
		if clipped && !s.Groups[i].ToScale() {
			d.op("Q")
			clipped = false
		}
		r.group(&s.Groups[i])
	}
	if clipped {
		d.op("Q")
	}
	d.dash(nil, 0)
	d.grey(0)
	d.decoration()
}

type renderer struct {
	d    *Document
	s    *draw.Sheet
	x, y float64
}

func (r *renderer) at(p draw.Point) draw.Point { return draw.Pt(p.X+r.x, p.Y+r.y) }

func (r *renderer) all(ps []draw.Point) []draw.Point {
	out := make([]draw.Point, len(ps))
	for i, p := range ps {
		out[i] = r.at(p)
	}
	return out
}

// ink sets the colour of a group: black, grey for what exists already, plum
// for what was measured when there is colour.
func (r *renderer) ink(g *draw.Group) {
	switch {
	case g.Material != draw.MaterialNone:
		r.material(g.Material, draw.LightNone)
	case g.Voice == draw.VoiceMeasured && r.d.o.Colour, g.Role == draw.RoleTape && r.d.o.Colour:
		r.d.colour(0x8a/255.0, 0x0f/255.0, 0x4b/255.0)
	case g.Role == draw.RoleGrid:
		r.d.grey(0.8)
	case g.Role == draw.RoleExisting || g.Voice == draw.VoiceAssumed:
		r.d.grey(0.3)
	default:
		r.d.grey(0)
	}
}

func (r *renderer) group(g *draw.Group) {
	d := r.d
	for i := range g.Marks {
		m := &g.Marks[i]
		if m.Part == draw.PartFill && m.Kind != draw.MarkStroke {
			if m.Light != draw.LightNone {
				r.light(g.Material, m)
			}
			if m.Hatch != draw.HatchNone {
				r.fill(g.Material, m)
			}
			continue
		}
		r.ink(g)
		if m.Kind == draw.MarkText {
			r.lettering(m, g.Voice)
			continue
		}
		weight, dash := 0.25, []float64(nil)
		switch {
		case m.Part == draw.PartEdge:
			weight, dash = g.Role.Weight(), g.Role.Dash()
		case m.Part == draw.PartTerminator && !m.Closed:
			weight = 0.5
		case g.Voice == draw.VoiceMeasured && (m.Part == draw.PartDimension || m.Part == draw.PartTape):
			weight = 0.35
		case g.Role == draw.RoleGrid:
			weight = 0.13
		}
		if g.Voice == draw.VoiceAssumed && m.Part != draw.PartExtension && m.Part != draw.PartTerminator &&
			m.Part != draw.PartSymbol {
			dash = draw.DashAssumed()
		}
		d.weight(weight)
		d.dash(dash, weight)
		d.op("1 j")
		r.outline(m)
	}
}

func (r *renderer) outline(m *draw.Mark) {
	d := r.d
	if m.Kind == draw.MarkRound {
		if m.Hatch == draw.HatchPaper && !m.Solid {
			d.op("q 1 g")
			d.circle(r.at(m.Points[0]), m.Radius)
			d.op("f Q")
		}
		d.circle(r.at(m.Points[0]), m.Radius)
	} else {
		d.path(r.all(m.Points), m.Closed)
	}
	if m.Solid {
		d.op("B")
	} else {
		d.op("S")
	}
}

// material sets the colour of a material in a light, as by day.
func (r *renderer) material(m draw.Material, l draw.Light) {
	c := m.DayColour(l)
	r.d.colour(c[0], c[1], c[2])
}

// light fills an area of a material, or darkens what a shadow lies on. A thin edge of the
// same colour closes the hairline between two areas that share a side.
func (r *renderer) light(material draw.Material, m *draw.Mark) {
	d := r.d
	shadow := m.Light == draw.LightShadow
	paint := "B*"
	if shadow {
		d.shadow = true
		d.op("q /" + shadowState + " gs")
		d.grey(0)
		paint = "f" // the union of its rings
	} else {
		r.material(material, m.Light)
		d.weight(0.1)
		d.dash(nil, 0)
		d.op("1 j")
	}
	for _, ring := range m.Rings {
		d.path(r.all(ring), true)
	}
	d.op(paint)
	if shadow {
		d.op("Q")
	}
}

// fill draws a hatch as lines clipped to its area, on its material where it has one.
func (r *renderer) fill(material draw.Material, m *draw.Mark) {
	d := r.d
	rings := m.Rings
	if m.Kind == draw.MarkRound {
		const n = 32
		ring := make([]draw.Point, n)
		for i := range ring {
			s, c := math.Sincos(2 * math.Pi * float64(i) / n)
			ring[i] = draw.Pt(m.Points[0].X+m.Radius*c, m.Points[0].Y+m.Radius*s)
		}
		rings = [][]draw.Point{ring}
	}
	d.op("q")
	for _, ring := range rings {
		d.path(r.all(ring), true)
	}
	switch m.Hatch {
	case draw.HatchTint:
		d.op("0.93 g f* Q")
		return
	default:
		if material == draw.MaterialNone {
			d.op("1 g f*")
			for _, ring := range rings {
				d.path(r.all(ring), true)
			}
		}
	}
	d.op("W* n")
	d.grey(0.45)
	if material != draw.MaterialNone {
		r.material(material, draw.LightShade)
	}
	d.weight(0.13)
	d.dash(nil, 0)
	d.op("1 J")
	tile, places := draw.HatchTiles(rings, m.Hatch, r.s.TextHeight, r.s.Clip)
	// The same words for each tile, moved to its place: they pack to almost
	// nothing.
	var again []byte
	for _, place := range places {
		at := r.at(place)
		d.op("q")
		for _, v := range [...]float64{1, 0, 0, 1, at.X * ptPerMM, (d.high - at.Y) * ptPerMM} {
			d.num(v)
		}
		d.op("cm")
		if again == nil {
			start := len(d.buf)
			for _, s := range tile {
				points := make([]draw.Point, len(s.Points))
				for i, q := range s.Points {
					points[i] = draw.Pt(q.X, d.high+q.Y)
				}
				d.path(points, s.Closed)
			}
			d.op("S Q")
			again = append(again, d.buf[start:]...)
			continue
		}
		d.buf = append(d.buf, again...)
	}
	d.op("Q")
}

// lettering sets a text on a white ground, so that it reads over hatches.
func (r *renderer) lettering(m *draw.Mark, voice draw.Voice) {
	d := r.d
	c := r.at(m.Points[0])
	style := ""
	if voice == draw.VoiceAssumed {
		style = "I"
	}
	w := d.width(m.Text, m.Size, style)
	sin, cos := math.Sincos(m.Angle)
	// The text's own frame: x along it, y up from it, centred.
	d.op("q")
	for _, v := range [...]float64{cos, sin, -sin, cos} {
		d.buf = strconv.AppendFloat(d.buf, v, 'f', 5, 64)
		d.buf = append(d.buf, ' ')
	}
	d.point(c)
	d.op("cm")
	hw, hh := m.Width/2*ptPerMM, 0.44*m.Size*ptPerMM
	d.op("q 1 g")
	for _, v := range [...]float64{-hw, -hh, 2 * hw, 2 * hh} {
		d.num(v)
	}
	d.op("re f Q")
	// text places from the top left of the page: undo that.
	d.text(-w/2, d.high+0.26*m.Size, m.Text, m.Size, style)
	d.op("Q")
}
