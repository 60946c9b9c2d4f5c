package sheets

import (
	"bytes"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
)

// lettered is a text as a page of an uncompressed document has it: mm, y down.
type lettered struct {
	text    string
	size    float64 // of the font
	corners [4]draw.Point
}

// capital is how high a capital of the face stands, and hang how far letters go below the
// line, in parts of the font size: the font's metrics.
const (
	capital = 0.718
	hang    = 0.207
)

var (
	setFont  = regexp.MustCompile(`^BT /F\S+ ([\d.]+) Tf ET$`)
	showText = regexp.MustCompile(`^BT (-?[\d.]+) (-?[\d.]+) Td \((.*)\) Tj ET$`)
	matrix   = regexp.MustCompile(`^(-?[\d.]+) (-?[\d.]+) (-?[\d.]+) (-?[\d.]+) (-?[\d.]+) (-?[\d.]+) cm$`)
)

// letteringOf reads the texts of each page, in their places, by the operators of the format
// alone.
func letteringOf(t *testing.T, file []byte) [][]lettered {
	t.Helper()
	number := func(b []byte) float64 {
		v, err := strconv.ParseFloat(string(b), 64)
		require.NoError(t, err)
		return v
	}
	var pages [][]lettered
	for _, part := range bytes.Split(file, []byte("\nstream\n"))[1:] {
		part, _, _ = bytes.Cut(part, []byte("\nendstream"))
		now, size := [6]float64{1, 0, 0, 1, 0, 0}, 0.0
		var kept [][6]float64
		var all []lettered
		for _, line := range bytes.Split(part, []byte("\n")) {
			if m := matrix.FindSubmatch(line); m != nil {
				var a [6]float64
				for k := range a {
					a[k] = number(m[k+1])
				}
				b := now
				now = [6]float64{a[0]*b[0] + a[1]*b[2], a[0]*b[1] + a[1]*b[3],
					a[2]*b[0] + a[3]*b[2], a[2]*b[1] + a[3]*b[3],
					a[4]*b[0] + a[5]*b[2] + b[4], a[4]*b[1] + a[5]*b[3] + b[5]}
			} else if m := setFont.FindSubmatch(line); m != nil {
				size = number(m[1])
			} else if m := showText.FindSubmatch(line); m != nil {
				text := strings.NewReplacer(`\(`, "(", `\)`, ")", `\\`, `\`).Replace(string(m[3]))
				var plain strings.Builder
				for _, c := range []byte(text) {
					plain.WriteRune(rune(c)) // Windows-1252 is Latin-1 for most of what is measured here
				}
				l := lettered{text: plain.String(), size: size * 25.4 / 72}
				x, y, w := number(m[1]), number(m[2]), draw.TextWidth(l.text, size)
				low, high := y-hang*size, y+capital*size
				for k, q := range [4][2]float64{{x, low}, {x + w, low}, {x + w, high}, {x, high}} {
					l.corners[k] = draw.Pt((now[0]*q[0]+now[2]*q[1]+now[4])*25.4/72, 297-(now[1]*q[0]+now[3]*q[1]+now[5])*25.4/72)
				}
				all = append(all, l)
			} else {
				for _, op := range bytes.Fields(line) {
					switch string(op) {
					case "q":
						kept = append(kept, now)
					case "Q":
						require.NotEmpty(t, kept)
						now, kept = kept[len(kept)-1], kept[:len(kept)-1]
					}
				}
			}
		}
		if len(all) > 0 {
			pages = append(pages, all)
		}
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
