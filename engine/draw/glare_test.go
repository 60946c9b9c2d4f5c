package draw

import (
	"math"
	"testing"

	"pegpour/engine/draw/glare"
)

// leftInGlare is the least contrast that the glare leaves of a theme's lines and texts,
// on everything that they are drawn on, and the same of its hatches.
func leftInGlare(c Colours) (lines, hatches float64) {
	left := func(grounds []string, inks ...string) float64 {
		least := math.Inf(1)
		for _, ink := range inks {
			for _, ground := range grounds {
				least = math.Min(least, glare.FullSun.Contrast(ink, ground))
			}
		}
		return least
	}
	lines = left([]string{c.Paper, c.Ground, c.Halo}, c.Ink, c.Measured, c.Assumed, c.WorkedOut, c.Existing, c.Stop, c.Water)
	return lines, left([]string{c.Paper, c.Ground}, c.Hatch, c.Grid)
}

// In full sun every line and text of a drawing is seen, on whatever it stands, and no line
// is thinner than the glare lets be seen. What Day and Night keep there is only stated:
// they are not for it.
func TestDrawingsInFullSun(t *testing.T) {
	for name, theme := range map[string]struct {
		colours        Colours
		lines, hatches float64
	}{"sun": {Sun, glare.Least, glare.Least}, "day": {Day, 2.4, 1.0}, "night": {Night, 1.9, 1.0}} {
		lines, hatches := leftInGlare(theme.colours)
		if lines < theme.lines || hatches < theme.hatches {
			t.Errorf("%s keeps %.2f of lines and %.2f of hatches in full sun: want %g and %g",
				name, lines, hatches, theme.lines, theme.hatches)
		}
	}
	if narrow := 1.0 * SunWeight; narrow < glare.Stroke {
		t.Errorf("narrow lines are %g px wide, want %g", narrow, glare.Stroke)
	}
}

// Whether by its area or by its edge, a body of a picture is seen on the paper in full
// sun.
func TestPicturesInFullSun(t *testing.T) {
	for m := MaterialNone + 1; m < materialCount; m++ {
		got := math.Max(glare.FullSun.Contrast(Sun.Lights.hex(m, LightNone), Sun.Paper),
			glare.FullSun.Contrast(Sun.Lights.hex(m, LightFull), Sun.Paper))
		if got < glare.Least {
			t.Errorf("%s: %.2f on paper", materials[m].name, got)
		}
	}
}
