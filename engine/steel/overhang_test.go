package steel

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// At every travel both carriages carry the weight together, and no moment is left
// about any point.
func TestCarriagesBalanceAtEveryTravel(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 7))
	for range 500 {
		c := TwoCarriages{Weight: 500 + 5000*r.Float64(), Centre: -1000 + 4000*r.Float64(), Between: 300 + 3000*r.Float64()}
		for travelled := 0.0; travelled <= 6000; travelled += 250 {
			front, rear, err := c.Carried(travelled)
			require.NoError(t, err)
			assert.InDelta(t, c.Weight, front+rear, 1e-6)
			about := 700.0 // any point
			assert.InDelta(t, c.Weight*(c.Centre-travelled-about), front*(0-about)+rear*(-c.Between-about), 1e-4)
		}
	}
}

// The nose goes down as far as integrating the curvature twice finds, and as a
// girder on two supports does.
func TestNoseByIntegrationAndByGirder(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 7))
	for range 100 {
		o := Overhang{Over: 800 + 5000*r.Float64(), Between: 300 + 2500*r.Float64(), Elasticity: 200000,
			Inertia: 1e6 + 2e7*r.Float64(), Uniform: r.Float64(), End: 1500 * r.Float64()}
		moment, down, err := o.Nose()
		require.NoError(t, err)

		const steps = 20000
		bending := func(x float64) float64 { // x from the rear support
			if x <= o.Between {
				return -moment * x / o.Between
			}
			left := o.Between + o.Over - x
			return -o.Uniform*left*left/2 - o.End*left
		}
		// Deflection at the end with the rear support at 0: v = ∫κ(x)(end − x)dx + slope·end,
		// the slope so that the front support does not move.
		integral := func(to float64) float64 {
			sum, step := 0.0, to/steps
			for i := range steps {
				x := (float64(i) + 0.5) * step
				sum += -bending(x) / (o.Elasticity * o.Inertia) * (to - x) * step
			}
			return sum
		}
		end := o.Between + o.Over
		assert.InEpsilon(t, integral(end)-integral(o.Between)/o.Between*end, down, 1e-5)

		g := Girder{Length: end, Supports: []Support{{At: 0}, {At: o.Between}}, Elasticity: o.Elasticity, Inertia: o.Inertia,
			Uniform: o.Uniform}
		under, err := g.Under([]PointLoad{{At: end, Force: o.End}}, nil)
		require.NoError(t, err)
		// The girder is loaded between its supports too, which lifts the nose: q·s³/(24EI)·L.
		lifts := o.Uniform * math.Pow(o.Between, 3) / (24 * o.Elasticity * o.Inertia) * o.Over
		assert.InDelta(t, under.Deflection(end)+lifts, down, 1e-6*down)
		assert.GreaterOrEqual(t, down, under.Deflection(end), "what is left out is on the safe side")
	}
}

func TestOverhangRefuses(t *testing.T) {
	good := Overhang{Over: 4000, Between: 1500, Elasticity: 200000, Inertia: 8e6, Uniform: 0.5}
	for name, change := range map[string]func(*Overhang){
		"no overhang":    func(o *Overhang) { o.Over = 0 },
		"no spacing":     func(o *Overhang) { o.Between = 0 },
		"no section":     func(o *Overhang) { o.Inertia = math.NaN() },
		"lifted at rest": func(o *Overhang) { o.Uniform = -1 },
		"without end":    func(o *Overhang) { o.End = math.Inf(1) },
	} {
		o := good
		change(&o)
		_, _, err := o.Nose()
		assert.Error(t, err, name)
	}
	_, _, err := TwoCarriages{Weight: 1000, Centre: 1000, Between: 10}.Carried(0)
	assert.Error(t, err)
	_, _, err = TwoCarriages{Weight: 1000, Centre: 1000, Between: 1000}.Carried(math.NaN())
	assert.Error(t, err)
}
