package engine

import (
	"math"

	"pegpour/engine/geom"
)

// setOut lists the pegs in the order one walks them, from the opening along the
// run-back, each with the two tapes that fix it from the back inner corners of
// the posts, and the diagonals to check by.
func (plan *Plan) setOut(in *inputs) {
	runBack := geom.Point{X: in.width}
	for _, kind := range [...]PartKind{PartDriveStrip, PartLatchStrip, PartRunBackStrip, PartPad, PartPostHole} {
		for i := range plan.Outlines {
			o := &plan.Outlines[i]
			if o.Kind != kind {
				continue
			}
			numbers := make([]int, 0, len(o.Ring))
			for _, c := range o.Ring {
				number := 0
				for k := range plan.Pegs {
					if plan.Pegs[k].Chainage == c.X && plan.Pegs[k].Offset == c.Y {
						number = plan.Pegs[k].Number
					}
				}
				if number == 0 {
					number = len(plan.Pegs) + 1
					plan.Pegs = append(plan.Pegs, Peg{
						Number: number, Of: o.ID, Name: o.Name, Chainage: c.X, Offset: c.Y,
						FromLatch: math.Hypot(c.X, c.Y), FromRunBack: math.Hypot(c.X-runBack.X, c.Y),
					})
				}
				numbers = append(numbers, number)
			}
			plan.diagonals(o.Ring, numbers)
		}
	}
}

// diagonals adds the two longest crossing distances of an outline: corner to
// opposite corner for four corners, every second corner for more.
func (plan *Plan) diagonals(ring geom.Polygon, numbers []int) {
	n := len(ring)
	if n < 4 {
		return
	}
	for i := 0; i < 2; i++ {
		j := i + n/2
		a, b := ring[i], ring[j%n]
		plan.Diagonals = append(plan.Diagonals, Diagonal{From: numbers[i], To: numbers[j%n], Length: math.Hypot(b.X-a.X, b.Y-a.Y)})
	}
}
