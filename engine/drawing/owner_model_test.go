package drawing

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// placesOf are where a matrix of a frame, after a part's, has the corners of one part: x and
// y of the picture and w.
func placesOf(m *OwnerModel, frame *[16 * (2 + 2*ModelParts)]float32, part int) (all [][3]float64) {
	times := func(at int, p [4]float64) (q [4]float64) {
		for r := range q {
			for c := range p {
				q[r] += float64(frame[at+4*c+r]) * p[c]
			}
		}
		return q
	}
	for i := m.Hidden * solid.MeshCorner; i < len(m.Corners); i += solid.MeshCorner {
		c := m.Corners[i:]
		if int(c[7]) != part {
			continue
		}
		q := times(0, times(32+16*part, [4]float64{float64(c[0]), float64(c[1]), float64(c[2]), 1}))
		all = append(all, [3]float64{q[0] / q[3], q[1] / q[3], q[3]})
	}
	return all
}

// Wherever one looks from and the gate stands, all of it lies in the picture and before the
// eye, and the eye is above the ground.
func TestOwnerModelIsInThePicture(t *testing.T) {
	for i := range 60 {
		made, err := engine.Design(enginetest.RandomSite(rand.New(rand.NewPCG(uint64(i), 7))), practice.DefaultPractice())
		require.NoError(t, err)
		r := rand.New(rand.NewPCG(uint64(i), 9))
		m, err := NewOwnerModel(&made, OwnerOptions{Inside: i%2 == 1, Figures: true}, false)
		require.NoError(t, err, "seed %d", i)
		for range 8 {
			l := OwnerLook{Turn: 7 * (r.Float64() - 0.5), Rise: 4 * (r.Float64() - 0.5), Open: r.Float64(), Zoom: 1,
				Shape: 0.5 + r.Float64()}
			var frame [16 * (2 + 2*ModelParts)]float32
			rise := m.Frame(l, &frame)
			assert.True(t, rise >= 0 && rise <= OwnerRiseTop, "seed %d: %v", i, rise)
			eye := m.Eye(l)
			assert.Greater(t, eye.Place().Z, m.top+ownerClear-1, "seed %d", i)
			for part := range ModelParts {
				for _, q := range placesOf(m, &frame, part) {
					limit := 1.0
					if part == partPerson { // who is wider than the place kept
						limit = 1.05
					}
					require.True(t, math.Abs(q[0]) <= limit && math.Abs(q[1]) <= limit && q[2] > 0, "seed %d part %d: %v", i, part, q)
				}
			}
		}
	}
}

// A panel of the model stands where the drawing of the same share has it, on level ground,
// on a slope, for the other hand, and with two leaves.
func TestOwnerModelSlidesAsDrawn(t *testing.T) {
	sites := slopedSites()
	sites["square"], sites["two leaves"] = enginetest.SquareSite(), enginetest.Paired(enginetest.SquareSite())
	left := enginetest.SquareSite()
	left.Opening.Hand = survey.HandLeft
	sites["to the left"] = left
	for name, s := range sites {
		made := designs.Of(t, s)
		model, err := NewOwnerModel(&made, OwnerOptions{}, false)
		require.NoError(t, err, name)
		for _, open := range []float64{0, 0.3, 1} {
			v, _ := newModel(&made, &OwnerOptions{})
			v.o.Open = open
			v.leaf()
			var want solid.Mesh
			for i, b := range v.bodies {
				want.Add(b, v.parts[i], model.sun, true, draw.Material.DayColour)
			}
			var frame [16 * (2 + 2*ModelParts)]float32
			model.Frame(OwnerLook{Open: open, Rise: OwnerRise, Zoom: 1, Shape: 0.7}, &frame)
			at := 0
			for i := 0; i < len(model.Corners); i += solid.MeshCorner {
				c := model.Corners[i:]
				part := int(c[7])
				if part < partPanels {
					continue
				}
				for k := range 3 {
					moved := float64(c[k]) + float64(frame[32+16*part+12+k])
					require.InDelta(t, float64(want.Corners[at+k]), moved, 0.01, "%s open %v", name, open)
				}
				at += solid.MeshCorner
			}
			require.Equal(t, len(want.Corners), at, name)
			require.Positive(t, at, name)
		}
	}
}
