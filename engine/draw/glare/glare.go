// Package glare tells what the sun leaves of the contrast of colours on a phone's
// screen, for tests.
//
// The model: light of an illuminance E falls on a screen that throws a share ρ of it
// back in all directions alike, as a luminance E·ρ/π that lies over everything, black
// and white. What the screen itself shows is its white times the relative luminance of
// the colour. The contrast that is left is the ratio of the two sums. Reflections as in
// a mirror are left out: one turns the phone until they are gone.
//
// Sources: a diffuse reflector's luminance E·ρ/π by Lambert's law (textbooks of
// photometry, memory); relative luminance of sRGB by WCAG 2.1 after IEC 61966-2-1. The
// figures of the screen and of the light are common practice, no published source.
package glare

import (
	"fmt"
	"math"
	"strconv"
)

// Screen is a screen and the light on it.
type Screen struct {
	White       float64 `json:"white"`       // luminance of its white, cd/m²
	Reflectance float64 `json:"reflectance"` // share of the light that it throws back, evenly
	Illuminance float64 `json:"illuminance"` // on the screen, lx
}

// FullSun is an ordinary phone at its brightest, in the sun with its back half turned
// to it.
var FullSun = Screen{White: 800, Reflectance: 0.045, Illuminance: 20_000}

// Least is the contrast that texts and lines keep in full sun where they can be read:
// what WCAG 2.1 asks of large text and of graphics. Nothing holds the 4.5 that it asks
// of small text: on [FullSun] black on white is 3.8. So what is small has to be broad.
const Least = 3.0

// Stroke is the least width of lines, and of the stems of letters, in CSS pixels: two
// minutes of arc at 40 cm on a phone whose pixel is 0.165 mm. Common practice, no
// published source: sight of 1.0 resolves one minute, but not where the contrast is low.
const Stroke = 1.4

// Ambient is the luminance of the light thrown back, cd/m².
func (s Screen) Ambient() float64 { return s.Illuminance * s.Reflectance / math.Pi }

// Contrast is what is left of the contrast of two colours, written #rrggbb: 1 where
// they cannot be told apart.
func (s Screen) Contrast(a, b string) float64 {
	x, y := s.White*luminance(a)+s.Ambient(), s.White*luminance(b)+s.Ambient()
	return math.Max(x, y) / math.Min(x, y)
}

// luminance of a colour relative to white, by WCAG 2.1.
func luminance(colour string) float64 {
	n, err := strconv.ParseUint(colour[1:], 16, 32)
	if err != nil || len(colour) != 7 || colour[0] != '#' {
		panic(fmt.Sprintf("glare: %q is no colour", colour))
	}
	part := func(v uint64) float64 {
		f := float64(v&0xff) / 255
		if f <= 0.04045 {
			return f / 12.92
		}
		return math.Pow((f+0.055)/1.055, 2.4)
	}
	return 0.2126*part(n>>16) + 0.7152*part(n>>8) + 0.0722*part(n)
}
