package engine

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// Two leaves that hang free meet as two on tracks do: each side is one leaf that hangs,
// nothing crosses the drive, sides alike give the same bytes, and nothing is counted twice.
func TestPairOfLeavesThatHang(t *testing.T) {
	p := practice.DefaultPractice()
	for seed := range uint64(30) {
		s := wide(seed)
		s.Gate.Carried = survey.CarriedFree
		sides := survey.SidesOf(&s, &p)
		run, latch := sides.RunBack, sides.Latch
		latch.Opening.Hand = run.Opening.Hand
		one, _ := Design(run, p)
		two, _ := Design(latch, p)
		require.Equal(t, planBytes(t, &one), planBytes(t, &two), "seed %d", seed)
		whole, _ := Design(s, p)
		require.Equal(t, planBytes(t, &one), planBytes(t, whole.Pair.RunBack), "seed %d", seed)

		odd := enginetest.RandomPair(rand.New(rand.NewPCG(seed, 5)))
		odd.Gate.Carried = survey.CarriedFree
		made, _ := Design(odd, p)
		if pairCheck(&made, plan.QuestionPairEdge) != nil {
			continue
		}
		var rings []geom.Polygon
		carriages := 0
		for i := range made.Outlines {
			o := &made.Outlines[i]
			assert.NotContains(t, []plan.PartKind{plan.PartDriveStrip, plan.PartRunBackStrip, plan.PartLatchStrip}, o.Kind)
			if o.Kind == plan.PartCarriage {
				carriages++
			}
			if o.Concrete {
				rings = append(rings, o.Ring)
			}
		}
		assert.Equal(t, 4, carriages, "seed %d", seed)
		assert.Zero(t, made.Quantities.Track)
		assert.InEpsilon(t, geom.UnionArea(rings...), made.Quantities.Area, 1e-9, "seed %d", seed)
	}
}
