package pegs

import (
	"math"
	"strconv"
	"strings"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Mark is a place of the plan that a peg marks.
type Mark struct {
	// Key says what it marks, the same whatever its number: the part and which of its
	// pegs.
	Key string
	// Name is what stands on the peg: its number in the plan, or a letter.
	Name string
	Of   text.Name
	At   geom.Point
	// Tolerance is how far off the peg may stand, mm.
	Tolerance float64
}

// Marks are the pegs of a plan as it lists them, then the middles of what is set
// exactly: G the guide post, M the motor.
func Marks(p *plan.Plan, rules *practice.Practice) []Mark {
	var all []Mark
	nth := map[string]int{}
	for i := range p.Pegs {
		g := &p.Pegs[i]
		nth[g.Of]++
		m := Mark{Key: g.Of + "#" + strconv.Itoa(nth[g.Of]), Name: strconv.Itoa(g.Number), Of: g.Name,
			At: geom.Point{X: g.Chainage, Y: g.Offset}, Tolerance: rules.PegOffStrip}
		o, drawn := p.Outline(g.Of)
		switch {
		case strings.Contains(g.Of, "footing.post"):
			m.Tolerance = rules.PegOffPost
		case drawn && o.Kind == plan.PartCarriage:
			m.Tolerance = rules.PegOffAnchor
		case drawn && (o.Kind == plan.PartPad || o.Kind == plan.PartPostHole):
			m.Tolerance = rules.PegOffPad
		}
		all = append(all, m)
	}
	middle := func(latch bool, kind plan.PartKind, name string, tolerance float64) bool {
		for o := range p.Parts(kind) {
			if o.Latch == latch {
				all = append(all, Mark{Key: o.ID, Name: name, Of: text.Named("Middle: {0}", o.Name), At: o.Ring.Centroid(),
					Tolerance: tolerance})
				return true
			}
		}
		return false
	}
	for i := range p.Sides() {
		g, m := "G", "M"
		if i > 0 {
			g, m = "G2", "M2"
		}
		if !middle(i > 0, plan.PartBasePlate, g, rules.PegOffAnchor) {
			middle(i > 0, plan.PartGuidePost, g, rules.PegOffPost)
		}
		middle(i > 0, plan.PartMotor, m, rules.PegOffAnchor)
	}
	return all
}

// Find is the mark of a key; nil where the plan has none.
func Find(marks []Mark, key string) *Mark {
	for i := range marks {
		if marks[i].Key == key {
			return &marks[i]
		}
	}
	return nil
}

// EndName is what an end of a tape that is no peg is called; "" for a peg.
func EndName(key string) text.Name {
	switch key {
	case survey.SetLatch:
		return "latch post"
	case survey.SetRunBack:
		return "run-back post"
	case survey.SetFence:
		return "string, square"
	}
	return ""
}

// EndAt is where an end stands that is no peg; false for a peg and for the string.
func EndAt(p *plan.Plan, key string) (geom.Point, bool) {
	switch key {
	case survey.SetLatch:
		return geom.Point{}, true
	case survey.SetRunBack:
		return geom.Point{X: p.Opening}, true
	}
	return geom.Point{}, false
}

// Stored is the entry of a key among the pegs as set; −1 for none.
func Stored(s *survey.SetPegs, key string) int {
	for i := range s.Pegs {
		if s.Pegs[i].Mark == key {
			return i
		}
	}
	return -1
}

// Taped is the tape between two ends, in either direction; −1 for none.
func Taped(s *survey.SetPegs, a, b string) int {
	for i := range s.Tapes {
		if t := &s.Tapes[i]; t.From == a && t.To == b || t.From == b && t.To == a {
			return i
		}
	}
	return -1
}

// Label is the name of an end as it stands on the peg: that of the plan when it was
// first taped, or else that of now. A number that another peg bears already gets a
// letter.
func Label(s *survey.SetPegs, marks []Mark, key string) string {
	if i := Stored(s, key); i >= 0 && s.Pegs[i].Name != "" {
		return s.Pegs[i].Name
	}
	m := Find(marks, key)
	if m == nil {
		return key
	}
	for i := range s.Pegs {
		if s.Pegs[i].Name == m.Name && s.Pegs[i].Mark != key {
			return m.Name + "b"
		}
	}
	return m.Name
}

// Through names the first thing that a tape between two places would have to go
// through: a gate post, or what stands in the way. "" where nothing does. What it
// passes nearer than 5 mm, as a tape does that starts at a corner, it does not go
// through.
func Through(p *plan.Plan, a, b geom.Point) text.Name {
	switch {
	case crosses(p.Site.PostLatch, a, b):
		return "latch post"
	case crosses(p.Site.PostRunBack, a, b):
		return "run-back post"
	}
	for i := range p.Site.Obstructions {
		if o := &p.Site.Obstructions[i]; crosses(o.Box, a, b) {
			return plan.NameOfObstruction(o)
		}
	}
	for o := range p.Parts(plan.PartWall) {
		if crosses(o.Ring, a, b) {
			return o.Name
		}
	}
	return ""
}

// crosses reports whether the stretch from a to b goes through a ring: it is looked at
// every 5 mm, and what lies deeper inside than that counts.
func crosses(ring geom.Polygon, a, b geom.Point) bool {
	const step = 5.0
	if len(ring) < 3 {
		return false
	}
	low, high := ring.Bounds()
	if max(a.X, b.X) <= low.X || min(a.X, b.X) >= high.X || max(a.Y, b.Y) <= low.Y || min(a.Y, b.Y) >= high.Y {
		return false
	}
	n := math.Ceil(math.Hypot(b.X-a.X, b.Y-a.Y) / step)
	for k := 1.0; k < n; k++ {
		q := geom.Point{X: a.X + (b.X-a.X)*k/n, Y: a.Y + (b.Y-a.Y)*k/n}
		if q.X < low.X || q.X > high.X || q.Y < low.Y || q.Y > high.Y || !ring.Contains(q) {
			continue
		}
		if edgeDistance(ring, q) > step {
			return true
		}
	}
	return false
}

// edgeDistance is how far a place inside a ring is from its edge.
func edgeDistance(ring geom.Polygon, q geom.Point) float64 {
	nearest := math.Inf(1)
	for i := range ring {
		a, b := ring[i], ring[(i+1)%len(ring)]
		nearest = min(nearest, segmentDistance(q, a, b))
	}
	return nearest
}

func segmentDistance(q, a, b geom.Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if long := dx*dx + dy*dy; long > 0 {
		t = max(0, min(1, ((q.X-a.X)*dx+(q.Y-a.Y)*dy)/long))
	}
	return math.Hypot(q.X-a.X-t*dx, q.Y-a.Y-t*dy)
}
