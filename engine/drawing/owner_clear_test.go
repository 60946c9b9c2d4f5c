package drawing_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
)

// Car and person are there for scale: nothing of them is painted over the gate, its
// posts, its motor or its track, from either side.
func TestScaleFiguresHideNothingOfTheGate(t *testing.T) {
	figure := func(id string) bool {
		return strings.HasPrefix(id, "owner.car") || id == "owner.person" || id == "owner.wheel" || id == "owner.hub" || id == "owner.glass"
	}
	gate := func(id string) bool {
		return id == "owner.leaf" || id == "owner.post" || id == "owner.motor" || id == "owner.track" || id == "owner.guide"
	}
	seen := 0
	for i, s := range enginetest.RandomSites(150) {
		made, err := engine.Design(s, practice.DefaultPractice())
		if err != nil {
			continue
		}
		for _, inside := range []bool{false, true} {
			scene, err := drawing.OwnerViewScene(&made, drawing.OwnerOptions{Open: float64(i%3) / 2, Inside: inside, Figures: true})
			require.NoError(t, err)
			var below []draw.Point
			for _, e := range scene.Elements {
				r, ok := e.(draw.Region)
				switch {
				case ok && gate(r.ID):
					for k, q := range r.Outer {
						n := r.Outer[(k+1)%len(r.Outer)]
						below = append(below, q, draw.Pt((q.X+n.X)/2, (q.Y+n.Y)/2))
					}
				case ok && figure(r.ID):
					seen++
					for _, q := range below {
						require.False(t, within(r.Outer, q), "site %d, inside %v: %s covers the gate at %v", i, inside, r.ID, q)
					}
				}
			}
		}
	}
	require.Greater(t, seen, 1000)
}

// within reports whether a point lies in a ring, clear of its sides.
func within(ring draw.Ring, p draw.Point) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}
