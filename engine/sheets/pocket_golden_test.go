package sheets

import (
	"bytes"
	"fmt"
	"html"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
	"pegpour/engine/enginetest"
	"pegpour/storage/demo"
)

// Where all stands on the sheets of a simple site, of one on rising ground and of a pair, at
// which scale: the places that were looked at.
func TestPocketGolden(t *testing.T) {
	for _, n := range []int{0, 5, 12} {
		i := issueOf(t, demo.Sites()[n].Survey)
		var drawing []byte
		i.composed = func(p *pocket, l compose.Layout, drawn []draw.Box) { drawing = places(p, l, drawn) }
		_, err := For(ForLabourer, i)
		require.NoError(t, err)
		enginetest.Golden(t, fmt.Sprint("pocket-", n+1, ".svg"), drawing)
	}
}

// places draws the pages side by side: the frame, each box with its name and, of a drawing,
// its scale, and within it what is really taken.
func places(p *pocket, l compose.Layout, drawn []draw.Box) []byte {
	var b bytes.Buffer
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" font-family="sans-serif" font-size="3.5" `)
	fmt.Fprintf(&b, `viewBox="0 0 %d 297">`+"\n", 220*l.Pages)
	rect := func(x, y, w, h float64, style string) {
		fmt.Fprintf(&b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="none" %s/>`+"\n", x, y, w, h, style)
	}
	for n := range l.Pages {
		rect(220*float64(n)+6.5, 6.5, 197, 284, `stroke="black"`)
	}
	for k, q := range l.Pieces {
		left, top := 220*float64(q.Page), q.Y+inset
		x := left + p.page.Left(q.Column) + inset
		rect(x, top, p.page.Across(q.Shape.Columns), q.Shape.Height, `stroke="black" stroke-width="0.3"`)
		rect(left+drawn[k].Min.X, drawn[k].Min.Y, drawn[k].Width(), drawn[k].Height(), `stroke="grey" stroke-width="0.1"`)
		name := p.names[q.Box]
		if p.boxes[q.Box].Table == nil {
			name += ", 1:" + strconv.Itoa(int(1/p.Laid()[drawings(p, l, k)].Scale+0.5))
		} else if q.From > 0 {
			name += " from row " + strconv.Itoa(q.From+1)
		}
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f">%s</text>`+"\n", x+1, top+4, html.EscapeString(name))
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}
