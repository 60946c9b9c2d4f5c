package sheets

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/draw/pdf/pdftest"
)

// lettered is a text as a page of an uncompressed document has it: mm, y down.
type lettered struct {
	text    string
	size    float64 // of the font
	corners [4]draw.Point

	from, to float64 // along its line, pt
}

// capital is how high a capital of the face stands, and hang how far letters go below the
// line, in parts of the font size: the font's metrics.
const (
	capital = 0.718
	hang    = 0.207
)

// letteringOf reads the texts of each page, in their places, by the operators of the format
// alone.
func letteringOf(t *testing.T, file []byte) [][]lettered {
	t.Helper()
	f, err := pdftest.Read(file)
	require.NoError(t, err)
	var pages [][]lettered
	for _, page := range f.Pages() {
		shows, err := f.Shows(page)
		require.NoError(t, err)
		var all []lettered
		line := 0
		for _, s := range shows {
			if s.Glyphs == nil {
				continue
			}
			if s.Line == line { // goes on
				last := &all[len(all)-1]
				last.text, last.from, last.to = last.text+s.Text, math.Min(last.from, s.From), math.Max(last.to, s.To)
			} else {
				all = append(all, lettered{text: s.Text, from: s.From, to: s.To})
			}
			line = s.Line
			l := &all[len(all)-1]
			size := s.Size * s.Narrow // as high as a letter of the standard face of this size
			l.size = size * 25.4 / 72
			l.text = strings.TrimPrefix(l.text, " ") // which only parts it from what was read before
			low, high := -hang*size, capital*size
			for k, q := range [4][2]float64{{l.from, low}, {l.to, low}, {l.to, high}, {l.from, high}} {
				l.corners[k] = draw.Pt((s.At[0]*q[0]+s.At[2]*q[1]+s.At[4])*25.4/72, 297-(s.At[1]*q[0]+s.At[3]*q[1]+s.At[5])*25.4/72)
			}
		}
		pages = append(pages, all)
	}
	return pages
}

// over reports whether one text stands on another by more than a hair: where no side of
// either parts the two (the separating axis theorem).
func over(a, b *lettered) bool {
	const hair = 0.15
	for _, l := range [2]*lettered{a, b} {
		for k := range 2 {
			p, q := l.corners[k], l.corners[k+1]
			long := math.Hypot(q.X-p.X, q.Y-p.Y)
			if long == 0 {
				return false
			}
			nx, ny := (q.Y-p.Y)/long, (p.X-q.X)/long
			var low, high [2]float64
			for n, m := range [2]*lettered{a, b} {
				low[n], high[n] = math.Inf(1), math.Inf(-1)
				for _, c := range m.corners {
					d := c.X*nx + c.Y*ny
					low[n], high[n] = math.Min(low[n], d), math.Max(high[n], d)
				}
			}
			if math.Min(high[0], high[1])-math.Max(low[0], low[1]) < hair {
				return false
			}
		}
	}
	return true
}

// The judge of the pages sees a text over another, turned ones too, and none that stand apart.
func TestLettersOverLettersAreSeen(t *testing.T) {
	box := func(x, y, w, h, angle float64) *lettered {
		sin, cos := math.Sincos(angle)
		l := &lettered{}
		for k, q := range [4][2]float64{{0, 0}, {w, 0}, {w, h}, {0, h}} {
			l.corners[k] = draw.Pt(x+q[0]*cos-q[1]*sin, y+q[0]*sin+q[1]*cos)
		}
		return l
	}
	for _, c := range []struct {
		a, b *lettered
		over bool
	}{
		{box(0, 0, 20, 3, 0), box(5, 1, 20, 3, 0), true},
		{box(0, 0, 20, 3, 0), box(5, 4, 20, 3, 0), false},
		{box(0, 0, 20, 3, 0), box(21, 0, 20, 3, 0), false},
		{box(0, 0, 20, 3, 0), box(10, -5, 20, 3, math.Pi/2), true},
		{box(0, 0, 20, 3, 0), box(30, -5, 20, 3, math.Pi/2), false},
		{box(0, 0, 20, 3, math.Pi/4), box(10, 0, 20, 3, math.Pi/4), false},
	} {
		if over(c.a, c.b) != c.over || over(c.b, c.a) != c.over {
			t.Errorf("%v over %v: want %v", c.a.corners, c.b.corners, c.over)
		}
	}
}
