package pdf

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"pegpour/engine/draw"
)

// The page operators of ISO 32000-1 (clause 8) that drawings need.

const ptPerMM = 72 / 25.4

func (d *Document) op(s string) { d.buf = append(append(d.buf, s...), '\n') }

func (d *Document) num(v float64) {
	n := int64(math.Round(v * 100))
	if n < 0 {
		d.buf = append(d.buf, '-')
		n = -n
	}
	d.buf = strconv.AppendInt(d.buf, n/100, 10)
	if n %= 100; n != 0 {
		d.buf = append(d.buf, '.', byte('0'+n/10), byte('0'+n%10))
	}
	d.buf = append(d.buf, ' ')
}

func (d *Document) point(p draw.Point) {
	d.num(p.X * ptPerMM)
	d.num((d.high - p.Y) * ptPerMM)
}

func (d *Document) weight(mm float64) {
	d.num(mm * ptPerMM)
	d.op("w")
}

// colour of lines and fills alike, components 0 to 1.
func (d *Document) colour(r, g, b float64) {
	for _, letter := range [...]string{"RG", "rg"} {
		d.num(r)
		d.num(g)
		d.num(b)
		d.op(letter)
	}
}

func (d *Document) grey(v float64) {
	d.num(v)
	d.op("G")
	d.num(v)
	d.op("g")
}

// dash sets the dash pattern, in multiples of the weight (mm).
func (d *Document) dash(pattern []float64, weight float64) {
	d.buf = append(d.buf, '[')
	for _, v := range pattern {
		d.num(v * weight * ptPerMM)
	}
	d.op("] 0 d")
}

func (d *Document) path(ps []draw.Point, closed bool) {
	for i, p := range ps {
		d.point(p)
		if i == 0 {
			d.op("m")
		} else {
			d.op("l")
		}
	}
	if closed {
		d.op("h")
	}
}

func (d *Document) circle(c draw.Point, r float64) {
	const k = 0.5523 // control arm of a quarter circle
	x, y := c.X, c.Y
	d.point(draw.Pt(x+r, y))
	d.op("m")
	for _, q := range [...][3]draw.Point{
		{{X: x + r, Y: y + k*r}, {X: x + k*r, Y: y + r}, {X: x, Y: y + r}},
		{{X: x - k*r, Y: y + r}, {X: x - r, Y: y + k*r}, {X: x - r, Y: y}},
		{{X: x - r, Y: y - k*r}, {X: x - k*r, Y: y - r}, {X: x, Y: y - r}},
		{{X: x + k*r, Y: y - r}, {X: x + r, Y: y - k*r}, {X: x + r, Y: y}},
	} {
		for _, p := range q {
			d.point(p)
		}
		d.op("c")
	}
	d.op("h")
}

// rect paints a rectangle: "S" stroke, "f" fill. It and line are for frames and rules, which
// nobody has read out.
func (d *Document) rect(a area, paint string) {
	d.decoration()
	d.num(a.x * ptPerMM)
	d.num((d.high - a.y - a.h) * ptPerMM)
	d.num(a.w * ptPerMM)
	d.num(a.h * ptPerMM)
	d.op("re " + paint)
}

func (d *Document) line(x1, y1, x2, y2 float64) {
	d.decoration()
	d.path([]draw.Point{{X: x1, Y: y1}, {X: x2, Y: y2}}, false)
	d.op("S")
}

// put sets a line at the side of x, x+w at which lines begin, or at the other.
func (d *Document) put(x, w, y float64, s string, size float64, style string, atEnd bool) {
	if strings.Contains(s, pagesAlias) {
		d.later = append(d.later, laterText{len(d.sheets) - 1, len(d.buf), x, w, y, size, s, style, atEnd})
		return
	}
	if atEnd != d.fromRight {
		x += w - d.width(s, size, style)
	}
	d.text(x, y, s, size, style)
}

// side is where a part of a width begins that lies from x on: columns go the way lines do.
func (d *Document) side(left, total, x, w float64) float64 {
	if d.fromRight {
		return 2*left + total - x - w
	}
	return x
}

// wrap breaks s at spaces to lines no wider than w; a longer word is broken.
func (d *Document) wrap(s string, size float64, style string, w float64) []string {
	var out []string
	for len(s) > 0 {
		end, fit := len(s), 0
		for i, r := range s {
			if r == '\n' {
				end = i
				break
			}
		}
		if d.width(s[:end], size, style) <= w {
			out = append(out, s[:end])
		} else {
			f, last, before := d.face(style), 0, 0
			plain := !d.fromRight && f.plain(s[:end]) // each letter is as wide as it is
			for i, r := range s[:end] {
				if i > 0 && (plain && float64(before)*size/1000 > w || !plain && d.width(s[:i], size, style) > w) {
					break
				}
				if plain {
					before += f.width(f.glyph(r))
				}
				last = i
				if r == ' ' && i > 0 {
					fit = i
				}
			}
			if fit == 0 {
				fit = breakAfter(s[:end], last)
				if fit == 0 {
					_, fit = utf8.DecodeRuneInString(s)
				}
			}
			end = fit
			out = append(out, s[:end])
		}
		s = s[end:]
		if len(s) > 0 && (s[0] == ' ' || s[0] == '\n') {
			s = s[1:]
		}
	}
	if out == nil {
		out = []string{""}
	}
	return out
}
