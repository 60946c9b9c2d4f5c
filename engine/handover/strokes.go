package handover

import (
	"strconv"
	"strings"
)

// The field on which one signs is so wide and high; places are whole numbers in it.
const (
	StrokeWidth  = 300
	StrokeHeight = 120
)

// mostPoints of one signature.
const mostPoints = 2000

// Point is a place of a signature.
type Point struct{ X, Y int }

// WriteStrokes writes a signature as a text: the strokes with ";" between them, the
// places of a stroke with blanks between, each "x,y".
func WriteStrokes(strokes [][]Point) string {
	var b strings.Builder
	for i, s := range strokes {
		if i > 0 {
			b.WriteByte(';')
		}
		for k, p := range s {
			if k > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(strconv.Itoa(p.X))
			b.WriteByte(',')
			b.WriteString(strconv.Itoa(p.Y))
		}
	}
	return b.String()
}

// ReadStrokes reads what WriteStrokes wrote; nil where it is none.
func ReadStrokes(text string) [][]Point {
	if text == "" {
		return nil
	}
	var all [][]Point
	n := 0
	for _, stroke := range strings.Split(text, ";") {
		var s []Point
		for _, place := range strings.Fields(stroke) {
			x, y, ok := strings.Cut(place, ",")
			a, err := strconv.Atoi(x)
			b, fault := strconv.Atoi(y)
			if n++; !ok || err != nil || fault != nil || a < 0 || a > StrokeWidth || b < 0 || b > StrokeHeight || n > mostPoints {
				return nil
			}
			s = append(s, Point{a, b})
		}
		if len(s) > 0 {
			all = append(all, s)
		}
	}
	return all
}

// Signed reports whether a text is a signature: strokes that are together longer than
// a slip of the finger.
func Signed(text string) bool {
	length := 0
	for _, s := range ReadStrokes(text) {
		for i := 1; i < len(s); i++ {
			length += max(s[i].X-s[i-1].X, s[i-1].X-s[i].X) + max(s[i].Y-s[i-1].Y, s[i-1].Y-s[i].Y)
		}
	}
	return length >= StrokeHeight/2
}
