package sheets

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
	"pegpour/storage/demo"
)

// rastered is a part of a page in grey, as another program draws it.
type rastered struct {
	x, y       float64 // of its corner, mm
	wide, high int     // pixels
	grey       []byte
}

const dotsPerMM = 600 / 25.4

// raster has pdftoppm draw a part of a page, 600 dots to the inch.
func raster(t *testing.T, file string, page int, x, y, w, h float64) rastered {
	t.Helper()
	dots := func(mm float64) int { return int(math.Round(mm * dotsPerMM)) }
	n := strconv.Itoa(page)
	out, err := exec.Command("pdftoppm", "-gray", "-r", "600", "-f", n, "-l", n,
		"-x", strconv.Itoa(dots(x)), "-y", strconv.Itoa(dots(y)),
		"-W", strconv.Itoa(dots(w)), "-H", strconv.Itoa(dots(h)), file).Output()
	require.NoError(t, err)
	r := rastered{x: float64(dots(x)) / dotsPerMM, y: float64(dots(y)) / dotsPerMM}
	var most int
	_, err = fmt.Sscanf(string(out[:min(len(out), 40)]), "P5\n%d %d\n%d\n", &r.wide, &r.high, &most)
	require.NoError(t, err)
	r.grey = out[len(out)-r.wide*r.high:]
	require.True(t, bytes.HasPrefix(out, []byte("P5")))
	return r
}

func (r *rastered) dark(x, y int) bool { return r.grey[y*r.wide+x] < 128 }

// runs are the stretches of dark along a row of dots, or along a column of them, mm on the page.
func (r *rastered) runs(at float64, down bool) (all [][2]float64) {
	n, from := r.wide, r.x
	dark := func(k int) bool { return r.dark(k, int((at-r.y)*dotsPerMM)) }
	if down {
		n, from = r.high, r.y
		dark = func(k int) bool { return r.dark(int((at-r.x)*dotsPerMM), k) }
	}
	for k := 0; k < n; k++ {
		if dark(k) {
			begin := k
			for k < n && dark(k) {
				k++
			}
			all = append(all, [2]float64{from + float64(begin)/dotsPerMM, from + float64(k)/dotsPerMM})
		}
	}
	return all
}

func middle(run [2]float64) float64 { return (run[0] + run[1]) / 2 }

// Drawn by another program, the line of 100 mm on every side of every demo site's sheet is
// 100 mm long, the frame is as wide and high as it should be, and the scale bar of the plan
// is as long as it says, each to a tenth of a millimetre.
func TestPocketIsInTrueSize(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("pdftoppm is not installed:", err)
		}
		t.Skip("pdftoppm is not installed:", err)
	}
	const tenth = 0.1
	folder := t.TempDir()
	for n, s := range demo.Sites() {
		i := issueOf(t, s.Survey)
		var p *pocket
		var l compose.Layout
		var drawn []draw.Box
		i.composed = func(made *pocket, layout compose.Layout, boxes []draw.Box) { p, l, drawn = made, layout, boxes }
		made, err := For(ForLabourer, i)
		require.NoError(t, err)
		file := filepath.Join(folder, fmt.Sprint(n, ".pdf"))
		require.NoError(t, os.WriteFile(file, made, 0o600))
		name := s.Survey.Site.Name
		if n == 5 && os.Getenv("PEGPOUR_SHOTS") != "" { // the README's picture
			require.NoError(t, exec.Command("pdftoppm", "-png", "-gray", "-r", "75", "-f", "1", "-singlefile", file,
				"../../web/e2e/pictures/pocket").Run())
		}
		for page := 1; page <= l.Pages; page++ {
			foot := raster(t, file, page, 0, 280, 210, 17)
			frame := foot.runs(281, false)
			require.GreaterOrEqual(t, len(frame), 2, name)
			assert.InDelta(t, 197, middle(frame[len(frame)-1])-middle(frame[0]), tenth, "%s, side %d: the frame", name, page)
			measured := 0
			for y := 280.5; y < 290; y += 0.1 {
				for _, run := range foot.runs(y, false) {
					if run[1]-run[0] < 90 || run[1]-run[0] > 190 {
						continue
					}
					measured++
					ticks := foot.runs(y+0.8, false)[1:] // the first is the frame
					assert.InDelta(t, 100, middle(ticks[2])-middle(ticks[0]), tenth, "%s, side %d: the line to measure", name, page)
					assert.InDelta(t, 50, middle(ticks[1])-middle(ticks[0]), tenth, "%s, side %d: its half", name, page)
				}
			}
			assert.Positive(t, measured, "%s, side %d: the line to measure was seen", name, page)
		}
		side := raster(t, file, 1, 0, 0, 10, 297)
		edges := side.runs(7.6, true)
		assert.InDelta(t, 284, middle(edges[len(edges)-1])-middle(edges[0]), tenth, "%s: the frame's height", name)

		// The scale bar of the plan, which is the first box.
		for k, q := range l.Pieces {
			if q.Box != 0 {
				continue
			}
			sheet := p.Laid()[drawings(p, l, k)]
			assert.True(t, scaleBar(t, file, q.Page+1, sheet, drawn[k], name), "%s: the plan's scale bar", name)
		}
	}
}

// drawings is how many of the pieces before one are drawings.
func drawings(p *pocket, l compose.Layout, before int) (n int) {
	for _, q := range l.Pieces[:before] {
		if p.boxes[q.Box].Table == nil {
			n++
		}
	}
	return n
}

// scaleBar measures the bar of a drawing: its dark half is as long as half of what is written
// at it, at the drawing's scale.
func scaleBar(t *testing.T, file string, page int, sheet *draw.Sheet, drawn draw.Box, name string) bool {
	t.Helper()
	ink := sheet.Ink()
	for _, g := range sheet.Groups {
		if g.Kind != "scalebar" {
			continue
		}
		var metres float64
		for _, m := range g.Marks {
			if v, err := strconv.ParseFloat(string(bytes.TrimSuffix([]byte(m.Text), []byte(" m"))), 64); err == nil && v > 0 {
				metres = v
			}
		}
		for _, m := range g.Marks {
			if !m.Solid {
				continue
			}
			low, high := m.Points[0], m.Points[2]
			dx, dy := drawn.Min.X-ink.Min.X, drawn.Min.Y-ink.Min.Y
			bar := raster(t, file, page, low.X+dx-2, low.Y+dy-1, high.X-low.X+4, high.Y-low.Y+2)
			for _, run := range bar.runs((low.Y+high.Y)/2+dy, false) {
				const line = 0.25 // half of it on either side
				if run[1]-run[0] > 1 {
					return assert.InDelta(t, metres*1000/2*sheet.Scale, run[1]-run[0]-line, 0.1, name)
				}
			}
		}
	}
	return false
}
