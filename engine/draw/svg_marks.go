package draw

import "math"

// groups writes the group at i and returns the place of the next one. On a
// screen, groups of one mark that look alike share an element: a page takes in
// and styles fewer of them at each key.
func (w *svgWriter) groups(i int) (next int) {
	g := &w.s.Groups[i]
	next = i + 1
	if len(g.Marks) == 0 {
		return next
	}
	for w.lone(g) && next < len(w.s.Groups) && w.lone(&w.s.Groups[next]) && alike(g, &w.s.Groups[next]) {
		next++
	}
	if next == i+1 {
		w.group(g)
		return next
	}
	w.opening(g, false)
	w.str(`">`)
	for k := i; k < next; k++ {
		g := &w.s.Groups[k]
		m := &g.Marks[0]
		if k > i && w.oneWith(&w.s.Groups[k-1], g) {
			w.b = w.b[:len(w.b)-len(pathEnd)]
			w.ring(m.line())
			w.str(pathEnd)
			continue
		}
		w.own = g
		w.mark(m, false)
	}
	w.own = nil
	w.str("</g>\n")
	return next
}

// lone reports whether a group is nothing but a line or an area.
func (w *svgWriter) lone(g *Group) bool {
	return w.o.Screen && len(g.Marks) == 1 && g.Marks[0].Kind != MarkText && g.ToScale() && !w.highlit(g)
}

// oneWith reports whether a group is drawn in the path of the one before it.
func (w *svgWriter) oneWith(before, g *Group) bool {
	a, b := &before.Marks[0], &g.Marks[0]
	if !w.o.OnlyFields || before.Field != "" || g.Field != "" || a.Kind != b.Kind || a.Part != b.Part ||
		a.Solid != b.Solid || a.Hatch != b.Hatch || a.Light != b.Light {
		return false
	}
	// Areas of one name lie apart; others may overlap.
	return a.Kind == MarkStroke || a.Kind == MarkArea && before.ID == g.ID && len(a.Rings) == 1 && len(b.Rings) == 1
}

// line is the line of a stroke, or around an area without holes.
func (m *Mark) line() (points []Point, closed bool) {
	if m.Kind == MarkArea {
		return m.Rings[0], true
	}
	return m.Points, m.Closed
}

func alike(a, b *Group) bool {
	return a.Kind == b.Kind && a.Role == b.Role && a.Material == b.Material && a.Voice == b.Voice && a.Context == b.Context
}

func (w *svgWriter) highlit(g *Group) bool {
	return w.o.Highlight != "" && (w.o.Highlight == g.ID || w.o.Highlight == g.Field)
}

// opening writes the start of a group's tag.
func (w *svgWriter) opening(g *Group, hi bool) {
	w.str(`<g class="d-`)
	w.str(g.Kind)
	w.str(" d-r-")
	w.str(roleNames[g.Role])
	if g.Material != MaterialNone {
		w.str(" d-m-")
		w.str(materials[g.Material].name)
	}
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
}

// identity writes what an element is known by. Layers are for those who edit
// the file; a page has no use for them.
func (w *svgWriter) identity(g *Group) {
	if w.o.OnlyFields && g.Field == "" {
		return
	}
	w.str(` data-id="`)
	w.text(g.ID)
	if g.Field != "" {
		w.str(`" data-field="`)
		w.text(g.Field)
	}
	if g.Layer != "" && !w.o.Screen {
		w.str(`" data-layer="`)
		w.text(g.Layer)
	}
	w.str(`"`)
}

func (w *svgWriter) group(g *Group) {
	hi := w.highlit(g)
	w.opening(g, hi)
	w.str(`"`)
	w.identity(g)
	w.str(">")
	if hi {
		w.marks(g.Marks, true)
	}
	w.marks(g.Marks, false)
	if w.o.Screen && g.Field != "" {
		for i := range g.Marks {
			if m := &g.Marks[i]; m.Kind == MarkText {
				w.around(m, "d-hit", 0.75*w.s.TextHeight)
			}
		}
	}
	w.str("</g>\n")
}

// marks writes the marks of a group, or their halos. On a screen, lines of one
// kind that follow each other are one path.
func (w *svgWriter) marks(all []Mark, halo bool) {
	for i := 0; i < len(all); i++ {
		m := &all[i]
		if halo && !m.Part.haloed() {
			continue
		}
		w.mark(m, halo)
		for w.o.Screen && m.Kind == MarkStroke && i+1 < len(all) && joins(m, &all[i+1], halo) {
			i++
			w.b = w.b[:len(w.b)-len(pathEnd)]
			w.ring(all[i].Points, all[i].Closed)
			w.str(pathEnd)
		}
	}
}

// joins reports whether a line looks as the one before it does.
func joins(m, next *Mark, halo bool) bool {
	if halo {
		return next.Kind == MarkStroke && next.Part.haloed()
	}
	return next.Kind == MarkStroke && next.Part == m.Part && next.Solid == m.Solid
}

const pathEnd = `"/>`

// begin starts an element of a mark.
func (w *svgWriter) begin(name, class string) {
	w.str("<" + name)
	if w.own != nil {
		w.identity(w.own)
	}
	w.str(` class="`)
	w.str(class)
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
		w.begin("path", class)
		w.str(`" d="`)
		w.ring(m.Points, m.Closed)
		w.str(pathEnd)
	case MarkArea:
		if m.Light != LightNone && m.Hatch != HatchNone { // the material, then its grain
			ground := *m
			ground.Hatch = HatchNone
			w.mark(&ground, halo)
		}
		w.fill(m)
		if m.Light != LightShadow && (len(m.Rings) > 1 || !w.o.Screen) {
			w.str(` fill-rule="evenodd"`)
		}
		w.str(` d="`)
		for _, r := range m.Rings {
			w.ring(r, true)
		}
		w.str(`"/>`)
	case MarkRound:
		if m.Part == PartFill {
			w.fill(m)
			w.str(` d="`)
			w.round(m.Points[0], m.Radius)
			w.str(`"/>`)
			return
		}
		w.begin("circle", class)
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

func (w *svgWriter) fill(m *Mark) {
	w.begin("path", "d-f")
	h := m.Hatch
	if h == HatchNone {
		w.str(" d-")
		w.b = append(w.b, '0'+byte(m.Light), '"')
		return
	}
	if tilesByHatch[h].path == "" {
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
