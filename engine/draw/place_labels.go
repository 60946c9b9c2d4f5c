package draw

import (
	"math"
	"strconv"
)

// lateLabel is a text that found no room where it belongs and is brought out
// on a leader once everything else stands.
type lateLabel struct {
	group  int
	at     Point
	lines  []string
	prefer Point // preferred direction, zero when any will do
	plain  bool  // no arrow head: the leader starts at a line
	large  bool
}

// placeSymbols draws pegs, plan level crosses and motion arrows, and texts
// that may not move: all that has one place only.
func (p *placer) placeSymbols() {
	for _, w := range p.work {
		g := &p.notes[w.group]
		switch e := w.element.(type) {
		case Peg:
			g.Kind = "peg"
			c, r := p.at(e.At), 0.3*p.t
			g.Marks = append(p.marks.take(4),
				Mark{Kind: MarkRound, Part: PartSymbol, Points: p.kept(c), Radius: r, Hatch: HatchPaper, Solid: e.Done},
				Mark{Kind: MarkStroke, Part: PartSymbol,
					Points: p.kept(Point{c.X - 0.5*p.t, c.Y}, Point{c.X + 0.5*p.t, c.Y})},
				Mark{Kind: MarkStroke, Part: PartSymbol,
					Points: p.kept(Point{c.X, c.Y - 0.5*p.t}, Point{c.X, c.Y + 0.5*p.t})})
			p.symbol(newSlab(c, p.t, p.t, 0))
		case LevelMark:
			g.Kind = "level"
			if !e.InPlan {
				continue
			}
			c, k := p.at(e.At), 0.25*p.t
			g.Marks = append(p.marks.take(4),
				Mark{Kind: MarkStroke, Part: PartSymbol,
					Points: p.kept(Point{c.X - k, c.Y - k}, Point{c.X + k, c.Y + k})},
				Mark{Kind: MarkStroke, Part: PartSymbol,
					Points: p.kept(Point{c.X - k, c.Y + k}, Point{c.X + k, c.Y - k})})
			p.symbol(newSlab(c, 2*k, 2*k, 0))
		case HandArrow:
			g.Kind = "arrow"
			a, b := p.at(e.From), p.at(e.To)
			head := min(p.t, distance(a, b)/2)
			p.stroke(g, PartSymbol, a, b)
			p.arrow(g, b, a, head)
		case Text:
			g.Kind = "text"
			if e.Fixed {
				p.letters(g, p.at(e.At), p.linesOf(e.spoken(e.Text)), sizeOf(e.Large)*p.t)
			}
		}
	}
}

func sizeOf(large bool) float64 {
	if large {
		return 1.25
	}
	return 1
}

func (p *placer) symbol(s slab) {
	s.symbol = true
	p.slabs = append(p.slabs, s)
	p.content.Join(s.box)
}

// linesOf wraps a note to a comfortable width.
func (p *placer) linesOf(text string) []string {
	return wrapText(text, p.t, max(8*p.t, 0.42*p.view.Width))
}

// blockSize is the room that lines of text take.
func blockSize(lines []string, size float64) (w, h float64) {
	for _, l := range lines {
		w = max(w, TextWidth(l, size))
	}
	return w, (float64(len(lines)-1)*lineStep + boxHeight) * size
}

// letters sets lines of text, as a block centred on c.
func (p *placer) letters(g *Group, c Point, lines []string, size float64) {
	p.lettersAligned(g, c, lines, size, 0)
}

// lettersAligned is letters with all lines starting at the left (side +1) or
// ending at the right (side -1) of the block.
func (p *placer) lettersAligned(g *Group, c Point, lines []string, size, side float64) {
	w, _ := blockSize(lines, size)
	top := c.Y - float64(len(lines)-1)*lineStep*size/2
	for i, l := range lines {
		if l != "" {
			x := c.X - side*(w-TextWidth(l, size))/2
			p.letter(g, Point{x, top + float64(i)*lineStep*size}, l, size, 0)
		}
	}
}

// placeLabels places what belongs at a place but may step aside: level marks,
// peg numbers, labels, the words at arrows.
func (p *placer) placeLabels() {
	for _, w := range p.work {
		g := &p.notes[w.group]
		switch e := w.element.(type) {
		case LevelMark:
			if e.InPlan {
				p.beside(w.group, p.at(e.At), []string{e.spoken(e.Text)}, 0.45*p.t, 1, Point{1, -1}, true)
			} else {
				p.placeLevel(w.group, e)
			}
		case HandArrow:
			if e.Text != "" {
				p.beside(w.group, between(p.at(e.From), p.at(e.To), 0.5), p.linesOf(e.spoken(e.Text)), 0.2*p.t, 1,
					Point{0, -1}, true)
			}
		case Text:
			if !e.Fixed && e.Text != "" {
				lines := p.linesOf(e.spoken(e.Text))
				p.beside(w.group, p.at(e.At), lines, -1, sizeOf(e.Large), Point{}, false)
			}
		case Leader:
			g.Kind = "leader"
			if e.Text == "" {
				continue
			}
			prefer := sideVector(p.sheetSide(e.Side))
			p.late = append(p.late, lateLabel{group: w.group, at: p.at(e.At), lines: p.linesOf(e.spoken(e.Text)),
				prefer: prefer})
		}
	}
}

// placePegNumbers sets the numbers close to their pegs: one that stood
// farther off would be read as its neighbour's.
func (p *placer) placePegNumbers() {
	for _, w := range p.work {
		if e, ok := w.element.(Peg); ok {
			c, at := p.shape.Centre(), p.at(e.At)
			away := Point{at.X - c.X, at.Y - c.Y}
			p.beside(w.group, at, []string{strconv.Itoa(e.Number)}, 0.5*p.t, 1, away, true)
		}
	}
}

// sideVector points to a side of the sheet; zero for SideAuto.
func sideVector(side Side) Point {
	switch side {
	case Above:
		return Point{0, -1}
	case Below:
		return Point{0, 1}
	case Left:
		return Point{-1, 0}
	case Right:
		return Point{1, 0}
	}
	return Point{}
}

// beside sets lines next to a place: gap is the room to keep from it, or
// negative to try the place itself first. When nothing is free within a few
// text heights the label goes out on a leader.
func (p *placer) beside(group int, at Point, lines []string, gap, scale float64, prefer Point, plain bool) {
	size := scale * p.t
	w, h := blockSize(lines, size)
	fits := func(c Point) bool {
		s := newSlab(c, w, h, 0)
		if !p.free(&s) {
			return false
		}
		p.letters(&p.notes[group], c, lines, size)
		return true
	}
	if gap < 0 && fits(at) {
		return
	}
	gap = max(gap, 0) + 1.5*textGap*p.t
	first := 0
	if prefer != (Point{}) {
		first = int(math.Round(math.Atan2(prefer.Y, prefer.X) / (math.Pi / 8)))
	}
	rings := 4
	if p.notes[group].Kind == "peg" {
		rings = 2
	}
	for ring := range rings {
		for k := range 16 {
			// 0, 1, -1, 2, -2, ... sixteenths of a turn from the preferred one.
			turn := (k + 1) / 2
			if k%2 == 0 {
				turn = -turn
			}
			sin, cos := math.Sincos(float64(first+turn) * math.Pi / 8)
			far := gap + float64(ring)*0.5*p.t
			c := Point{at.X + cos*far + w/2*ramp(cos), at.Y + sin*far + h/2*ramp(sin)}
			if fits(c) {
				return
			}
		}
	}
	p.late = append(p.late, lateLabel{group: group, at: at, lines: lines, prefer: prefer, plain: plain,
		large: scale > 1})
}

// ramp widens a cosine so that boxes touch their place with a corner or a side.
func ramp(v float64) float64 { return max(-1, min(1, 1.6*v)) }

// offTexts reports whether s meets no text and no symbol.
func (p *placer) offTexts(s *slab) bool {
	for i := range p.slabs {
		if s.meets(&p.slabs[i]) {
			return false
		}
	}
	return true
}

// placeLevel draws the level triangle with its figure: to the right or left,
// standing on the level or hanging below it.
func (p *placer) placeLevel(group int, e LevelMark) {
	g := &p.notes[group]
	at, k := p.at(e.At), 0.5*p.t
	text := e.spoken(e.Text)
	w := TextWidth(text, p.t)
	for _, up := range [...]float64{-1, 1} {
		for _, dir := range [...]float64{1, -1} {
			shelf := at.Y + up*k
			end := at.X + dir*(k+w+0.3*p.t)
			cy := shelf - (liftGap+boxHeight/2)*p.t
			if up > 0 {
				cy = shelf + (liftGap+boxHeight/2)*p.t
			}
			c := Point{at.X + dir*(k+0.2*p.t+w/2), cy}
			s := newSlab(c, w, boxHeight*p.t, 0)
			body := newSlab(Point{at.X, at.Y + up*k/2}, 2*k, k, 0)
			if !p.free(&s) || !p.offTexts(&body) || !p.clear(Point{at.X, shelf}, Point{end, shelf}) {
				continue
			}
			p.solid(g, PartSymbol, false, at, Point{at.X - k, shelf}, Point{at.X + k, shelf})
			p.stroke(g, PartSymbol, Point{at.X, shelf}, Point{end, shelf})
			p.symbol(newSlab(Point{at.X, at.Y + up*k/2}, 2*k, k, 0))
			p.letter(g, c, text, p.t, 0)
			return
		}
	}
	p.late = append(p.late, lateLabel{group: group, at: at, lines: []string{text}})
}
