package steel

import "strings"

// hollowStock are common cold-formed sizes, height × width × walls, mm. Common
// practice, no published source for the choice; EN 10219-2 annex C lists them.
var hollowStock = [...]struct {
	height, width float64
	walls         []float64
}{
	{20, 20, []float64{2}},
	{25, 25, []float64{2, 2.5}},
	{30, 30, []float64{2, 2.5, 3}},
	{40, 40, []float64{2, 2.5, 3, 4}},
	{50, 50, []float64{2, 2.5, 3, 4, 5}},
	{60, 60, []float64{2, 3, 4, 5}},
	{65, 65, []float64{2, 3, 4}},
	{75, 75, []float64{2.5, 3, 4, 5}},
	{80, 80, []float64{3, 4, 5}},
	{90, 90, []float64{3, 4, 5}},
	{100, 100, []float64{3, 4, 5, 6}},
	{120, 120, []float64{4, 5, 6}},
	{150, 150, []float64{4, 5, 6}},
	{40, 20, []float64{2}},
	{50, 25, []float64{2, 2.5}},
	{50, 30, []float64{2, 2.5, 3}},
	{60, 40, []float64{2, 2.5, 3, 4}},
	{80, 40, []float64{2, 3, 4}},
	{80, 60, []float64{3, 4}},
	{100, 40, []float64{3, 4}},
	{100, 50, []float64{2, 3, 4, 5}},
	{100, 60, []float64{3, 4, 5}},
	{120, 60, []float64{3, 4, 5}},
	{120, 80, []float64{4, 5}},
	{150, 50, []float64{3, 4}},
	{150, 100, []float64{4, 5, 6}},
}

// SquareSizes are the sides of square hollow sections that a post may be made
// of, mm, from the smallest. Common practice, no published source for the choice.
var SquareSizes = [...]float64{65, 75, 90, 100, 125, 150, 200}

var flatStock = [...][2]float64{
	{40, 5}, {50, 6}, {50, 8}, {50, 10}, {60, 8}, {60, 10}, {75, 10}, {75, 12}, {80, 8}, {80, 10},
	{100, 6}, {100, 8}, {100, 10}, {100, 12}, {100, 16}, {100, 20}, {100, 25},
	{120, 12}, {130, 12}, {150, 10}, {150, 12}, {150, 16}, {150, 20}, {200, 10}, {200, 12}, {200, 20},
}

var roundStock = [...]float64{8, 10, 12, 16, 20, 25, 30}

// angleStock are legs, thickness and root radius. Radii: EN 10056-1 (memory).
var angleStock = [...][4]float64{
	{30, 30, 3, 5}, {40, 40, 4, 6}, {40, 40, 5, 6}, {50, 50, 5, 7}, {50, 50, 6, 7}, {60, 60, 6, 8},
	{70, 70, 7, 9}, {80, 80, 8, 10}, {100, 100, 8, 12}, {100, 100, 10, 12}, {75, 50, 6, 7}, {100, 65, 8, 10},
}

// Stock returns the common stock sections with their computed properties, in a
// fixed order. Flats stand on edge; Turned lays them flat.
func Stock() []Section {
	var all []Section
	keep := func(s Section, err error) {
		if err == nil {
			all = append(all, s)
		}
	}
	for _, h := range hollowStock {
		for _, wall := range h.walls {
			keep(Hollow(h.height, h.width, wall))
		}
	}
	for _, f := range flatStock {
		keep(Flat(f[0], f[1]))
	}
	for _, d := range roundStock {
		keep(Round(d))
	}
	for _, a := range angleStock {
		keep(Angle(a[0], a[1], a[2], a[3]))
	}
	return all
}

// Find returns the stock section of a name as Stock writes it, letter case and
// blanks aside. False when there is none.
func Find(name string) (Section, bool) {
	want := bareName(name)
	for _, s := range Stock() {
		if bareName(s.Name) == want {
			return s, true
		}
	}
	return Section{}, false
}

func bareName(name string) string {
	return strings.ToUpper(strings.ReplaceAll(strings.ReplaceAll(name, " ", ""), "×", "x"))
}
