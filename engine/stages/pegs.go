package stages

import (
	"math"
	"slices"
	"strconv"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// SamePlace reports whether a peg stands at a place: no tape tells them apart.
func SamePlace(peg *plan.Peg, chainage, offset float64) bool {
	return samePeg(peg, geom.Point{X: chainage, Y: offset})
}

// PegAt is a peg at a place with its two tapes from the posts.
func PegAt(at geom.Point, opening float64) plan.Peg {
	return plan.Peg{Chainage: at.X, Offset: at.Y, FromLatch: math.Hypot(at.X, at.Y),
		FromRunBack: math.Hypot(at.X-opening, at.Y)}
}

// samePeg reports whether a corner is where a peg stands: no tape tells them apart.
func samePeg(peg *plan.Peg, c geom.Point) bool {
	return math.Abs(peg.Chainage-c.X) <= plan.Tolerance && math.Abs(peg.Offset-c.Y) <= plan.Tolerance
}

// SetOut lists the pegs in the order one walks them, from the opening along the
// run-back, each with the two tapes that fix it from the back inner corners of
// the posts and the level of the top of the concrete at it, and the diagonals to
// check by. The middles of carriages and of footing posts come last.
func SetOut(parts []plan.Outline, opening float64, footing *plan.Footing, g *plan.Ground) ([]plan.Peg,
	[]plan.Diagonal) {
	room := 16
	if footing != nil {
		room += len(footing.Posts)
	}
	pegs, diagonals := make([]plan.Peg, 0, room), make([]plan.Diagonal, 0, 8)
	peg := func(of string, name text.Name, at geom.Point) *plan.Peg {
		q := PegAt(at, opening)
		q.Number, q.Of, q.Name = len(pegs)+1, of, name
		pegs = append(pegs, q)
		return &pegs[len(pegs)-1]
	}
	var few [16]int
	var rest [16]geom.Point
	for _, kind := range [...]plan.PartKind{plan.PartDriveStrip, plan.PartLatchStrip, plan.PartRunBackStrip, plan.PartPad,
		plan.PartPostHole, plan.PartMeetingFooting} {
		for i := range parts {
			o := &parts[i]
			if o.Kind != kind {
				continue
			}
			numbers := few[:0]
			ring := rest[:0]
			for _, c := range o.Ring {
				number := 0
				for k := range pegs {
					if samePeg(&pegs[k], c) {
						number = pegs[k].Number
						break
					}
				}
				if slices.Contains(numbers, number) {
					continue // two corners of the ring are one point
				}
				if number == 0 {
					q := peg(o.ID, o.Name, c)
					q.Level, q.Levelled = ConcreteLevel(g, o, c)
					number = q.Number
				}
				numbers, ring = append(numbers, number), append(ring, c)
			}
			diagonals = crossDiagonals(diagonals, ring, numbers)
		}
	}
	for i := range parts {
		if o := &parts[i]; o.Kind == plan.PartCarriage {
			at := o.Ring.Centroid()
			q := peg(o.ID, text.Named("Middle: {0}", o.Name), at)
			q.Level, q.Levelled = ConcreteLevel(g, o, at)
		}
	}
	if footing == nil {
		return pegs, diagonals
	}
	for i := range footing.Posts {
		post := &footing.Posts[i]
		q := peg("footing.post."+strconv.Itoa(post.Number), text.Numbered("Footing post {0}", post.Number),
			geom.Point{X: post.Chainage, Y: post.Offset})
		if q.Levelled = g.Known(); q.Levelled {
			q.Level = g.Track.At(q.Chainage, q.Offset)
		}
	}
	return pegs, diagonals
}

// ConcreteLevel is the level of the top of a part's concrete at a place: the
// track's plane for strips, the pad's own level for the pad and what stands in
// it or on it. False where it is not known.
func ConcreteLevel(g *plan.Ground, o *plan.Outline, at geom.Point) (level float64, levelled bool) {
	if !g.Known() {
		return 0, false
	}
	if (o.Kind == plan.PartPad || o.Kind == plan.PartPostHole || o.Kind == plan.PartCarriage) && g.Pad != nil {
		return g.Pad.Level, g.Pad.HasLevel
	}
	return g.Track.At(at.X, at.Y) - max(0, o.Top), true
}

// crossDiagonals adds the two longest crossing distances of an outline: corner to
// opposite corner for four corners, every second corner for more.
func crossDiagonals(diagonals []plan.Diagonal, ring geom.Polygon, numbers []int) []plan.Diagonal {
	n := len(ring)
	if n < 4 {
		return diagonals
	}
	for i := 0; i < 2; i++ {
		j := i + n/2
		a, b := ring[i], ring[j%n]
		diagonals = append(diagonals, plan.Diagonal{From: numbers[i], To: numbers[j%n], Length: math.Hypot(b.X-a.X, b.Y-a.Y)})
	}
	return diagonals
}
