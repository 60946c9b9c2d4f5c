package draw

import "math"

// Room around lettering, in text heights.
const (
	boxHeight = 0.96 // of a line of text: 0.74 above the base line, 0.22 below
	ascent    = 0.74
	lineStep  = 1.2  // from line to line
	textGap   = 0.14 // kept free around a text
	liftGap   = 0.10 // between a dimension line and the text above it
)

// spoken is the text of a figure in its voice.
func (t Tag) spoken(text string) string {
	if t.Voice == VoiceAssumed && text != "" && text[0] != '~' {
		return "~" + text
	}
	return text
}

// free reports whether a text may stand in s.
func (p *placer) free(s *slab) bool {
	big := s.grown(textGap * p.t)
	for i := range p.slabs {
		if big.meets(&p.slabs[i]) {
			return false
		}
	}
	return !p.crossedBy(&big, nil)
}

// clear reports whether a line from a to b crosses no text and no symbol, a
// symbol that it starts from apart.
func (p *placer) clear(a, b Point) bool {
	l := newSegment(a, b, PartLeader, false)
	for i := range p.slabs {
		if p.slabs[i].symbol && p.slabs[i].box.Inset(-0.1*p.t).Holds(a) {
			continue
		}
		if !p.slabs[i].box.Inset(-textGap * p.t).Meets(l.box) {
			continue
		}
		big := p.slabs[i].grown(textGap * p.t / 2)
		if big.crossed(&l) {
			return false
		}
	}
	return true
}

// crossings counts the dimension lines, the leaders and, by half, the edges that
// a line from a to b crosses.
func (p *placer) crossings(a, b Point) float64 {
	l := newSegment(a, b, PartLeader, false)
	n := 0.0
	for i := range p.segs {
		o := &p.segs[i].box
		if o.Max.X < l.box.Min.X || o.Min.X > l.box.Max.X || o.Max.Y < l.box.Min.Y || o.Min.Y > l.box.Max.Y ||
			!l.crosses(&p.segs[i]) {
			continue
		}
		switch p.segs[i].part {
		case PartEdge:
			n += 0.5
		case PartExtension:
			n += 0.25
		case PartLeader:
			n++
			if len(p.view.first) > 0 {
				n += 9 // placed anew because of it: go far to spare it
			}
		default:
			n++
		}
	}
	return n
}

// lineFree reports whether a dimension line may run from a to b: clear of
// texts, of edges that are not context, and of other dimension lines.
func (p *placer) lineFree(a, b Point) bool {
	d := distance(a, b)
	if d == 0 {
		return true
	}
	s := newSlab(between(a, b, 0.5), max(d-0.3*p.t, d*0.5), 0.6*p.t, math.Atan2(a.Y-b.Y, b.X-a.X))
	line := newSegment(a, b, PartDimension, false)
	full := s // with the strokes at both ends
	full.hw = d/2 + 0.25*p.t
	full = full.grown(0)
	for i := range p.slabs {
		if full.meets(&p.slabs[i]) {
			return false
		}
	}
	blocks := func(l *segment) bool {
		return l.part != PartExtension && l.part != PartTerminator && !(l.part == PartEdge && l.context)
	}
	if p.crossedBy(&s, blocks) {
		return false
	}
	// The ends are left out of s: nothing may cross there either.
	return !p.crossedBy(&full, func(l *segment) bool { return blocks(l) && line.crosses(l) })
}

// letter adds a line of text centred on c.
func (p *placer) letter(g *Group, c Point, text string, size, angle float64) {
	w := TextWidth(text, size)
	p.mark(g, Mark{Kind: MarkText, Part: PartText, Points: p.kept(c), Text: text, Size: size, Width: w, Angle: angle})
	s := newSlab(c, w, boxHeight*size, angle)
	p.slabs = append(p.slabs, s)
	p.content.Join(s.box)
}

// dimensionText puts text on the dimension line from a to b: in the middle,
// else moved along, else beyond one of the ends with the line drawn on under
// it. It reports whether it found room.
func (p *placer) dimensionText(g *Group, a, b Point, text string) bool {
	angle := readable(math.Atan2(a.Y-b.Y, b.X-a.X))
	sin, cos := math.Sincos(angle)
	u := Point{cos, -sin}
	if (b.X-a.X)*u.X+(b.Y-a.Y)*u.Y < 0 {
		a, b = b, a
	}
	up := Point{-sin, -cos} // away from the line, towards the top of the text
	span, w := distance(a, b), TextWidth(text, p.t)
	lift := (liftGap + boxHeight/2) * p.t
	mid := between(a, b, 0.5)
	try := func(s float64) bool {
		c := Point{mid.X + u.X*s + up.X*lift, mid.Y + u.Y*s + up.Y*lift}
		room := newSlab(c, w, boxHeight*p.t, angle)
		// The own line lies liftGap below the box, closer than other things may.
		if !p.freeAbove(&room, a, b) {
			return false
		}
		p.letter(g, c, text, p.t, angle)
		return true
	}
	slack := span/2 - w/2 - 0.35*p.t
	if slack >= 0 {
		if try(0) {
			return true
		}
		step := max(slack/6, 0.3*p.t)
		for s := step; s <= slack; s += step {
			if try(s) || try(-s) {
				return true
			}
		}
	}
	reach := w + 0.8*p.t
	for _, dir := range [...]float64{1, -1} {
		end := b
		if dir < 0 {
			end = a
		}
		far := Point{end.X + dir*u.X*reach, end.Y + dir*u.Y*reach}
		beyond := Point{far.X + dir*u.X*0.4*p.t, far.Y + dir*u.Y*0.4*p.t}
		if !p.lineFree(end, beyond) {
			continue
		}
		if try(dir * (span/2 + 0.4*p.t + w/2)) {
			p.stroke(g, PartDimension, end, far)
			return true
		}
	}
	return false
}

// freeAbove is free for a text that stands on its own dimension line a-b.
func (p *placer) freeAbove(s *slab, a, b Point) bool {
	big := s.grown(textGap * p.t)
	for i := range p.slabs {
		if big.meets(&p.slabs[i]) {
			return false
		}
	}
	return !p.crossedBy(&big, func(l *segment) bool {
		own := l.a == a && l.b == b || l.a == b && l.b == a
		return !own || s.crossed(l)
	})
}

// readable turns an angle so that the text reads from below or from the right.
func readable(angle float64) float64 {
	const tiny = 1e-9
	for angle > math.Pi/2+tiny {
		angle -= math.Pi
	}
	for angle <= -math.Pi/2+tiny {
		angle += math.Pi
	}
	if math.Abs(angle) < tiny {
		return 0
	}
	return angle
}
