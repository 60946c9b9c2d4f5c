package draw

import "math"

func (w *svgWriter) group(g *Group) {
	if len(g.Marks) == 0 {
		return
	}
	hi := w.o.Highlight != "" && (w.o.Highlight == g.ID || w.o.Highlight == g.Field)
	w.str(`<g class="d-`)
	w.str(g.Kind)
	w.str(" d-r-")
	w.str(roleNames[g.Role])
	if g.Voice != VoicePlain {
		w.str(" d-v-")
		w.str(voiceNames[g.Voice])
	}
	if g.Context {
		w.str(" d-context")
	}
	if hi {
		w.str(" d-hi")
	}
	w.str(`" data-id="`)
	w.text(g.ID)
	if g.Field != "" {
		w.str(`" data-field="`)
		w.text(g.Field)
	}
	if g.Layer != "" {
		w.str(`" data-layer="`)
		w.text(g.Layer)
	}
	w.str(`">`)
	if hi {
		for i := range g.Marks {
			if m := &g.Marks[i]; m.Part.haloed() {
				w.mark(m, true)
			}
		}
	}
	for i := range g.Marks {
		w.mark(&g.Marks[i], false)
	}
	if w.o.Screen && g.Field != "" {
		for i := range g.Marks {
			if m := &g.Marks[i]; m.Kind == MarkText {
				w.around(m, "d-hit", 0.75*w.s.TextHeight)
			}
		}
	}
	w.str("</g>\n")
}

func (w *svgWriter) mark(m *Mark, halo bool) {
	class := partClasses[m.Part]
	switch {
	case halo:
		class = "d-halo"
	case m.Solid:
		class += " d-b"
	}
	switch m.Kind {
	case MarkStroke:
		w.str(`<path class="`)
		w.str(class)
		w.str(`" d="`)
		w.ring(m.Points, m.Closed)
		w.str(`"/>`)
	case MarkArea:
		w.fill(m.Hatch)
		w.str(` fill-rule="evenodd" d="`)
		for _, r := range m.Rings {
			w.ring(r, true)
		}
		w.str(`"/>`)
	case MarkRound:
		if m.Part == PartFill {
			w.fill(m.Hatch)
			w.str(` d="`)
			w.round(m.Points[0], m.Radius)
			w.str(`"/>`)
			return
		}
		w.str(`<circle class="`)
		w.str(class)
		if m.Hatch == HatchPaper && !halo && !m.Solid {
			w.str(" d-o")
		}
		w.str(`" `)
		w.attr("cx", m.Points[0].X)
		w.attr(" cy", m.Points[0].Y)
		w.attr(" r", m.Radius)
		w.str("/>")
	case MarkText:
		if halo {
			w.around(m, "d-halo-text", 0.16*w.s.TextHeight)
			return
		}
		w.lettering(m)
	}
}

func (w *svgWriter) fill(h Hatch) {
	w.str(`<path class="d-f`)
	if hatchTiles[h].path == "" {
		w.str(" d-f-")
		w.str(hatchNames[h])
		w.str(`"`)
		return
	}
	w.str(`" fill="url(#` + w.o.Prefix + "d-")
	w.str(hatchNames[h])
	w.str(`)"`)
}

func (w *svgWriter) ring(ps []Point, closed bool) {
	for i, p := range ps {
		if i == 0 {
			w.str("M")
		} else {
			w.str("L")
		}
		w.num(p.X)
		w.str(" ")
		w.num(p.Y)
	}
	if closed {
		w.str("Z")
	}
}

func (w *svgWriter) round(c Point, r float64) {
	w.str("M")
	w.num(c.X - r)
	w.str(" ")
	w.num(c.Y)
	for _, x := range [...]float64{c.X + r, c.X - r} {
		w.str("A")
		w.num(r)
		w.str(" ")
		w.num(r)
		w.str(" 0 1 1 ")
		w.num(x)
		w.str(" ")
		w.num(c.Y)
	}
	w.str("Z")
}

func (w *svgWriter) lettering(m *Mark) {
	c := m.Points[0]
	w.str(`<text class="d-w" `)
	w.attr("x", c.X)
	w.attr(" y", c.Y+(ascent-boxHeight/2)*m.Size)
	w.attr(" textLength", m.Width)
	w.str(` lengthAdjust="spacingAndGlyphs"`)
	if m.Size != w.s.TextHeight {
		w.attr(" font-size", m.Size)
	}
	w.turn(m.Angle, c)
	w.str(">")
	w.text(m.Text)
	w.str("</text>")
}

func (w *svgWriter) turn(angle float64, c Point) {
	if angle == 0 {
		return
	}
	w.str(` transform="rotate(`)
	w.num(-angle * 180 / math.Pi)
	w.str(" ")
	w.num(c.X)
	w.str(" ")
	w.num(c.Y)
	w.str(`)"`)
}

// around writes a rectangle about a text, wider by d on all sides.
func (w *svgWriter) around(m *Mark, class string, d float64) {
	c, hw, hh := m.Points[0], m.Width/2+d, boxHeight*m.Size/2+d
	w.str(`<rect class="` + class + `" `)
	w.attr("x", c.X-hw)
	w.attr(" y", c.Y-hh)
	w.attr(" width", 2*hw)
	w.attr(" height", 2*hh)
	w.attr(" rx", 0.25*m.Size)
	w.turn(m.Angle, c)
	w.str("/>")
}
